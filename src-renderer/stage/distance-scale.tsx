import { fixed, millimetres, percent, signed } from "#core/sheet/format";
import { useWorkspace } from "../state/app-context";
import { rampColour } from "./distance-ramp";

const STEPS = 48;
const WIDTH = 300;

/** The scale of the distance map: signed, in mm, with the hatch that stands for no value. */
export function DistanceScale({ limit }: { limit: number }) {
  const summary = useWorkspace((workspace) => workspace.distances?.summary ?? null);
  const { from, to } = useWorkspace((workspace) => workspace.history.now.span);
  const step = WIDTH / STEPS;
  return (
    <figure className="distance-scale" aria-label={`Distance scale, −${limit} to +${limit} mm`}>
      <svg width={WIDTH + 30} height={36} viewBox={`-15 0 ${WIDTH + 30} 36`} aria-hidden="true">
        {Array.from({ length: STEPS }, (_, i) => {
          const share = (2 * i) / (STEPS - 1) - 1;
          return <rect key={share} x={i * step} width={step + 0.5} height={12} fill={rampColour(share)} />;
        })}
        {[-1, -0.5, 0, 0.5, 1].map((share) => (
          <text key={share} x={((share + 1) / 2) * WIDTH} y={29}>
            {share === 0 ? "0" : signed(share * limit, limit >= 2 && share % 1 === 0 ? 0 : 1)}
          </text>
        ))}
      </svg>
      <figcaption className="quiet">
        mm: the {to} surface inside (blue) or outside (brown) of the {from} one; <span className="hatch" /> no value
        {summary !== null && (
          <>
            <br />
            mean {signed(summary.mean, 2)} mm, RMS {millimetres(summary.rms, 2)}, 5th to 95th percentile{" "}
            {fixed(summary.percentile5)} to {fixed(summary.percentile95)} mm, {percent(summary.valued)} of the surface
          </>
        )}
      </figcaption>
    </figure>
  );
}

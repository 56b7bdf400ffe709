import { signed } from "#core/sheet/format";
import { useWorkspace } from "../state/app-context";
import { rampColour } from "./distance-ramp";

const STEPS = 48;
const HEIGHT = 168;

/** The scale of the distance map: signed, in mm, with the hatch that stands for no value. */
export function DistanceScale({ limit }: { limit: number }) {
  const { from, to } = useWorkspace((workspace) => workspace.history.now.span);
  const step = HEIGHT / STEPS;
  return (
    <figure className="distance-scale" aria-label={`Distance scale, −${limit} to +${limit} mm`}>
      <svg width={100} height={HEIGHT + 14} viewBox={`0 -7 100 ${HEIGHT + 14}`} aria-hidden="true">
        {Array.from({ length: STEPS }, (_, i) => {
          const share = 1 - (2 * i) / (STEPS - 1);
          return <rect key={share} y={i * step} width={14} height={step + 0.5} fill={rampColour(share)} />;
        })}
        {[1, 0.5, 0, -0.5, -1].map((share) => (
          <text key={share} x={22} y={((1 - share) / 2) * HEIGHT + 4}>
            {share === 0 ? "0" : signed(share * limit, Number.isInteger(share * limit) ? 0 : 2)}
            {share === 1 && " mm"}
          </text>
        ))}
      </svg>
      <figcaption className="quiet">
        {to} outside (+) or inside (−) of {from} <span className="hatch" /> no value
      </figcaption>
    </figure>
  );
}

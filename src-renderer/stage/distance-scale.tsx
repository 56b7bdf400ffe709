import { signed } from "#core/sheet/format";
import { useCommands, useWorkspace } from "../state/app-context";
import { MAP_UNDER, type MapUnder, type MeasuredDistances } from "../state/workspace";
import { rampColour } from "./distance-ramp";

const STEPS = 48;
const HEIGHT = 168;
/** Where the bars of the histogram begin, and how long the longest is, pixels. */
const BARS = { left: 72, longest: 34 } as const;

const WORDS: Readonly<Record<MapUnder, string>> = { whole: "whole", right: "right half", left: "left half" };

/** The scale of the distance map: signed, in mm, with how often each distance occurs, and the hatch for no value. */
export function DistanceScale({ distances: { summary, of, under } }: { distances: MeasuredDistances }) {
  const commands = useCommands();
  const { from, to } = useWorkspace((workspace) => workspace.history.now.span);
  const chosen = useWorkspace(({ view }) => view.mapUnder);
  const { limit, counts } = summary.histogram;
  const step = HEIGHT / STEPS;
  const most = Math.max(1, ...counts);
  const classHeight = HEIGHT / counts.length;
  return (
    <figure className="distance-scale" aria-label={`Distance scale, −${limit} to +${limit} mm`}>
      <svg width={110} height={HEIGHT + 14} viewBox={`0 -7 110 ${HEIGHT + 14}`} aria-hidden="true">
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
        {counts.map((count, i) => (
          <rect
            // biome-ignore lint/suspicious/noArrayIndexKey: classes have no other name than their place
            key={i}
            className="often"
            x={BARS.left}
            y={HEIGHT - (i + 1) * classHeight + 0.5}
            width={(BARS.longest * count) / most}
            height={classHeight - 1}
          />
        ))}
      </svg>
      <fieldset className="map-under">
        <legend className="read-aloud">distance under the registration of</legend>
        {MAP_UNDER.map((one, i) => (
          <button
            key={one}
            type="button"
            aria-pressed={chosen === one}
            disabled={of.readings.registrations[i]?.state !== "given"}
            onClick={() => commands.view.mapUnder(one)}
          >
            {WORDS[one]}
          </button>
        ))}
      </fieldset>
      <figcaption className="quiet">
        {to} outside (+) or inside (−) of {from}, laid over by the {WORDS[under]} <span className="hatch" /> no value
      </figcaption>
    </figure>
  );
}

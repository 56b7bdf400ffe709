import { landmarkWords, sameSpot } from "#core/arch/landmark";
import type { Given, Quantity, UsedLandmark } from "#core/readings/readings-document";
import { fixed, signedMillimetres, uncertaintyText } from "#core/sheet/format";
import { useCommands, useWorkspace } from "../state/app-context";
import type { SheetRow } from "../state/sheet-rows";
import { timepointOf } from "../state/workspace";

const HOW: Readonly<Record<UsedLandmark["how"], string>> = {
  "as-placed": "as placed",
  "snapped-to-highest": "highest nearby",
  "snapped-to-deepest": "deepest nearby",
  "snapped-to-margin": "margin nearby",
  carried: "carried over",
  "dropped-to-surface": "on the surface",
};

/** What an open row says of itself: how it is defined, what its uncertainty is made of, which points it stands on. */
export function RowDetails({ row }: { row: SheetRow }) {
  const span = useWorkspace((workspace) => workspace.history.now.span);
  const [right, left] = row.teeth;
  const change = row.reading?.change;
  return (
    <div className="row-details">
      <div>
        <p>
          Straight distance between the {row.at} of {right} and {left}, on each scan for itself.
          {row.reading?.transverseChange != null &&
            ` Of the change, ${signedMillimetres(row.reading.transverseChange)} lie across the arch.`}
        </p>
        <Points row={row} timepoints={[span.from, span.to]} />
        {change?.state === "withheld" && <p className="asks-text">Withheld: {change.reason.text}.</p>}
      </div>
      <Components reading={row.reading} />
    </div>
  );
}

/** Both ends of the width at both times: how each came about, and a way to place it again. */
function Points({ row, timepoints }: { row: SheetRow; timepoints: readonly string[] }) {
  const commands = useCommands();
  const document = useWorkspace((workspace) => workspace.history.now);
  const used = useWorkspace((workspace) => workspace.measured?.readings.landmarks ?? NONE);
  return (
    <ul className="row-points">
      {timepoints.flatMap((timepoint) =>
        row.teeth.map((tooth) => {
          const spot = { tooth, place: row.place };
          const placed = timepointOf(document, timepoint)?.landmarks.some((mark) => sameSpot(mark, spot)) ?? false;
          const point = used.find(
            (one) => one.timepoint === timepoint && one.tooth === tooth && one.place === row.place,
          );
          return (
            <li key={`${timepoint} ${tooth}`}>
              <span className="point-name">
                {tooth} {timepoint}
              </span>
              <span className="quiet">{point === undefined ? (placed ? "placed" : "not placed") : HOW[point.how]}</span>
              <button
                type="button"
                className="word-button"
                aria-label={`${placed ? "place again" : "place"} the ${landmarkWords(spot)} on the ${timepoint} scan`}
                onClick={() => commands.landmarks.begin({ ...spot, timepoint })}
              >
                {placed ? "again" : "place"}
              </button>
            </li>
          );
        }),
      )}
    </ul>
  );
}

const NONE: readonly UsedLandmark[] = [];

/** The standard uncertainties that a change is made of, and each width with its own. */
function Components({ reading }: { reading: SheetRow["reading"] }) {
  const span = useWorkspace((workspace) => workspace.history.now.span);
  if (reading === null) return null;
  const widths: [string, Given<Quantity>][] = [
    [span.from, reading.before],
    [span.to, reading.after],
  ];
  return (
    <dl className="facts-list row-numbers">
      {widths.map(([name, given]) => (
        <Pair key={name} name={name} text={given.state === "given" ? withUncertainty(given.reading) : "withheld"} />
      ))}
      {reading.change.state === "given" && (
        <>
          <dt className="facts-head">standard uncertainty of the change</dt>
          <Pair name="landmark" text={`${fixed(reading.change.reading.components.point, 2)} mm`} />
          <Pair name="registration" text={`${fixed(reading.change.reading.components.registration, 2)} mm`} />
          <Pair name="scanner" text={`${fixed(reading.change.reading.components.scanner, 2)} mm`} />
        </>
      )}
    </dl>
  );
}

function Pair({ name, text }: { name: string; text: string }) {
  return (
    <>
      <dt>{name}</dt>
      <dd>{text}</dd>
    </>
  );
}

const withUncertainty = ({ value, expandedUncertainty }: Quantity): string =>
  `${fixed(value, 2)} ± ${uncertaintyText(expandedUncertainty, 2)} mm`;

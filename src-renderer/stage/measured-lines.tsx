import type { Timepoint } from "#core/case/case-document";
import type { Readings } from "#core/readings/readings-document";
import { millimetres, pairWords } from "#core/sheet/format";
import { useWorkspace } from "../state/app-context";
import { type SheetRow, sheetRows } from "../state/sheet-rows";
import { kindOf } from "../state/timepoint-kind";
import type { Scene } from "./scene";
import type { Stage } from "./stage";
import { useStageMovement } from "./use-stage";

/** Drawn while no row is open. */
const USUAL = ["3-3 cusp-tip", "6-6 cusp-tip"];
/** Distance of a plate from its line, pixels. */
const PLATE_GAP = 24;

interface Line {
  readonly key: string;
  readonly kind: Timepoint["kind"];
  readonly ends: readonly [[number, number], [number, number]];
  readonly value: number;
  /** The open row: thick, with its value on a plate. */
  readonly main: boolean;
  readonly words: string;
}

/** The measured widths, flat over the stage: the open row with its values, else canines and first molars. */
export function MeasuredLines({ stage, scene }: { stage: Stage; scene: Scene }) {
  useStageMovement(stage);
  const document = useWorkspace((workspace) => workspace.history.now);
  const readings = useWorkspace((workspace) => workspace.measured?.readings ?? null);
  const openRow = useWorkspace((workspace) => workspace.view.openRow);
  if (readings === null) return null;
  const { from, to } = readings.span;
  const rows = sheetRows(document, readings).filter((row) => row.key === openRow || USUAL.includes(row.key));
  const lines = rows.flatMap((row) =>
    [from, to].flatMap((timepoint) => {
      const line = lineOf(row, timepoint, readings, stage, scene);
      const main = openRow === null || row.key === openRow;
      return line === null ? [] : [{ ...line, main, kind: kindOf(document, timepoint) }];
    }),
  );
  const ordered = [...lines.filter((line) => !line.main), ...lines.filter((line) => line.main)];
  return (
    <svg className="stage-flat" aria-hidden="true">
      {ordered.map((line) => (
        <g key={line.key} className="measured-line" data-kind={line.kind} data-main={line.main && openRow !== null}>
          <line x1={line.ends[0][0]} y1={line.ends[0][1]} x2={line.ends[1][0]} y2={line.ends[1][1]} />
          {line.ends.map((end, i) => (
            <EndSign key={`${line.key} ${i === 0 ? "right" : "left"}`} at={end} kind={line.kind} />
          ))}
        </g>
      ))}
      {ordered
        .filter((line) => line.main)
        .map((line) => (
          <Plate key={line.key} line={line} below={isBelow(line, ordered)} />
        ))}
    </svg>
  );
}

function lineOf(
  row: SheetRow,
  timepoint: string,
  readings: Readings,
  stage: Stage,
  scene: Scene,
): Omit<Line, "main" | "kind"> | null {
  const given = timepoint === readings.span.from ? row.reading?.before : row.reading?.after;
  const toStage = scene.stands.get(timepoint);
  if (given?.state !== "given" || toStage === undefined) return null;
  const ends = row.teeth.map((tooth) => {
    const point = readings.landmarks.find(
      (p) => p.timepoint === timepoint && p.tooth === tooth && p.place === row.place,
    );
    return point === undefined ? null : stage.screenOf(point.used, toStage);
  });
  const [right, left] = ends;
  if (right == null || left == null) return null;
  const words = `${pairWords(row.pair)} ${timepoint}`;
  return { key: `${row.key} ${timepoint}`, ends: [right, left], value: given.reading.value, words };
}

const middleY = (line: Line): number => (line.ends[0][1] + line.ends[1][1]) / 2;

/** Of two lines of one row the lower one carries its plate below, so that plates never lie on the other line. */
function isBelow(line: Line, lines: readonly Line[]): boolean {
  const [pair, level] = line.key.split(" ");
  const other = lines.find((one) => one !== line && one.key.startsWith(`${pair} ${level} `));
  return other === undefined ? false : middleY(line) > middleY(other);
}

function Plate({ line, below }: { line: Line; below: boolean }) {
  const x = (line.ends[0][0] + line.ends[1][0]) / 2;
  const y = middleY(line) + (below ? PLATE_GAP : -PLATE_GAP);
  return (
    <g className="plate" data-kind={line.kind} transform={`translate(${x} ${y})`}>
      <rect x={-39} y={-13} width={78} height={26} rx={4} />
      <text y={4.5}>{millimetres(line.value)}</text>
    </g>
  );
}

function EndSign({ at: [x, y], kind }: { at: readonly [number, number]; kind: Timepoint["kind"] }) {
  if (kind === "before") return <circle className="end" cx={x} cy={y} r={4.6} />;
  if (kind === "after") return <path className="end" d={`M${x} ${y - 6.6}l6.6 6.6-6.6 6.6-6.6-6.6Z`} />;
  return <rect className="end" x={x - 4.6} y={y - 4.6} width={9.2} height={9.2} />;
}

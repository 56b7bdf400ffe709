import type { Timepoint } from "#core/case/timepoint";
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
const PLATE_WIDTH = 78;
const PLATE_HEIGHT = 26;

interface Line {
  readonly key: string;
  readonly kind: Timepoint["kind"];
  readonly ends: readonly [[number, number], [number, number]];
  readonly value: number;
  /** The open row: thick, with its value on a plate. */
  readonly main: boolean;
  readonly pair: string;
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
      {platesOf(ordered).map(({ line, x, y, pair }) => (
        <g key={line.key} className="plate" data-kind={line.kind} transform={`translate(${x} ${y})`}>
          <rect x={-PLATE_WIDTH / 2} y={-PLATE_HEIGHT / 2} width={PLATE_WIDTH} height={PLATE_HEIGHT} rx={4} />
          <text y={4.5}>{millimetres(line.value)}</text>
          {pair !== null && (
            <text className="plate-pair" x={-PLATE_WIDTH / 2 - 8} y={4.5}>
              {pair}
            </text>
          )}
        </g>
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
  const pair = pairWords(row.pair);
  return { key: `${row.key} ${timepoint}`, ends: [right, left], value: given.reading.value, pair };
}

const middleY = (line: Line): number => (line.ends[0][1] + line.ends[1][1]) / 2;

/** Of two lines of one row the lower one carries its plate below, so that plates never lie on the other line. */
function isBelow(line: Line, lines: readonly Line[]): boolean {
  const [pair, level] = line.key.split(" ");
  const other = lines.find((one) => one !== line && one.key.startsWith(`${pair} ${level} `));
  return other === undefined ? false : middleY(line) > middleY(other);
}

interface Plate {
  readonly line: Line;
  /** Its middle, pixels. */
  readonly x: number;
  readonly y: number;
  /** Said beside it where plates of several pairs are stacked. */
  readonly pair: string | null;
}

/** A plate for each main line, beside its line; where the lines of several pairs run together, stacked away from them. */
function platesOf(lines: readonly Line[]): Plate[] {
  const placed: { line: Line; x: number; y: number }[] = [];
  let stacked = false;
  for (const line of lines.filter((one) => one.main)) {
    const x = (line.ends[0][0] + line.ends[1][0]) / 2;
    const away = isBelow(line, lines) ? 1 : -1;
    let y = middleY(line) + away * PLATE_GAP;
    const covers = (other: { x: number; y: number }) =>
      Math.abs(other.x - x) < PLATE_WIDTH && Math.abs(other.y - y) < PLATE_HEIGHT;
    while (placed.some(covers)) {
      y += away * (PLATE_HEIGHT + 4);
      stacked = true;
    }
    placed.push({ line, x, y });
  }
  return placed.map((plate) => ({ ...plate, pair: stacked ? plate.line.pair : null }));
}

function EndSign({ at: [x, y], kind }: { at: readonly [number, number]; kind: Timepoint["kind"] }) {
  if (kind === "before") return <circle className="end" cx={x} cy={y} r={4.6} />;
  if (kind === "after") return <path className="end" d={`M${x} ${y - 6.6}l6.6 6.6-6.6 6.6-6.6-6.6Z`} />;
  return <rect className="end" x={x - 4.6} y={y - 4.6} width={9.2} height={9.2} />;
}

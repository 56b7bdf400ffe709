/** The part of the occlusal plane that a table covers, mm in the model frame. */
export const TABLE_AREA = { left: -42, front: -14, width: 84, depth: 80, spacing: 0.25 } as const;

const COLUMNS = Math.round(TABLE_AREA.width / TABLE_AREA.spacing) + 1;
const ROWS = Math.round(TABLE_AREA.depth / TABLE_AREA.spacing) + 1;

/** A function of x and y, tabulated every 0.25 mm and read by quadratic B-splines (so its slope is continuous). */
export class PlaneTable {
  readonly values = new Float64Array(COLUMNS * ROWS);

  static of(f: (x: number, y: number) => number): PlaneTable {
    const table = new PlaneTable();
    for (let row = 0; row < ROWS; row++) {
      const y = TABLE_AREA.front + row * TABLE_AREA.spacing;
      for (let column = 0; column < COLUMNS; column++) {
        table.values[row * COLUMNS + column] = f(TABLE_AREA.left + column * TABLE_AREA.spacing, y);
      }
    }
    return table;
  }

  /** A table of f(value of this table, x, y, index). */
  map(f: (value: number, x: number, y: number, index: number) => number): PlaneTable {
    const table = new PlaneTable();
    for (let i = 0; i < table.values.length; i++) {
      const row = Math.floor(i / COLUMNS);
      const x = TABLE_AREA.left + (i - row * COLUMNS) * TABLE_AREA.spacing;
      table.values[i] = f(this.values[i]!, x, TABLE_AREA.front + row * TABLE_AREA.spacing, i);
    }
    return table;
  }

  /** A softened copy: `passes` times the mean over a square of 2·reach + 1 mm. */
  softened(reach: number, passes: number): PlaneTable {
    const steps = Math.round(reach / TABLE_AREA.spacing);
    let from: Float64Array = this.values;
    for (let pass = 0; pass < passes; pass++) {
      from = slidingMean(from, ROWS, COLUMNS, COLUMNS, 1, steps);
      from = slidingMean(from, COLUMNS, ROWS, 1, COLUMNS, steps);
    }
    const table = new PlaneTable();
    table.values.set(from);
    return table;
  }

  at(x: number, y: number): number {
    const fx = (x - TABLE_AREA.left) / TABLE_AREA.spacing;
    const fy = (y - TABLE_AREA.front) / TABLE_AREA.spacing;
    const column = Math.min(Math.max(Math.round(fx), 1), COLUMNS - 2);
    const row = Math.min(Math.max(Math.round(fy), 1), ROWS - 2);
    const dx = Math.min(Math.max(fx - column, -0.5), 0.5);
    const dy = Math.min(Math.max(fy - row, -0.5), 0.5);
    const ax = 0.5 * (0.5 - dx) * (0.5 - dx);
    const cx = 0.5 * (0.5 + dx) * (0.5 + dx);
    const bx = 1 - ax - cx;
    const ay = 0.5 * (0.5 - dy) * (0.5 - dy);
    const cy = 0.5 * (0.5 + dy) * (0.5 + dy);
    const by = 1 - ay - cy;
    const v = this.values;
    const i = row * COLUMNS + column;
    const above = i - COLUMNS;
    const below = i + COLUMNS;
    return (
      ay * (ax * v[above - 1]! + bx * v[above]! + cx * v[above + 1]!) +
      by * (ax * v[i - 1]! + bx * v[i]! + cx * v[i + 1]!) +
      cy * (ax * v[below - 1]! + bx * v[below]! + cx * v[below + 1]!)
    );
  }
}

function slidingMean(
  from: Float64Array,
  lines: number,
  count: number,
  lineStride: number,
  stride: number,
  reach: number,
): Float64Array {
  const to = new Float64Array(from.length);
  const at = (line: number, i: number) => from[line * lineStride + Math.min(Math.max(i, 0), count - 1) * stride]!;
  for (let line = 0; line < lines; line++) {
    let sum = 0;
    for (let i = -reach; i <= reach; i++) sum += at(line, i);
    for (let i = 0; i < count; i++) {
      to[line * lineStride + i * stride] = sum / (2 * reach + 1);
      sum += at(line, i + reach + 1) - at(line, i - reach);
    }
  }
  return to;
}

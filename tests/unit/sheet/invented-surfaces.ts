import type { TriangleMesh } from "#core/mesh/triangle-mesh";

/** Invented surfaces to draw: no scan, no patient. */

/** A mesh from a grid of vertices, `columns` × `rows`, row by row; `keep` leaves out vertices (and their triangles). */
function grid(
  columns: number,
  rows: number,
  at: (column: number, row: number) => readonly [number, number, number] | null,
): TriangleMesh {
  const number = new Int32Array(columns * rows).fill(-1);
  const positions: number[] = [];
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const point = at(c, r);
      if (point === null) continue;
      number[r * columns + c] = positions.length / 3;
      positions.push(...point);
    }
  }
  const triangles: number[] = [];
  for (let r = 0; r + 1 < rows; r++) {
    for (let c = 0; c + 1 < columns; c++) {
      const a = number[r * columns + c]!;
      const b = number[r * columns + c + 1]!;
      const d = number[(r + 1) * columns + c]!;
      const e = number[(r + 1) * columns + c + 1]!;
      if (a < 0 || b < 0 || d < 0 || e < 0) continue;
      triangles.push(a, d, b, b, d, e);
    }
  }
  return {
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from(triangles),
    fileTriangles: Uint32Array.from({ length: triangles.length / 3 }, (_, i) => i),
  };
}

/** A closed sphere about the origin as rings of latitude between two poles, normals outwards. */
export function sphere(radius: number, steps = 48): TriangleMesh {
  const around = 2 * steps;
  const positions: number[] = [0, 0, radius];
  for (let ring = 1; ring < steps; ring++) {
    const down = (Math.PI * ring) / steps;
    for (let i = 0; i < around; i++) {
      const turn = (Math.PI * i) / steps;
      positions.push(
        radius * Math.sin(down) * Math.cos(turn),
        radius * Math.sin(down) * Math.sin(turn),
        radius * Math.cos(down),
      );
    }
  }
  positions.push(0, 0, -radius);
  const south = positions.length / 3 - 1;
  const at = (ring: number, i: number) =>
    ring === 0 ? 0 : ring === steps ? south : 1 + (ring - 1) * around + (i % around);
  const triangles: number[] = [];
  for (let ring = 0; ring < steps; ring++) {
    for (let i = 0; i < around; i++) {
      if (ring > 0) triangles.push(at(ring, i), at(ring + 1, i), at(ring, i + 1));
      if (ring + 1 < steps) triangles.push(at(ring, i + 1), at(ring + 1, i), at(ring + 1, i + 1));
    }
  }
  return {
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from(triangles),
    fileTriangles: Uint32Array.from({ length: triangles.length / 3 }, (_, i) => i),
  };
}

/** A rectangle in the plane z = `z` that is seen from below (normal −z). */
export function plateSeenFromBelow(x0: number, y0: number, x1: number, y1: number, z: number): TriangleMesh {
  return grid(2, 2, (c, r) => [c === 0 ? x0 : x1, r === 0 ? y0 : y1, z]);
}

/**
 * Something like an upper arch in its own frame: fourteen rounded bumps with cusps along a parabola over a vault.
 * @param opening how much wider each side stands at the canines, mm; it falls to nothing at the second molars
 */
export function archLikeSurface(opening: number, step = 0.45): TriangleMesh {
  const crowns: { x: number; y: number; long: number; wide: number; turn: number; molar: boolean }[] = [];
  const places: readonly [number, number, number, number, boolean][] = [
    [4.3, 1, 4.2, 3, false],
    [11.5, 3.2, 3.3, 2.8, false],
    [16.5, 8.5, 3.7, 3.8, false],
    [19.5, 15, 3.3, 4.4, false],
    [22, 21.5, 3.3, 4.5, false],
    [24.5, 30, 5, 5.4, true],
    [26.5, 40, 4.8, 5.3, true],
  ];
  for (const [x, y, long, wide, molar] of places) {
    for (const side of [-1, 1]) {
      const widened = x + (opening * Math.max(0, 40 - y)) / 31.5;
      crowns.push({ x: side * widened, y, long, wide, turn: side * Math.atan2(40 - y * 0.9, 34), molar });
    }
  }
  const height = (x: number, y: number): number | null => {
    const outer = 33 + opening * 0.6;
    const fore = y + 7 - (x * x) / 30;
    if (Math.abs(x) > outer || fore < 0 || y > 47) return null;
    const across = Math.min(1, Math.abs(x) / (19 + 0.15 * y));
    let z = -5 + 15 * Math.max(0, 1 - across * across) * Math.min(1, Math.max(0, (y - 2) / 16));
    if (fore < 5) z = -5 + (5 - fore) * 1.6;
    if (Math.abs(x) > outer - 4) z = Math.max(z, -5 + (Math.abs(x) - outer + 4) * 1.8);
    for (const crown of crowns) {
      const c = Math.cos(crown.turn);
      const s = Math.sin(crown.turn);
      const u = ((x - crown.x) * s + (y - crown.y) * -c * -1) / crown.long;
      const v = ((x - crown.x) * c - (y - crown.y) * s) / crown.wide;
      const away = Math.sqrt(Math.abs(u) ** 2.6 + Math.abs(v) ** 2.6);
      if (away > 1.05) continue;
      const wall = Math.min(1, Math.max(0, (1.05 - away) / 0.4));
      const rise = 8 * wall * wall * (3 - 2 * wall);
      const groove = crown.molar
        ? 1.4 * Math.exp(-(v * v) / 0.05) + 0.8 * Math.exp(-(u * u) / 0.03)
        : crown.y > 9
          ? 1.3 * Math.exp(-(v * v) / 0.06)
          : 0;
      z = Math.min(z, -4 - rise + groove * wall);
    }
    return z;
  };
  const columns = Math.round(84 / step);
  const rows = Math.round(58 / step);
  return grid(columns, rows, (c, r) => {
    const x = c * step - 42;
    const y = -9 + r * step;
    const z = height(x, y);
    return z === null ? null : [x, y, z];
  });
}

/** A sheet of 20 × 20 mm seen from below, folded along x = 0: `slope` < 0 folds it away from the eye, > 0 towards it. */
export function foldedSheet(slope: number, step = 0.4): TriangleMesh {
  const count = Math.round(20 / step) + 1;
  return grid(count, count, (c, r) => {
    const x = c * step - 10;
    return [x, r * step - 10, slope * Math.abs(x)];
  });
}

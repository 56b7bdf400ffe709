import type { Vector3 } from "#core/geometry/vector";
import { oppositeHalfEdges } from "#core/mesh/edges";
import type { BareMesh } from "#core/mesh/filled-holes";

/** A surface z = height(x, y) over a rectangle, facing −z, as two triangles a cell; mm. */
export function heightField(
  height: (x: number, y: number) => number,
  [left, right]: readonly [number, number],
  [front, back]: readonly [number, number],
  step: number,
  keep: (x: number, y: number) => boolean = () => true,
): BareMesh {
  const columns = Math.round((right - left) / step) + 1;
  const rows = Math.round((back - front) / step) + 1;
  const positions = new Float64Array(3 * columns * rows);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const [x, y] = [left + i * step, front + j * step];
      positions.set([x, y, height(x, y)], 3 * (j * columns + i));
    }
  }
  const triangles: number[] = [];
  for (let j = 0; j + 1 < rows; j++) {
    for (let i = 0; i + 1 < columns; i++) {
      if (!keep(left + (i + 0.5) * step, front + (j + 0.5) * step)) continue;
      const a = j * columns + i;
      // Clockwise seen from above: the surface faces down.
      triangles.push(a, a + columns, a + 1, a + 1, a + columns, a + columns + 1);
    }
  }
  return bare(positions, Uint32Array.from(triangles));
}

/** With its neighbours. */
export const bare = (positions: Float64Array, triangles: Uint32Array): BareMesh => ({
  positions,
  triangles,
  opposite: oppositeHalfEdges({ positions, triangles, fileTriangles: new Uint32Array(triangles.length / 3) }),
});

/** The same surface elsewhere. */
export const movedMesh = ({ positions, triangles, opposite }: BareMesh, by: (p: Vector3) => Vector3): BareMesh => {
  const moved = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) moved.set(by([positions[i]!, positions[i + 1]!, positions[i + 2]!]), i);
  return { positions: moved, triangles, opposite };
};

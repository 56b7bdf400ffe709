import { cos, sin } from "#core/geometry/real";
import { apply, type RigidTransform } from "#core/geometry/rigid-transform";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";

/** A mesh from plain lists, for small surfaces drawn by hand. */
export function meshOf(
  points: readonly (readonly number[])[],
  triangles: readonly (readonly number[])[],
): TriangleMesh {
  return {
    positions: Float64Array.from(points.flat()),
    triangles: Uint32Array.from(triangles.flat()),
    fileTriangles: Uint32Array.from(triangles, (_, t) => t),
  };
}

/** The surface z = height(x, y) over a rectangle, seen from above, `columns` × `rows` squares of two triangles. */
export function terrain(
  columns: number,
  rows: number,
  extent: { x: readonly [number, number]; y: readonly [number, number] },
  height: (x: number, y: number) => number,
): TriangleMesh {
  const points: number[][] = [];
  for (let r = 0; r <= rows; r++) {
    for (let c = 0; c <= columns; c++) {
      const x = extent.x[0] + ((extent.x[1] - extent.x[0]) * c) / columns;
      const y = extent.y[0] + ((extent.y[1] - extent.y[0]) * r) / rows;
      points.push([x, y, height(x, y)]);
    }
  }
  const triangles: number[][] = [];
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const a = r * (columns + 1) + c;
      const d = a + columns + 1;
      triangles.push([a, a + 1, d + 1], [a, d + 1, d]);
    }
  }
  return meshOf(points, triangles);
}

/** A closed ball about the origin, cut along meridians and parallels. */
export function ball(radius: number, meridians: number, parallels: number): TriangleMesh {
  const points: number[][] = [[0, 0, radius]];
  for (let p = 1; p < parallels; p++) {
    const polar = (Math.PI * p) / parallels;
    for (let m = 0; m < meridians; m++) {
      const turn = (2 * Math.PI * m) / meridians;
      points.push([radius * sin(polar) * cos(turn), radius * sin(polar) * sin(turn), radius * cos(polar)]);
    }
  }
  points.push([0, 0, -radius]);
  const at = (p: number, m: number) => 1 + (p - 1) * meridians + (m % meridians);
  const triangles: number[][] = [];
  for (let m = 0; m < meridians; m++) {
    triangles.push([0, at(1, m), at(1, m + 1)]);
    for (let p = 1; p < parallels - 1; p++) {
      triangles.push([at(p, m), at(p + 1, m), at(p + 1, m + 1)], [at(p, m), at(p + 1, m + 1), at(p, m + 1)]);
    }
    triangles.push([points.length - 1, at(parallels - 1, m + 1), at(parallels - 1, m)]);
  }
  return meshOf(points, triangles);
}

/** The mesh carried by a rigid motion. */
export function moved(mesh: TriangleMesh, motion: RigidTransform): TriangleMesh {
  const positions = new Float64Array(mesh.positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    positions.set(apply(motion, [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!]), i);
  }
  return { ...mesh, positions };
}

import { atan2 } from "../geometry/real";
import { type TriangleMesh, triangleCount } from "./triangle-mesh";

/**
 * Unit outward normals of the vertices: the normals of the triangles around each, weighted by the triangle's angle
 * there (Thürmer & Wüthrich 1998, J Graphics Tools 3:43), so that the way a flat place is cut into triangles does not
 * matter. They are also the pseudo-normals that tell the sign of a distance (see signed-distance.ts).
 * @returns x, y, z per vertex; 0, 0, 0 where no triangle with an area meets the vertex
 */
export function vertexNormals(mesh: TriangleMesh): Float64Array {
  const { positions, triangles } = mesh;
  const normals = new Float64Array(positions.length);
  for (let t = 0; t < triangleCount(mesh); t++) {
    const a = triangles[3 * t]! * 3;
    const b = triangles[3 * t + 1]! * 3;
    const c = triangles[3 * t + 2]! * 3;
    const ux = positions[b]! - positions[a]!;
    const uy = positions[b + 1]! - positions[a + 1]!;
    const uz = positions[b + 2]! - positions[a + 2]!;
    const vx = positions[c]! - positions[a]!;
    const vy = positions[c + 1]! - positions[a + 1]!;
    const vz = positions[c + 2]! - positions[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const area = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (!(area > 0)) continue;
    // tan of an angle is |cross| / dot, and |cross| is the same at all three corners.
    const uv = ux * vx + uy * vy + uz * vz;
    const uu = ux * ux + uy * uy + uz * uz;
    const atA = atan2(area, uv);
    const atB = atan2(area, uu - uv);
    const atC = Math.PI - atA - atB;
    addTo(normals, a, nx, ny, nz, atA / area);
    addTo(normals, b, nx, ny, nz, atB / area);
    addTo(normals, c, nx, ny, nz, atC / area);
  }
  for (let i = 0; i < normals.length; i += 3) {
    const l = Math.sqrt(
      normals[i]! * normals[i]! + normals[i + 1]! * normals[i + 1]! + normals[i + 2]! * normals[i + 2]!,
    );
    if (l > 0) {
      normals[i]! /= l;
      normals[i + 1]! /= l;
      normals[i + 2]! /= l;
    }
  }
  return normals;
}

function addTo(normals: Float64Array, i: number, x: number, y: number, z: number, weight: number): void {
  normals[i]! += x * weight;
  normals[i + 1]! += y * weight;
  normals[i + 2]! += z * weight;
}

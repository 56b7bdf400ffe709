import { cross, unit, type Vector3 } from "../geometry/vector";
import type { BareMesh } from "./filled-holes";

/** Triangles that the line may hit when it is moved by no more than `margin` (mm). */
export function trianglesNearLine(
  { positions, triangles }: BareMesh,
  origin: Vector3,
  up: Vector3,
  margin: number,
): Uint32Array {
  const u = unit(cross(up, Math.abs(up[0]) < 0.7 ? [1, 0, 0] : [0, 1, 0]));
  const v = cross(up, u);
  // Seen along the line, each vertex beside it.
  const beside = new Float64Array((2 * positions.length) / 3);
  for (let i = 0; i < positions.length / 3; i++) {
    const x = positions[3 * i]! - origin[0];
    const y = positions[3 * i + 1]! - origin[1];
    const z = positions[3 * i + 2]! - origin[2];
    beside[2 * i] = x * u[0] + y * u[1] + z * u[2];
    beside[2 * i + 1] = x * v[0] + y * v[1] + z * v[2];
  }
  const near: number[] = [];
  const reaches = (a: number, b: number, c: number): boolean =>
    (a <= margin || b <= margin || c <= margin) && (a >= -margin || b >= -margin || c >= -margin);
  for (let t = 0; t < triangles.length / 3; t++) {
    const a = 2 * triangles[3 * t]!;
    const b = 2 * triangles[3 * t + 1]!;
    const c = 2 * triangles[3 * t + 2]!;
    if (!reaches(beside[a]!, beside[b]!, beside[c]!)) continue;
    if (reaches(beside[a + 1]!, beside[b + 1]!, beside[c + 1]!)) near.push(t);
  }
  return Uint32Array.from(near);
}

/**
 * How far above a point the surface lies, along a unit direction, mm: the first that faces the point (Möller & Trumbore
 * 1997, J Graph Tools 2:21-28); null where there is none.
 */
export function heightOver(
  { positions, triangles }: BareMesh,
  near: Uint32Array,
  [ox, oy, oz]: Vector3,
  [dx, dy, dz]: Vector3,
): number | null {
  let lowest: number | null = null;
  // Numbers and no vectors: each reading asks for it dozens of times.
  for (const t of near) {
    const [a, b, c] = [3 * triangles[3 * t]!, 3 * triangles[3 * t + 1]!, 3 * triangles[3 * t + 2]!];
    const [ax, ay, az] = [positions[a]!, positions[a + 1]!, positions[a + 2]!];
    const [ex, ey, ez] = [positions[b]! - ax, positions[b + 1]! - ay, positions[b + 2]! - az];
    const [fx, fy, fz] = [positions[c]! - ax, positions[c + 1]! - ay, positions[c + 2]! - az];
    const [nx, ny, nz] = [ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx];
    const slope = nx * dx + ny * dy + nz * dz;
    if (slope >= 0) continue;
    const [px, py, pz] = [ox - ax, oy - ay, oz - az];
    const [qx, qy, qz] = [dy * pz - dz * py, dz * px - dx * pz, dx * py - dy * px];
    const s = (fx * qx + fy * qy + fz * qz) / slope;
    const r = -(ex * qx + ey * qy + ez * qz) / slope;
    if (s < 0 || r < 0 || s + r > 1) continue;
    const height = -(px * nx + py * ny + pz * nz) / slope;
    if (height > 0 && (lowest === null || height < lowest)) lowest = height;
  }
  return lowest;
}

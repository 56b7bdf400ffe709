import { borderVertices, keepTriangles } from "./mesh-parts";
import type { SurfaceMesh } from "./surface-nets";

/** Weight of edge length against loss of shape: keeps triangles of flat parts from growing without end. */
const LENGTH_WEIGHT = 1.2e-5;

/**
 * Collapses edges, cheapest first, until about `target` triangles are left: the quadric error of Garland & Heckbert
 * 1997 (weighted by area), plus a little of the edge's length to the fourth power. Border vertices stay where they
 * are; collapses that would turn a triangle over or pinch the surface are not made.
 */
export function decimated(mesh: SurfaceMesh, target: number): SurfaceMesh {
  return new Decimation(mesh).run(target);
}

const ONLY_FIRST = [0];
const ONLY_SECOND = [1];
const MIDDLE_OR_ENDS = [0.5, 0, 1];

/** Normal (twice the area long) of the triangle from x, y, z over the side b, c. */
function facing(p: Float64Array, b: number, c: number, x: number, y: number, z: number, out: Float64Array): void {
  const ex = p[c]! - p[b]!;
  const ey = p[c + 1]! - p[b + 1]!;
  const ez = p[c + 2]! - p[b + 2]!;
  const dx = p[b]! - x;
  const dy = p[b + 1]! - y;
  const dz = p[b + 2]! - z;
  out[0] = dy * ez - dz * ey;
  out[1] = dz * ex - dx * ez;
  out[2] = dx * ey - dy * ex;
}

class Decimation {
  private readonly positions: Float64Array;
  private readonly triangles: Uint32Array;
  private readonly alive: Uint8Array;
  private readonly quadrics: Float64Array;
  private readonly around: number[][];
  private readonly border: Uint8Array;
  private readonly version: Uint32Array;
  // A binary heap of edges; entries of vertices that changed since are skipped.
  private readonly costs: number[] = [];
  private readonly edges: number[] = [];
  private readonly heap: number[] = [];
  private readonly normalBefore = new Float64Array(3);
  private readonly normalAfter = new Float64Array(3);
  private readonly trial = new Float64Array(3);

  constructor(mesh: SurfaceMesh) {
    this.positions = mesh.positions.slice();
    this.triangles = mesh.triangles.slice();
    const count = mesh.positions.length / 3;
    this.alive = new Uint8Array(mesh.triangles.length / 3).fill(1);
    this.quadrics = new Float64Array(count * 10);
    this.around = Array.from({ length: count }, () => []);
    this.border = borderVertices(mesh);
    this.version = new Uint32Array(count);
    for (let t = 0; t < this.alive.length; t++) {
      for (let c = 0; c < 3; c++) this.around[this.triangles[t * 3 + c]!]!.push(t);
      this.addPlane(t);
    }
  }

  run(target: number): SurfaceMesh {
    let left = this.alive.length;
    for (let t = 0; t < this.alive.length; t++) {
      for (let c = 0; c < 3; c++) {
        const a = this.triangles[t * 3 + c]!;
        const b = this.triangles[t * 3 + ((c + 1) % 3)]!;
        if (a < b) this.offer(a, b);
      }
    }
    const place = new Float64Array(3);
    while (left > target && this.heap.length > 0) {
      const entry = this.pop();
      const [a, b, va, vb] = [0, 1, 2, 3].map((i) => this.edges[entry * 4 + i]!) as [number, number, number, number];
      if (this.version[a] !== va || this.version[b] !== vb) continue;
      this.best(a, b, place);
      if (!this.mayCollapse(a, b, place)) continue;
      left -= this.collapse(a, b, place);
    }
    return keepTriangles({ positions: this.positions, triangles: this.triangles }, (t) => this.alive[t] === 1);
  }

  private addPlane(t: number): void {
    const p = this.positions;
    const [a, b, c] = [0, 1, 2].map((i) => this.triangles[t * 3 + i]! * 3) as [number, number, number];
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    let nx = uy * vz - uz * vy;
    let ny = uz * vx - ux * vz;
    let nz = ux * vy - uy * vx;
    const l = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (l === 0) return;
    nx /= l;
    ny /= l;
    nz /= l;
    const d = -(nx * p[a]! + ny * p[a + 1]! + nz * p[a + 2]!);
    const weight = l / 6;
    const terms = [nx * nx, nx * ny, nx * nz, nx * d, ny * ny, ny * nz, ny * d, nz * nz, nz * d, d * d];
    for (const v of [a, b, c]) {
      const q = (v / 3) * 10;
      for (let i = 0; i < 10; i++) this.quadrics[q + i] = this.quadrics[q + i]! + weight * terms[i]!;
    }
  }

  private error(a: number, b: number, x: number, y: number, z: number): number {
    const q = this.quadrics;
    const i = a * 10;
    const j = b * 10;
    return (
      x *
        ((q[i]! + q[j]!) * x +
          2 * ((q[i + 1]! + q[j + 1]!) * y + (q[i + 2]! + q[j + 2]!) * z + q[i + 3]! + q[j + 3]!)) +
      y * ((q[i + 4]! + q[j + 4]!) * y + 2 * ((q[i + 5]! + q[j + 5]!) * z + q[i + 6]! + q[j + 6]!)) +
      z * ((q[i + 7]! + q[j + 7]!) * z + 2 * (q[i + 8]! + q[j + 8]!)) +
      q[i + 9]! +
      q[j + 9]!
    );
  }

  /** The best of both ends and the middle; returns its cost. */
  private best(a: number, b: number, place: Float64Array): number {
    const p = this.positions;
    let least = Number.POSITIVE_INFINITY;
    for (const share of this.border[a] ? ONLY_FIRST : this.border[b] ? ONLY_SECOND : MIDDLE_OR_ENDS) {
      const x = p[a * 3]! + share * (p[b * 3]! - p[a * 3]!);
      const y = p[a * 3 + 1]! + share * (p[b * 3 + 1]! - p[a * 3 + 1]!);
      const z = p[a * 3 + 2]! + share * (p[b * 3 + 2]! - p[a * 3 + 2]!);
      const e = this.error(a, b, x, y, z);
      if (e < least) {
        least = e;
        place[0] = x;
        place[1] = y;
        place[2] = z;
      }
    }
    return least;
  }

  private offer(a: number, b: number): void {
    if (this.border[a] && this.border[b]) return;
    const p = this.positions;
    const dx = p[a * 3]! - p[b * 3]!;
    const dy = p[a * 3 + 1]! - p[b * 3 + 1]!;
    const dz = p[a * 3 + 2]! - p[b * 3 + 2]!;
    const d2 = dx * dx + dy * dy + dz * dz;
    const cost = Math.max(this.best(a, b, this.trial), 0) + LENGTH_WEIGHT * d2 * d2;
    const entry = this.costs.length;
    this.costs.push(cost);
    this.edges.push(a, b, this.version[a]!, this.version[b]!);
    this.push(entry);
  }

  private neighbours(v: number): Set<number> {
    const found = new Set<number>();
    for (const t of this.around[v]!) {
      for (let c = 0; c < 3; c++) found.add(this.triangles[t * 3 + c]!);
    }
    found.delete(v);
    return found;
  }

  private mayCollapse(a: number, b: number, place: Float64Array): boolean {
    const nearA = this.neighbours(a);
    let shared = 0;
    for (const v of this.neighbours(b)) if (nearA.has(v)) shared++;
    let edgeTriangles = 0;
    for (const t of this.around[a]!) {
      const i = t * 3;
      if (this.triangles[i] === b || this.triangles[i + 1] === b || this.triangles[i + 2] === b) edgeTriangles++;
    }
    if (shared !== edgeTriangles || edgeTriangles !== 2) return false;
    return this.keepsSides(a, b, place) && this.keepsSides(b, a, place);
  }

  private keepsSides(v: number, other: number, place: Float64Array): boolean {
    const p = this.positions;
    const n = this.triangles;
    const was = this.normalBefore;
    const now = this.normalAfter;
    for (const t of this.around[v]!) {
      const k = t * 3;
      if (n[k] === other || n[k + 1] === other || n[k + 2] === other) continue;
      const first = n[k] === v ? 1 : n[k + 1] === v ? 2 : 0;
      const b = n[k + first]! * 3;
      const c = n[k + ((first + 1) % 3)]! * 3;
      facing(p, b, c, p[v * 3]!, p[v * 3 + 1]!, p[v * 3 + 2]!, was);
      facing(p, b, c, place[0]!, place[1]!, place[2]!, now);
      const dot = was[0]! * now[0]! + was[1]! * now[1]! + was[2]! * now[2]!;
      const now2 = now[0]! * now[0]! + now[1]! * now[1]! + now[2]! * now[2]!;
      const was2 = was[0]! * was[0]! + was[1]! * was[1]! + was[2]! * was[2]!;
      if (dot <= 0 || dot * dot < 0.3 * was2 * now2) return false;
      const ex = p[c]! - p[b]!;
      const ey = p[c + 1]! - p[b + 1]!;
      const ez = p[c + 2]! - p[b + 2]!;
      const far2 = ex * ex + ey * ey + ez * ez;
      // No needles: the height over the far side against its length.
      if (now2 < 0.03 * far2 * far2) return false;
    }
    return true;
  }

  private collapse(a: number, b: number, place: Float64Array): number {
    for (let i = 0; i < 3; i++) this.positions[a * 3 + i] = place[i]!;
    for (let i = 0; i < 10; i++) this.quadrics[a * 10 + i] = this.quadrics[a * 10 + i]! + this.quadrics[b * 10 + i]!;
    if (this.border[b]) this.border[a] = 1;
    let gone = 0;
    for (const t of this.around[b]!) {
      const i = t * 3;
      if (this.triangles[i] === a || this.triangles[i + 1] === a || this.triangles[i + 2] === a) {
        this.alive[t] = 0;
        gone++;
      } else {
        for (let c = 0; c < 3; c++) if (this.triangles[i + c] === b) this.triangles[i + c] = a;
        this.around[a]!.push(t);
      }
    }
    this.around[b] = [];
    this.version[b] = this.version[b]! + 1;
    this.version[a] = this.version[a]! + 1;
    const near = this.neighbours(a);
    for (const v of [a, ...near]) this.around[v] = this.around[v]!.filter((t) => this.alive[t] === 1);
    for (const v of this.neighbours(a)) this.offer(Math.min(a, v), Math.max(a, v));
    return gone;
  }

  private push(entry: number): void {
    const { heap, costs } = this;
    let i = heap.push(entry) - 1;
    while (i > 0) {
      const up = (i - 1) >> 1;
      if (costs[heap[up]!]! <= costs[entry]!) break;
      heap[i] = heap[up]!;
      i = up;
    }
    heap[i] = entry;
  }

  private pop(): number {
    const { heap, costs } = this;
    const top = heap[0]!;
    const last = heap.pop()!;
    const n = heap.length;
    if (n === 0) return top;
    let i = 0;
    for (;;) {
      let down = 2 * i + 1;
      if (down >= n) break;
      if (down + 1 < n && costs[heap[down + 1]!]! < costs[heap[down]!]!) down++;
      if (costs[heap[down]!]! >= costs[last]!) break;
      heap[i] = heap[down]!;
      i = down;
    }
    heap[i] = last;
    return top;
  }
}

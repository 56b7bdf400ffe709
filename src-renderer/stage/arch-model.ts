import { BufferAttribute, BufferGeometry, Matrix4, Sphere, Vector3 } from "three";
import type { RigidTransform } from "#core/geometry/rigid-transform";
import type { DisplayMesh } from "#core/jobs/job-list";
import { firstHit } from "./first-hit";
import { Outlines } from "./outlines";

/** About so many vertices tell how far a scan reaches. */
const OUTSTRETCH = 1500;

/** What is painted on a scan, one byte per triangle each; null: nothing. */
export interface Areas {
  readonly appliance: Uint8Array | null;
  readonly reference: Uint8Array | null;
  /** The region that would be proposed as the reference. */
  readonly proposed: Uint8Array | null;
}

/** A scan as the stage draws and picks it; made once for each display mesh. */
export class ArchModel {
  readonly mesh: DisplayMesh;
  readonly geometry: BufferGeometry;
  #outlines: Outlines | null = null;

  constructor(mesh: DisplayMesh) {
    this.mesh = mesh;
    this.geometry = new BufferGeometry();
    this.geometry.setAttribute("position", new BufferAttribute(mesh.positions, 3));
    this.geometry.setAttribute("normal", new BufferAttribute(mesh.normals, 3));
    this.geometry.setAttribute("hollow", new BufferAttribute(mesh.hollow, 1));
    this.geometry.setIndex(new BufferAttribute(mesh.triangles, 1));
    this.geometry.boundingSphere = new Sphere(new Vector3(), mesh.reach);
  }

  /** Only one of two scans is drawn by its outlines: they are made when first asked for. */
  get outlines(): Outlines {
    this.#outlines ??= new Outlines(this.mesh);
    return this.#outlines;
  }

  /** Display coordinates → stage coordinates, for a motion from file coordinates (mm) to the stage's. */
  matrix(toStage: RigidTransform): Matrix4 {
    const [x, y, z] = this.mesh.centre;
    return matrixOf(toStage).multiply(new Matrix4().makeTranslation(x, y, z));
  }

  /** Some vertices all over the scan, in stage coordinates: enough to fit it into view. */
  outstretch(toStage: RigidTransform): Vector3[] {
    const { positions } = this.mesh;
    const matrix = this.matrix(toStage);
    const count = positions.length / 3;
    const step = Math.max(1, Math.floor(count / OUTSTRETCH));
    const points: Vector3[] = [];
    for (let v = 0; v < count; v += step) points.push(new Vector3().fromArray(positions, 3 * v).applyMatrix4(matrix));
    return points;
  }

  /** The first point of the surface along a ray (unit direction, display coordinates), and its triangle; or null. */
  firstHit(origin: Vector3, direction: Vector3): { at: Vector3; triangle: number } | null {
    const hit = firstHit(this.mesh, origin.toArray(), direction.toArray());
    return hit === null ? null : { at: origin.clone().addScaledVector(direction, hit.way), triangle: hit.triangle };
  }

  /** Marks the vertices of painted triangles for the surface's material. */
  paint({ appliance, reference, proposed }: Areas): void {
    const { triangles } = this.mesh;
    const marks = new Uint8Array(this.mesh.positions.length);
    [appliance, reference, proposed].forEach((mask, channel) => {
      if (mask === null) return;
      for (let i = 0; i < triangles.length; i++) {
        if (mask[(i / 3) | 0] === 1) marks[3 * triangles[i]! + channel] = 255;
      }
    });
    this.geometry.setAttribute("painted", new BufferAttribute(marks, 3, true));
  }

  dispose(): void {
    this.geometry.dispose();
  }
}

/** A rigid motion as three.js writes it. */
export function matrixOf({ rotation: r, translation: t }: RigidTransform): Matrix4 {
  return new Matrix4().set(r[0], r[1], r[2], t[0], r[3], r[4], r[5], t[1], r[6], r[7], r[8], t[2], 0, 0, 0, 1);
}

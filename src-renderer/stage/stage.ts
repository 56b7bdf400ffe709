import {
  BufferAttribute,
  Color,
  Matrix4,
  Mesh,
  Scene,
  type ShaderMaterial,
  Vector2,
  Vector3,
  WebGLRenderer,
} from "three";
import { LineMaterial } from "three/examples/jsm/lines/LineMaterial.js";
import { LineSegments2 } from "three/examples/jsm/lines/LineSegments2.js";
import { LineSegmentsGeometry } from "three/examples/jsm/lines/LineSegmentsGeometry.js";
import { compose, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import type { Vector3 as Point } from "#core/geometry/vector";
import type { DisplayMesh } from "#core/jobs/job-list";
import type { Look } from "../state/workspace";
import { ArchModel, type Areas, matrixOf } from "./arch-model";
import { distanceRamp } from "./distance-ramp";
import { StageCamera } from "./stage-camera";
import { hidingMaterial, NO_DISTANCE, surfaceMaterial } from "./surface-material";

/** A scan and where it stands: from its file coordinates (mm) to the stage's. */
export interface Placed {
  readonly mesh: DisplayMesh;
  readonly toStage: RigidTransform;
}

/** What the stage shows: one scan as a body, another as outlines over it. */
export interface Show {
  readonly solid: Placed | null;
  readonly outline: (Placed & { readonly colour: string }) | null;
  /** Signed distances of the solid's vertices, mm, and the limit of their scale; null for plaster. */
  readonly distances: { readonly values: Float32Array; readonly limit: number } | null;
}

/** Where a brush touches the solid scan: in the coordinates of its display mesh. */
export interface Touched {
  readonly triangle: number;
  readonly at: Point;
  readonly towardsEye: Point;
}

/** A place on the surface under the pointer, in file coordinates (mm), and the direction to the eye. */
export interface Picked {
  readonly at: Point;
  readonly towardsEye: Point;
}

/** After this time without a movement the picture is drawn once more, finer, ms. */
const REST = 160;
/** Outlines are drawn this far in front of where they lie, so that the surface they belong to does not cover them, mm. */
const OUTLINE_LIFT = 1;

/** The 3D view: it draws only when something changes, and knows nothing of the case. */
export class Stage {
  readonly eye = new StageCamera();
  readonly #renderer: WebGLRenderer;
  readonly #software: boolean;
  readonly #surface: ShaderMaterial;
  readonly #hiding = hidingMaterial();
  readonly #lines = new LineMaterial({ linewidth: 1.7 });
  readonly #solidScene = new Scene();
  readonly #outlineScene = new Scene();
  readonly #models = new Map<DisplayMesh, ArchModel>();
  readonly #listeners = new Set<() => void>();
  #outlineSegments: LineSegments2 | null = null;
  #shown: Show = { solid: null, outline: null, distances: null };
  #frame = 0;
  #inHand = false;
  #rest: ReturnType<typeof setTimeout> | undefined;
  #version = 0;

  /** @throws Error where the PC offers no WebGL */
  constructor(canvas: HTMLCanvasElement) {
    this.#renderer = new WebGLRenderer({ canvas, alpha: true, antialias: false });
    this.#renderer.autoClear = false;
    this.#software = isSoftware(this.#renderer);
    this.#surface = surfaceMaterial(distanceRamp());
    canvas.addEventListener("webglcontextrestored", () => this.draw());
  }

  /** Called whenever what is drawn has moved; returns how to stop. For what is laid over the stage. */
  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  /** Grows with every movement. */
  readonly version = (): number => this.#version;

  show(next: Show): void {
    this.#shown = next;
    this.#solidScene.clear();
    this.#outlineScene.clear();
    this.#outlineSegments?.geometry.dispose();
    this.#outlineSegments = null;
    if (next.solid !== null) this.#solidScene.add(this.#mesh(next.solid, this.#surface));
    if (next.solid !== null) this.#colourBy(this.#model(next.solid.mesh), next.distances);
    if (next.outline !== null) {
      this.#outlineScene.add(this.#mesh(next.outline, this.#hiding));
      this.#outlineSegments = new LineSegments2(new LineSegmentsGeometry(), this.#lines);
      this.#outlineSegments.frustumCulled = false;
      this.#outlineScene.add(this.#outlineSegments);
      this.#lines.color = new Color(next.outline.colour);
    }
    this.#forgetUnused();
    this.draw();
  }

  /** Turns to a look; at once where `slowly` is false, or where each picture of the way would be costly. */
  lookFrom(look: Look, slowly: boolean): void {
    const placed = [this.#shown.solid, this.#shown.outline].filter((one) => one !== null);
    const points = placed.flatMap((one) => this.#model(one.mesh).outstretch(one.toStage));
    if (this.eye.lookFrom(look, points, slowly && !this.#software, performance.now())) this.draw();
  }

  /** The scan on the stage stands elsewhere now: the eye goes along, and the picture stays as it is. */
  goAlong(from: RigidTransform, to: RigidTransform): void {
    this.eye.goAlong(matrixOf(compose(to, invert(from))));
    this.draw();
  }

  resize(width: number, height: number): void {
    this.#renderer.setSize(width, height, false);
    this.eye.resize(width, height);
    this.#render(true);
  }

  /** Asks for a new picture at the screen's next; while the hand moves it, for a coarse one where each is costly. */
  draw(inHand = false): void {
    this.#inHand = inHand;
    this.#frame ||= requestAnimationFrame((now) => {
      this.#frame = 0;
      const moving = this.eye.step(now);
      const coarse = this.#software && this.#inHand;
      clearTimeout(this.#rest);
      this.#render(!coarse);
      if (moving) this.draw();
      if (coarse) this.#rest = setTimeout(() => this.#render(true), REST);
    });
  }

  /** Where a file coordinate (mm) of a shown scan is seen: pixels from the stage's upper left corner. */
  screenOf(point: Point, toStage: RigidTransform): [number, number] {
    const [x, y, z] = point;
    const { rotation: r, translation: t } = toStage;
    const at = new Vector3(
      r[0] * x + r[1] * y + r[2] * z + t[0],
      r[3] * x + r[4] * y + r[5] * z + t[1],
      r[6] * x + r[7] * y + r[8] * z + t[2],
    );
    return this.eye.project(at);
  }

  /** What of the solid scan is seen at a place of the stage, pixels from its upper left corner. */
  pick(x: number, y: number): Picked | null {
    const touched = this.touch(x, y);
    if (touched === null) return null;
    const [cx, cy, cz] = this.#shown.solid!.mesh.centre;
    const [hx, hy, hz] = touched.at;
    return { at: [hx + cx, hy + cy, hz + cz], towardsEye: touched.towardsEye };
  }

  /** The same in display coordinates, with the triangle. */
  touch(x: number, y: number): Touched | null {
    const { solid } = this.#shown;
    if (solid === null) return null;
    const size = this.#renderer.getSize(this.#size);
    const toDisplay = this.#model(solid.mesh).matrix(solid.toStage).invert();
    const origin = new Vector3((2 * x) / size.x - 1, 1 - (2 * y) / size.y, -1).unproject(this.eye.camera);
    const towardsEye = this.eye.towardsEye().transformDirection(toDisplay);
    const hit = this.#model(solid.mesh).firstHit(origin.applyMatrix4(toDisplay), towardsEye.clone().negate());
    if (hit === null) return null;
    const { at, triangle } = hit;
    return { triangle, at: [at.x, at.y, at.z], towardsEye: [towardsEye.x, towardsEye.y, towardsEye.z] };
  }

  /** Draws what is painted on the solid scan (null: nothing), or what it has come to while the hand paints. */
  paint(areas: Areas | null, inHand = false): void {
    const { solid } = this.#shown;
    this.#surface.uniforms.hatched!.value = areas === null || solid === null ? 0 : 1;
    if (areas !== null && solid !== null) this.#model(solid.mesh).paint(areas);
    this.draw(inHand);
  }
  readonly #size = new Vector2();

  dispose(): void {
    cancelAnimationFrame(this.#frame);
    clearTimeout(this.#rest);
    for (const model of this.#models.values()) model.dispose();
    this.#surface.dispose();
    this.#hiding.dispose();
    this.#lines.dispose();
    this.#renderer.dispose();
  }

  #render(fine: boolean): void {
    const ratio = fine ? Math.max(2, window.devicePixelRatio) : Math.min(1, window.devicePixelRatio);
    if (this.#renderer.getPixelRatio() !== ratio) this.#renderer.setPixelRatio(ratio);
    this.#surface.uniforms.pixel!.value = ratio;
    this.#setDepths();
    this.#setOutlines();
    const { x, y } = this.#renderer.getSize(this.#size);
    // A stage without room is not seen.
    if (x > 0 && y > 0) {
      this.#renderer.clear();
      this.#renderer.render(this.#solidScene, this.eye.camera);
      this.#renderer.clearDepth();
      this.#renderer.render(this.#outlineScene, this.eye.camera);
    }
    this.#version += 1;
    for (const listener of [...this.#listeners]) listener();
  }

  /** The surface grows darker away from the eye; from where to where follows what is seen of it. */
  #setDepths(): void {
    const { solid } = this.#shown;
    if (solid === null) return;
    const seen = this.#model(solid.mesh)
      .outstretch(solid.toStage)
      .map((c) => c.applyMatrix4(this.eye.camera.matrixWorldInverse).z);
    this.#surface.uniforms.depths!.value.set(Math.min(...seen), Math.max(...seen));
  }

  #setOutlines(): void {
    const { outline } = this.#shown;
    if (outline === null || this.#outlineSegments === null) return;
    const model = this.#model(outline.mesh);
    const matrix = model.matrix(outline.toStage);
    const { x, y, z } = this.eye.towardsEye().transformDirection(matrix.clone().invert());
    this.#outlineSegments.geometry.dispose();
    this.#outlineSegments.geometry = new LineSegmentsGeometry();
    this.#outlineSegments.geometry.setPositions(model.outlines.seenFrom([x, y, z]));
    const lift = this.eye.towardsEye().multiplyScalar(OUTLINE_LIFT);
    this.#place(this.#outlineSegments, new Matrix4().makeTranslation(lift.x, lift.y, lift.z).multiply(matrix));
  }

  #colourBy(model: ArchModel, distances: Show["distances"]): void {
    const { uniforms } = this.#surface;
    uniforms.mapped!.value = distances === null ? 0 : 1;
    if (distances === null) {
      model.geometry.deleteAttribute("distance");
      return;
    }
    uniforms.range!.value = distances.limit;
    const values = distances.values.map((value) => (Number.isNaN(value) ? NO_DISTANCE : value));
    model.geometry.setAttribute("distance", new BufferAttribute(values, 1));
  }

  #mesh(placed: Placed, material: ShaderMaterial): Mesh {
    const model = this.#model(placed.mesh);
    const mesh = new Mesh(model.geometry, material);
    this.#place(mesh, model.matrix(placed.toStage));
    return mesh;
  }

  #place(object: Mesh | LineSegments2, matrix: Matrix4): void {
    object.matrixAutoUpdate = false;
    object.matrix.copy(matrix);
    object.updateMatrixWorld(true);
  }

  #model(mesh: DisplayMesh): ArchModel {
    const known = this.#models.get(mesh);
    if (known !== undefined) return known;
    const model = new ArchModel(mesh);
    this.#models.set(mesh, model);
    return model;
  }

  /** Models of scans that left the stage a while ago: the last four are kept for switching to and fro. */
  #forgetUnused(): void {
    const used = new Set([this.#shown.solid?.mesh, this.#shown.outline?.mesh]);
    for (const [mesh, model] of this.#models) {
      if (this.#models.size <= 4) return;
      if (used.has(mesh)) continue;
      model.dispose();
      this.#models.delete(mesh);
    }
  }
}

/** Without a graphics card every frame is costly: then it is drawn coarse while moving and fine at rest. */
function isSoftware(renderer: WebGLRenderer): boolean {
  const gl = renderer.getContext();
  const info = gl.getExtension("WEBGL_debug_renderer_info");
  const name = info === null ? "" : String(gl.getParameter(info.UNMASKED_RENDERER_WEBGL));
  return /swiftshader|llvmpipe|software/i.test(name);
}

import type { RigidTransform } from "../../geometry/rigid-transform";
import type { Vector3 } from "../../geometry/vector";
import { checkCancelled, type JobControl, UNWATCHED } from "../../job-control";
import type { TriangleMesh } from "../../mesh/triangle-mesh";
import { type Camera, project } from "./camera";
import { linearOf, type Triple, toByte } from "./colour";
import { outlineOf, type Strokes, strokeCoverage } from "./outline";
import { type SurfaceColours, type SurfaceSight, shadeSurface, surfaceSight } from "./surface";

/** A solid surface in the colour of plaster, or coloured by signed distances. */
export interface SurfaceLayer {
  readonly kind: "surface";
  readonly mesh: TriangleMesh;
  /** File coordinates (mm) → arch frame. */
  readonly toFrame: RigidTransform;
  readonly colours: SurfaceColours;
  /** As `surfaceSight` gives it for this layer in this picture, where it is known from another one. */
  readonly sight?: SurfaceSight;
}

/** A surface shown by its outlines alone, over everything that was drawn before. */
export interface OutlineLayer {
  readonly kind: "outline";
  readonly mesh: TriangleMesh;
  /** File coordinates (mm) → arch frame. */
  readonly toFrame: RigidTransform;
  readonly colour: `#${string}`;
  /** Pixels. */
  readonly lineWidth: number;
}

export interface PictureRequest {
  /** In drawing order. */
  readonly layers: readonly (SurfaceLayer | OutlineLayer)[];
  readonly camera: Camera;
  /** Pixels. */
  readonly width: number;
  readonly height: number;
}

export interface Picture {
  readonly width: number;
  readonly height: number;
  /** Red, green, blue, alpha of each pixel (not premultiplied), row by row from the top. */
  readonly rgba: Uint8Array;
  /** Where a point of the arch frame (mm) stands: column and row in pixels. */
  project(point: Vector3): [column: number, row: number];
}

/** Colour of the light rim that parts an outline from the plaster under it. */
const RIM = linearOf("#fbfaf6");

/**
 * Draws a picture without a display: the same bytes in every JavaScript engine. Orthographic z-buffer with 2 × 2
 * samples a pixel, one fixed light, soft shading of hollows; outlines over it with an even width.
 * @throws RapheError `cancelled`
 */
export function renderPicture(request: PictureRequest, job: JobControl = UNWATCHED): Picture {
  const { camera, width, height } = request;
  const polled = () => checkCancelled(job);
  // Linear light, premultiplied by alpha.
  const canvas = { colour: new Float32Array(3 * width * height), alpha: new Float32Array(width * height) };
  request.layers.forEach((layer, i) => {
    job.progress(i / request.layers.length);
    polled();
    if (layer.kind === "surface") {
      const sight = layer.sight ?? surfaceSight(layer.mesh, layer.toFrame, camera, width, height, polled);
      const shaded = shadeSurface(layer.mesh, sight, layer.colours);
      for (let p = 0; p < width * height; p++) {
        const share = shaded.alpha[p]!;
        if (share === 0) continue;
        for (let c = 0; c < 3; c++) {
          canvas.colour[3 * p + c] = shaded.colour[3 * p + c]! + canvas.colour[3 * p + c]! * (1 - share);
        }
        canvas.alpha[p] = share + canvas.alpha[p]! * (1 - share);
      }
    } else {
      const { outlines, creases } = outlineOf(layer.mesh, layer.toFrame, camera, width, height, polled);
      const colour = linearOf(layer.colour);
      const draw = (strokes: Strokes, lineWidth: number, opacity: number) => {
        over(canvas, strokeCoverage(strokes, lineWidth * 1.9, width, height), RIM, 0.6 * opacity);
        over(canvas, strokeCoverage(strokes, lineWidth, width, height), colour, opacity);
      };
      draw(creases, layer.lineWidth * 0.5, 0.85);
      draw(outlines, layer.lineWidth, 1);
    }
  });
  job.progress(1);
  return {
    width,
    height,
    rgba: bytesOf(canvas.colour, canvas.alpha),
    project: (point) => project(camera, width, height, point),
  };
}

/** Lays one colour over the canvas where `cover` says so. */
function over(
  canvas: { colour: Float32Array; alpha: Float32Array },
  cover: Float32Array,
  colour: Triple,
  opacity: number,
): void {
  for (let p = 0; p < cover.length; p++) {
    const share = cover[p]! * opacity;
    if (share === 0) continue;
    for (let c = 0; c < 3; c++) {
      canvas.colour[3 * p + c] = colour[c]! * share + canvas.colour[3 * p + c]! * (1 - share);
    }
    canvas.alpha[p] = share + canvas.alpha[p]! * (1 - share);
  }
}

function bytesOf(colour: Float32Array, alpha: Float32Array): Uint8Array {
  const rgba = new Uint8Array(4 * alpha.length);
  for (let p = 0; p < alpha.length; p++) {
    const share = alpha[p]!;
    if (share <= 0) continue;
    for (let c = 0; c < 3; c++) rgba[4 * p + c] = toByte(colour[3 * p + c]! / share);
    rgba[4 * p + 3] = Math.round(255 * Math.min(1, share));
  }
  return rgba;
}

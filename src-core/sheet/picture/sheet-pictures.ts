import { compose, invert, type RigidTransform } from "../../geometry/rigid-transform";
import { checkCancelled, type JobControl, partOf, UNWATCHED } from "../../job-control";
import type { TriangleMesh } from "../../mesh/triangle-mesh";
import type { Readings } from "../../readings/readings-document";
import { PRINT, type TimepointKind } from "../style";
import { type Camera, cameraAround, type View } from "./camera";
import { printedPng } from "./png";
import { type OutlineLayer, type Picture, renderPicture, type SurfaceLayer } from "./render";
import { type SurfaceSight, surfaceSight } from "./surface";

/** A picture of the arch and what is needed to draw upon it. */
export interface ArchPicture {
  /** 'from-below', 'from-the-front', 'distance': its name in `Sheet.pictures` and in the record's folder. */
  readonly name: string;
  readonly view: View;
  readonly picture: Picture;
  readonly png: Uint8Array;
  readonly millimetresPerPixel: number;
  /** True where the earlier scan's outlines are on it. */
  readonly outlined: boolean;
  /** True where the later scan is coloured by distance instead of plaster. */
  readonly coloured: boolean;
  /** File coordinates (mm) → the picture's arch frame; null where a scan is not on the picture. */
  readonly earlierToFrame: RigidTransform | null;
  readonly laterToFrame: RigidTransform;
}

export interface SheetPictures {
  readonly below: ArchPicture | null;
  readonly front: ArchPicture | null;
  /** The later scan coloured by its signed distance to the earlier one, from below; ± limit in mm. */
  readonly distance: (ArchPicture & { readonly limit: number }) | null;
}

export interface PictureSources {
  readonly readings: Readings;
  readonly earlier: TriangleMesh;
  readonly later: TriangleMesh;
  /** Which colour the earlier scan's outlines have. */
  readonly earlierKind: TimepointKind;
  /** The later scan's file coordinates (mm) → the earlier scan's; null: not registered. */
  readonly overlay: RigidTransform | null;
  /** The earlier scan's file coordinates (mm) → its arch frame; null: no frame. */
  readonly frame: RigidTransform | null;
  /** Signed distance (mm, NaN: none) at each vertex of the later scan, under `overlay`; null: none computed. */
  readonly distances: ArrayLike<number> | null;
}

/** Pixels of the pictures on the sheet: about 300 per inch at their size there. */
const SIZE = { below: [1000, 1000], front: [1000, 560] } as const;
const OUTLINE = 3.2;

/**
 * Draws the sheet's pictures: the later arch solid with the earlier one's outlines, from below and from the front, and
 * the distance map. What lacks a frame or a registration is left out.
 * @throws RapheError `cancelled`
 */
export function drawSheetPictures(sources: PictureSources, job: JobControl = UNWATCHED): SheetPictures {
  const motions = motionsToFrame(sources);
  if (motions === null) return { below: null, front: null, distance: null };
  const { distances } = sources;
  const coloured = distances !== null && motions.earlier !== null && sources.readings.distance.state === "given";
  // Both pictures from below show the later arch from one place: they can be laid on each other, and it is looked at once.
  const fromBelow = lookAt("below", sources, motions, job);
  const below = overlayPicture("from-below", fromBelow, sources, motions, partOf(job, 0.25, 0.5));
  const distance = coloured ? distancePicture(sources, distances, fromBelow, motions, partOf(job, 0.5, 0.6)) : null;
  const fromTheFront = lookAt("front", sources, motions, job);
  return {
    below,
    front: overlayPicture("from-the-front", fromTheFront, sources, motions, partOf(job, 0.75, 1)),
    distance,
  };
}

/** The later arch as one camera sees it, and the size of the picture. */
interface Look {
  readonly width: number;
  readonly height: number;
  readonly camera: Camera;
  readonly sight: SurfaceSight;
}

function lookAt(view: "below" | "front", sources: PictureSources, motions: Motions, job: JobControl): Look {
  const [width, height] = SIZE[view];
  const camera = cameraAround(view, surfaces(sources, motions), width, height);
  const polled = () => checkCancelled(job);
  return { width, height, camera, sight: surfaceSight(sources.later, motions.later, camera, width, height, polled) };
}

interface Motions {
  readonly earlier: RigidTransform | null;
  readonly later: RigidTransform;
}

/** Both scans into one arch frame: the earlier scan's where there is one, else the later one's. */
function motionsToFrame({ readings, frame, overlay }: PictureSources): Motions | null {
  if (frame !== null && overlay !== null) return { earlier: frame, later: compose(frame, overlay) };
  const own = readings.frames.find((f) => f.timepoint === readings.span.to);
  if (own === undefined) return null;
  const later = { rotation: own.rotation, translation: own.translation } as unknown as RigidTransform;
  return { earlier: overlay === null ? null : compose(later, invert(overlay)), later };
}

function overlayPicture(
  name: string,
  { width, height, camera, sight }: Look,
  sources: PictureSources,
  motions: Motions,
  job: JobControl,
): ArchPicture {
  const layers: (SurfaceLayer | OutlineLayer)[] = [
    { kind: "surface", mesh: sources.later, toFrame: motions.later, colours: "plaster", sight },
  ];
  if (motions.earlier !== null) {
    layers.push({
      kind: "outline",
      mesh: sources.earlier,
      toFrame: motions.earlier,
      colour: PRINT[sources.earlierKind],
      lineWidth: OUTLINE,
    });
  }
  const picture = renderPicture({ layers, camera, width, height }, job);
  return pictured(name, picture, camera, motions, motions.earlier !== null);
}

function distancePicture(
  sources: PictureSources,
  distances: ArrayLike<number>,
  { width, height, camera, sight }: Look,
  motions: Motions,
  job: JobControl,
): ArchPicture & { limit: number } {
  const summary = sources.readings.distance;
  const limit = summary.state === "given" ? summary.reading.histogram.limit : 1;
  const layer: SurfaceLayer = {
    kind: "surface",
    mesh: sources.later,
    toFrame: motions.later,
    colours: { distances, limit },
    sight,
  };
  const picture = renderPicture({ layers: [layer], camera, width, height }, job);
  return { ...pictured("distance", picture, camera, motions, false), limit };
}

function surfaces(sources: PictureSources, motions: Motions) {
  return [
    { positions: sources.later.positions, toFrame: motions.later },
    ...(motions.earlier === null ? [] : [{ positions: sources.earlier.positions, toFrame: motions.earlier }]),
  ];
}

function pictured(name: string, picture: Picture, camera: Camera, motions: Motions, outlined: boolean): ArchPicture {
  return {
    name,
    view: camera.view,
    picture,
    png: printedPng(picture),
    millimetresPerPixel: camera.millimetresPerPixel,
    outlined,
    coloured: name === "distance",
    earlierToFrame: motions.earlier,
    laterToFrame: motions.later,
  };
}

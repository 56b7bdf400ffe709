import { RapheError } from "../errors";
import { apply, type RigidTransform, rotate } from "../geometry/rigid-transform";
import { addScaled, distance, dot, subtract, type Vector3 } from "../geometry/vector";
import { withoutMasked } from "../mesh/masked-surface";
import { touchedVertices } from "../mesh/painted-triangles";
import { regionArea } from "../mesh/sample-surface";
import type { Surface } from "../mesh/surface";
import { vertexCount } from "../mesh/triangle-mesh";
import type { Mark } from "./landmark-start";
import { largestPart } from "./largest-part";
import type { Region, SidedRegion } from "./sided-region";

/** Distance kept from the gingival margin, which swells and is moved with the teeth, mm. */
const FROM_MARGIN = 3;
/**
 * Half width of the strip along the median plane that belongs to neither half, mm: soft tissue stretches there. A
 * convention; wider strips hold a half's position less (the raphe's side is what holds it sideways), narrower ones take
 * in more tissue that did not move with the half.
 */
export const MEDIAN_STRIP = 3.5;
/** Length of the incisive papilla behind its landmark, mm. */
const PAPILLA = 3;
/** Back end of a first molar behind the landmarks it may be known by, mm (half a crown; crown widths of 10 mm). */
const BEHIND = { "distal-contact": 0, "palatal-gingival": 5, "mesiobuccal-cusp-tip": 7 } as const;
/** Where only a buccal cusp tip is known: about how far inside and above it the palatal margin lies, mm. */
const INSIDE_CUSP = { canine: 6, premolar: 9, molar: 11 } as const;
const ABOVE_CUSP = 7;
/** How far the palate may lie below (occlusal of) the nearest margin, mm. */
const BELOW_MARGIN = 1;
/** Least share of the normal towards occlusal: walls steeper than 70 degrees are left out. */
const TOWARDS_OCCLUSAL = 0.34;

/**
 * Proposes the reference region of the palate: the vault inside the palatal gingival points (where one is missing, a
 * place estimated from its tooth's cusp tip), at least 3 mm from the line through them, behind the incisive papilla,
 * in front of the distal of the first molars, facing occlusal, in one piece, without what is masked. Its halves leave
 * out 3.5 mm on each side of the median plane.
 * @param toFrame file coordinates (mm) → arch frame (+x to the patient's left, +y back, +z to the head)
 * @param marks landmarks of the scan, mm in file coordinates
 * @param scan the timepoint's name, for errors
 * @throws RapheError `landmark-missing` where a side has fewer than two teeth with a usable landmark
 */
export function proposePalateRegion(
  surface: Surface,
  toFrame: RigidTransform,
  marks: readonly Mark[],
  scan: string,
): SidedRegion {
  const inFrame = marks.map((mark) => ({ ...mark, at: apply(toFrame, mark.at) }));
  const outline = outlineOf(inFrame, scan);
  const { positions } = surface.mesh;
  const { normals } = surface;
  const candidates = new Uint8Array(vertexCount(surface.mesh));
  for (let v = 0; v < candidates.length; v++) {
    const p = apply(toFrame, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!]);
    if (p[1] < outline.front || p[1] > outline.back || !encloses(outline.line, p)) continue;
    const normal = rotate(toFrame, [normals[3 * v]!, normals[3 * v + 1]!, normals[3 * v + 2]!]);
    if (!(normal[2] <= -TOWARDS_OCCLUSAL)) continue;
    const near = nearestOnLine(outline.line, p);
    if (near.distance >= FROM_MARGIN && p[2] >= near.z - BELOW_MARGIN) candidates[v] = 1;
  }
  // What covers a part of it may leave several pieces of one palate.
  const mask = withoutMasked(surface, largestPart(surface, candidates));
  return { origin: "proposed", ...withHalves(surface, toFrame, mask) };
}

/**
 * The reference region that the user painted, without what is masked. Its halves lie to both sides of the median plane
 * and leave out the same strip along it as the proposed region's.
 * @param painted per triangle, 0 = not painted
 * @param toFrame file coordinates (mm) → arch frame
 */
export function paintedPalateRegion(surface: Surface, toFrame: RigidTransform, painted: Uint8Array): SidedRegion {
  const mask = withoutMasked(surface, touchedVertices(surface.mesh, painted));
  return { origin: "painted", ...withHalves(surface, toFrame, mask) };
}

/** A region with its parts to the right and to the left of the median strip. */
function withHalves(
  surface: Surface,
  toFrame: RigidTransform,
  mask: Uint8Array,
): Pick<SidedRegion, "whole" | "right" | "left"> {
  const { positions } = surface.mesh;
  const part = (belongs: (x: number) => boolean): Region => {
    const half = mask.map((chosen, v) => {
      if (chosen === 0) return 0;
      return belongs(apply(toFrame, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!])[0]) ? 1 : 0;
    });
    return { mask: half, area: regionArea(surface.mesh, half) };
  };
  return {
    whole: { mask, area: regionArea(surface.mesh, mask) },
    right: part((x) => x < -MEDIAN_STRIP),
    left: part((x) => x > MEDIAN_STRIP),
  };
}

interface Outline {
  /** From the front of the right side backwards, then from the back of the left side forwards; closed in front. */
  readonly line: readonly Vector3[];
  readonly front: number;
  readonly back: number;
}

function outlineOf(marks: readonly Mark[], scan: string): Outline {
  const right = sideOf(marks, "right");
  const left = sideOf(marks, "left");
  for (const [side, points] of [["right", right] as const, ["left", left] as const]) {
    if (points.length >= 2) continue;
    throw new RapheError({
      code: "landmark-missing",
      subject: scan,
      problem: `the palatal region needs palatal gingival points or cusp tips of two teeth on the ${side} side`,
      remedy: `Place the palatal gingival points of the canine and the first molar on the ${side} side`,
    });
  }
  const back = backOf(marks, [...right, ...left]);
  const papilla = marks.find((mark) => mark.place === "incisive-papilla")?.at;
  const front = papilla === undefined ? Math.min(right[0]![1], left[0]![1]) : papilla[1] + PAPILLA;
  // The line runs on straight back from the last point of each side, so that the back limit alone ends the region.
  const end = (side: readonly Vector3[]): Vector3 => {
    const last = side[side.length - 1]!;
    return [last[0], Math.max(last[1], back) + 2 * FROM_MARGIN, last[2]];
  };
  return {
    line: [
      ...(papilla === undefined ? [] : [papilla]),
      ...right,
      end(right),
      end(left),
      ...left.toReversed(),
      ...(papilla === undefined ? [] : [papilla]),
    ],
    front,
    back,
  };
}

/** Palatal margin points of one side from front to back, estimated from the cusp tip where only that is known. */
function sideOf(marks: readonly Mark[], side: "right" | "left"): Vector3[] {
  const quadrants = side === "right" ? [1, 5] : [2, 6];
  const inwards = side === "right" ? 1 : -1;
  const teeth = new Set<number>();
  for (const { tooth } of marks)
    if (tooth !== undefined && quadrants.includes(Math.floor(tooth / 10))) teeth.add(tooth);
  const points = [...teeth].flatMap((tooth): Vector3[] => {
    const of = (place: string) => marks.find((mark) => mark.tooth === tooth && mark.place === place)?.at;
    const margin = of("palatal-gingival");
    if (margin !== undefined) return [margin];
    const cusp = of("cusp-tip") ?? of("buccal-cusp-tip") ?? of("mesiobuccal-cusp-tip");
    if (cusp === undefined) return [];
    const place = tooth % 10;
    const deciduousMolar = tooth > 50 && place >= 4;
    const inside =
      place === 3 ? INSIDE_CUSP.canine : place >= 6 || deciduousMolar ? INSIDE_CUSP.molar : INSIDE_CUSP.premolar;
    return [[cusp[0] + inwards * inside, cusp[1], cusp[2] + ABOVE_CUSP]];
  });
  return points.sort((a, b) => a[1] - b[1]);
}

/** The distal of the first molars (the one farther in front), else the hindmost margin point. */
function backOf(marks: readonly Mark[], margin: readonly Vector3[]): number {
  const ends = [16, 26].flatMap((tooth) => {
    for (const place of Object.keys(BEHIND) as (keyof typeof BEHIND)[]) {
      const mark = marks.find((m) => m.tooth === tooth && m.place === place);
      if (mark !== undefined) return [mark.at[1] + BEHIND[place]];
    }
    return [];
  });
  return ends.length > 0 ? Math.min(...ends) : Math.max(...margin.map((p) => p[1]));
}

/** Whether the closed line, seen from occlusal, runs round the point (crossing number). */
function encloses(line: readonly Vector3[], p: Vector3): boolean {
  let inside = false;
  for (let i = 0; i < line.length; i++) {
    const a = line[i]!;
    const b = line[(i + 1) % line.length]!;
    if (a[1] > p[1] === b[1] > p[1]) continue;
    if (p[0] < a[0] + ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1])) inside = !inside;
  }
  return inside;
}

/** Distance of a point from the gingival line (not from its closing piece at the back), and the line's height there. */
function nearestOnLine(line: readonly Vector3[], p: Vector3): { distance: number; z: number } {
  let best = { distance: Infinity, z: 0 };
  for (let i = 0; i < line.length - 1; i++) {
    const along = subtract(line[i + 1]!, line[i]!);
    const squared = dot(along, along);
    const share = squared === 0 ? 0 : Math.min(1, Math.max(0, dot(subtract(p, line[i]!), along) / squared));
    const foot = addScaled(line[i]!, along, share);
    const away = distance(p, foot);
    if (away < best.distance) best = { distance: away, z: foot[2] };
  }
  return best;
}

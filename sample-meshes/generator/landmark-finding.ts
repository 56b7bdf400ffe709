import { apply, type RigidTransform } from "#core/geometry/rigid-transform";
import { addScaled, cross, dot, scale, unit, type Vector3 } from "#core/geometry/vector";
import { type ArchField, dropOntoSurface, type Field } from "./arch-field";
import { archFrame, frameAxis, type PlacedLandmark } from "./arch-frame";
import { fromCrown, type PlacedTooth } from "./tooth-placing";

/** A copy of p on the field's zero level. */
export function onSurface(field: Field, p: Vector3): Vector3 {
  const at = Float64Array.from(p);
  dropOntoSurface(field, at, 0, 30, new Float64Array(3));
  return [at[0]!, at[1]!, at[2]!];
}

/** A zero of f between low and high, where its signs differ, to 1e-11: the Illinois form of the false position. */
function zeroBetween(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  let fa = f(a);
  let fb = f(b);
  for (let round = 0; round < 60 && Math.abs(b - a) > 1e-11; round++) {
    const x = (a * fb - b * fa) / (fb - fa);
    const fx = f(x);
    if (fx === 0) return x;
    if (fx < 0 === fb < 0) fa /= 2;
    else {
      a = b;
      fa = fb;
    }
    if (Math.abs(x - b) < 1e-12) return x;
    b = x;
    fb = fx;
  }
  return b;
}

/** Where a ray from p inside the solid first leaves it; steps of 0.05 mm, then exactly. */
function leaving(field: Field, p: Vector3, direction: Vector3): Vector3 {
  const along = (s: number) => field.evaluate(...addScaled(p, direction, s));
  let s = 0.05;
  while (s < 60 && along(s) < 0) s += 0.05;
  return addScaled(p, direction, zeroBetween(along, s - 0.05, s));
}

/**
 * The point of the surface that lies farthest along `direction` (unit) near `start`: compass search across the
 * direction with halving steps, down to 1e-6 mm.
 */
function farthest(field: Field, start: Vector3, direction: Vector3): Vector3 {
  const a = unit(cross(direction, Math.abs(direction[0]) < 0.8 ? [1, 0, 0] : [0, 1, 0]));
  const b = cross(direction, a);
  // Height of the surface over a place across the direction, within 0.5 mm of the last height.
  const heightAt = (i: number, j: number, about: number) => {
    const foot = addScaled(addScaled(start, a, i), b, j);
    const f = (h: number) => field.evaluate(...addScaled(foot, direction, h));
    if (f(about - 0.5) < 0 === f(about + 0.5) < 0) return Number.NEGATIVE_INFINITY;
    return zeroBetween(f, about - 0.5, about + 0.5);
  };
  let [i, j] = [0, 0];
  let height = heightAt(0, 0, 0);
  for (let step = 0.2; step > 1e-6; ) {
    let moved = false;
    for (const [di, dj] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
      [0.7, 0.7],
      [-0.7, 0.7],
      [0.7, -0.7],
      [-0.7, -0.7],
    ] as const) {
      const next = heightAt(i + di * step, j + dj * step, height);
      if (next > height + 1e-10) {
        [i, j, height] = [i + di * step, j + dj * step, next];
        moved = true;
        break;
      }
    }
    if (!moved) step /= 2;
  }
  return addScaled(addScaled(addScaled(start, a, i), b, j), direction, height);
}

/**
 * The most apical point (farthest along `head`) of the line where crown and gingival cuff meet, on one side of a crown,
 * dropped onto the arch's surface. It comes from the model's own parts, not from the surface's curvature, so that it
 * stays independent of whatever searches a scan for the crease.
 */
function creaseApex(field: ArchField, tooth: PlacedTooth, side: 1 | -1, head: Vector3): Vector3 {
  const at = (share: number) => fromCrown(tooth, tooth.field.crease(share, side * Math.sqrt(1 - share * share)));
  let best = 0;
  let height = Number.NEGATIVE_INFINITY;
  for (let i = -12; i <= 12; i++) {
    const h = dot(at(i * 0.05), head);
    if (h > height) [best, height] = [i * 0.05, h];
  }
  for (let step = 0.025; step > 1e-6; step /= 2) {
    for (const next of [best - step, best + step]) {
      const h = dot(at(next), head);
      if (h > height) [best, height] = [next, h];
    }
  }
  return onSurface(field, at(best));
}

/** The landmarks of one tooth as an examiner would find them on this scan, whose head direction is `head`. */
function toothLandmarks(field: ArchField, tooth: PlacedTooth, head: Vector3): PlacedLandmark[] {
  const crown = field.crownAlone(tooth.tooth);
  const occlusal = scale(head, -1);
  const found: PlacedLandmark[] = [];
  for (const [place, nominal] of tooth.field.shape.places) {
    const start = fromCrown(tooth, nominal);
    let at: Vector3;
    if (place.endsWith("cusp-tip")) at = farthest(crown, onSurface(crown, start), occlusal);
    else if (place === "central-fossa") at = farthest(crown, onSurface(crown, start), head);
    else if (place === "incisal-edge-middle") at = edgeMiddle(crown, tooth, onSurface(crown, start), occlusal);
    else if (place.endsWith("contact")) at = contact(field, tooth, start, occlusal);
    else at = onSurface(field, start);
    found.push({ tooth: tooth.tooth, place, at });
  }
  found.push({ tooth: tooth.tooth, place: "palatal-gingival", at: creaseApex(field, tooth, -1, head) });
  found.push({ tooth: tooth.tooth, place: "buccal-gingival-zenith", at: creaseApex(field, tooth, 1, head) });
  return found;
}

/** The point of the incisal edge farthest to occlusal in the plane through the middle of the crown, across its width. */
function edgeMiddle(crown: Field, tooth: PlacedTooth, start: Vector3, occlusal: Vector3): Vector3 {
  const turn: RigidTransform = { rotation: tooth.motion.rotation, translation: [0, 0, 0] };
  const buccal = apply(turn, tooth.buccal);
  let at = start;
  for (let step = 0.2; step > 1e-6; ) {
    const next = [step, -step]
      .map((s) => leaving(crown, addScaled(addScaled(at, buccal, s), occlusal, -0.6), occlusal))
      .filter((p) => dot(p, occlusal) > dot(at, occlusal) + 1e-12)[0];
    if (next === undefined) step /= 2;
    else at = next;
  }
  return at;
}

/**
 * The contact as it can be seen: the crown's farthest point to mesial or distal; where a neighbour hides it, the point
 * of the surface straight to occlusal of it.
 */
function contact(field: ArchField, tooth: PlacedTooth, nominal: Vector3, occlusal: Vector3): Vector3 {
  const side = onSurface(field.crownAlone(tooth.tooth), nominal);
  const f = field.evaluate(...side);
  return f < -0.02 ? leaving(field, side, occlusal) : onSurface(field, side);
}

/** Landmarks of a whole arch with the frame they give (model frame); the two are found in turn until they agree. */
export function findLandmarks(
  field: ArchField,
  palate: readonly PlacedLandmark[],
): { landmarks: PlacedLandmark[]; frame: RigidTransform } {
  let head: Vector3 = [0, 0, 1];
  let landmarks: PlacedLandmark[] = [];
  let frame: RigidTransform | null = null;
  const planeTeeth = field.teeth.filter((t) => [3, 4, 6].includes(t.tooth % 10));
  for (let round = 0; round < 3 && palate.length > 0; round++) {
    frame = archFrame([...planeTeeth.flatMap((t) => toothLandmarks(field, t, head)), ...palate], head);
    head = frameAxis(frame, 2);
  }
  landmarks = [...field.teeth.flatMap((t) => toothLandmarks(field, t, head)), ...palate];
  return { landmarks, frame: frame ?? { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [0, 0, 0] } };
}

/** Landmarks of the palate before treatment: papilla and raphe points, dropped on the surface (model frame). */
export function palateLandmarks(field: ArchField, rapheTo: number): PlacedLandmark[] {
  const relief = field.gum.relief;
  if (relief === null) return [];
  const at = (x: number, y: number) => leaving(field, [x, y, 30], [0, 0, -1]);
  const found: PlacedLandmark[] = [{ place: "incisive-papilla", at: at(0, relief.papillaY) }];
  const from = relief.papillaY + 5;
  const count = 7;
  for (let i = 0; i < count; i++) {
    const y = from + ((rapheTo - from) * i) / (count - 1);
    found.push({ place: "median-raphe", at: at(relief.rapheX(y), y) });
  }
  return found;
}

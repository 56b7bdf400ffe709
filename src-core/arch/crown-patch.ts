import { apply, type RigidTransform } from "../geometry/rigid-transform";
import { dot, subtract, type Vector3 } from "../geometry/vector";
import type { Surface } from "../mesh/surface";
import { vertexCount } from "../mesh/triangle-mesh";
import { largestPart } from "../registration/largest-part";
import { type CrownFrame, type FrameMark, inCrown } from "./crown-frame";
import { creaseHeight } from "./crown-margin";
import { crownSize } from "./crown-sizes";
import type { Place } from "./landmark";

/** What is left out along every limit of a crown: the neighbour's contact, the gingiva's margin, mm. */
const EROSION = 1;
/** How much farther to occlusal the gingiva stands between the teeth than at the middle of the crown, mm. */
const PAPILLA = 3;
/** The patch may reach this far beyond the average crown outwards and inwards, mm. */
const BEYOND = 1.5;

/** All vertices of a scan in its arch frame, so that several crowns share the work; 3 × vertices, mm. */
export function verticesInFrame(surface: Surface, toFrame: RigidTransform): Float64Array {
  const { positions } = surface.mesh;
  const out = new Float64Array(positions.length);
  for (let v = 0; v < vertexCount(surface.mesh); v++) {
    out.set(apply(toFrame, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!]), 3 * v);
  }
  return out;
}

/**
 * The surface of one crown that serves to register it: between the contacts, to occlusal of a scalloped line through the
 * gingival points (where nobody placed one, where the gingival crease is found, else the average crown's), 1 mm away from all of these, in one piece.
 * @param toFrame file coordinates (mm) → arch frame
 * @param inFrame from `verticesInFrame`
 * @param frames of all crowns of the scan
 * @param marks of the scan, in its arch frame
 * @returns per vertex, 1 = belongs to it
 */
export function crownPatch(
  surface: Surface,
  toFrame: RigidTransform,
  inFrame: Float64Array,
  frame: CrownFrame,
  frames: readonly CrownFrame[],
  marks: readonly FrameMark[],
): Uint8Array {
  const own = marks.filter(({ tooth }) => tooth === frame.tooth);
  const { buccopalatal } = crownSize(frame.tooth);
  const [distal, mesial] = sidesOf(frame, frames, own);
  const margin = marginOf(surface, toFrame, frame, own);
  const halfDepth = buccopalatal / 2 + BEYOND;
  const reach = Math.max(mesial, -distal) + halfDepth + 8;
  const chosen = new Uint8Array(vertexCount(surface.mesh));
  for (let v = 0; v < chosen.length; v++) {
    const off: Vector3 = [
      inFrame[3 * v]! - frame.centre[0],
      inFrame[3 * v + 1]! - frame.centre[1],
      inFrame[3 * v + 2]! - frame.centre[2],
    ];
    if (Math.abs(off[0]) > reach || Math.abs(off[1]) > reach) continue;
    const [m, b, o] = inCrown(frame, off);
    if (m < distal + EROSION || m > mesial - EROSION || Math.abs(b) > halfDepth) continue;
    if (o >= margin(m / (m < 0 ? -distal : mesial), b)) chosen[v] = 1;
  }
  return largestPart(surface, chosen);
}

/** How far the crown reaches to distal (negative) and to mesial from its middle, mm. */
function sidesOf(frame: CrownFrame, frames: readonly CrownFrame[], own: readonly FrameMark[]): [number, number] {
  const along = (p: Vector3) => dot(subtract(p, frame.centre), frame.mesial);
  const { mesiodistal } = crownSize(frame.tooth);
  const contact = (place: "mesial-contact" | "distal-contact", usual: number): number => {
    const mark = own.find((m) => m.place === place);
    return mark === undefined ? usual : along(mark.at);
  };
  let distal = contact("distal-contact", -mesiodistal / 2);
  let mesial = contact("mesial-contact", mesiodistal / 2);
  const i = frames.indexOf(frame);
  for (const other of [frames[i - 1], frames[i + 1]]) {
    if (other === undefined) continue;
    // Where crowns stand closer than average ones would, each gets its share of the way to the other.
    const away = along(other.centre);
    const limit = (away * mesiodistal) / (mesiodistal + crownSize(other.tooth).mesiodistal);
    if (limit > 0) mesial = Math.min(mesial, Math.max(limit, 1));
    else distal = Math.max(distal, Math.min(limit, -1));
  }
  return [distal, mesial];
}

/**
 * The lowest place to occlusal that still belongs to the patch, mm along occlusal from the crown's middle, for a place
 * along the crown (share of the way to the contact) and across it (mm to buccal).
 */
function marginOf(
  surface: Surface,
  toFrame: RigidTransform,
  frame: CrownFrame,
  own: readonly FrameMark[],
): (along: number, across: number) => number {
  const { buccopalatal, palatalHeight, buccalHeight } = crownSize(frame.tooth);
  const height = (p: Vector3) => inCrown(frame, subtract(p, frame.centre))[2];
  const top = (places: readonly string[]): number | null => {
    const heights = own.filter(({ place }) => places.includes(place)).map(({ at }) => height(at));
    return heights.length === 0 ? null : Math.max(...heights);
  };
  const cusps = (side: "buccal" | "palatal"): number => {
    const all = ["cusp-tip", "incisal-edge-middle"];
    const buccal = [...all, "buccal-cusp-tip", "mesiobuccal-cusp-tip", "distobuccal-cusp-tip"];
    const palatal = [...all, "palatal-cusp-tip", "mesiopalatal-cusp-tip", "distopalatal-cusp-tip"];
    const [first, second] = side === "buccal" ? [buccal, palatal] : [palatal, buccal];
    return top(first) ?? top(second) ?? 1;
  };
  const wall = (side: "buccal" | "palatal", place: Place, usual: number): number => {
    const mark = own.find((m) => m.place === place);
    if (mark !== undefined) return height(mark.at);
    const expected = cusps(side) - usual;
    return creaseHeight(surface, toFrame, frame, side, expected) ?? expected;
  };
  const palatal = wall("palatal", "palatal-gingival", palatalHeight);
  const buccal = wall("buccal", "buccal-gingival-zenith", buccalHeight);
  return (along, across) => {
    const share = Math.min(1, Math.max(0, 0.5 + across / buccopalatal));
    return palatal + (buccal - palatal) * share + PAPILLA * along * along + EROSION;
  };
}

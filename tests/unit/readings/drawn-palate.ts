import { expect } from "vitest";
import { archFrame, commonPlanePairs } from "#core/arch/arch-frame";
import type { Landmark } from "#core/arch/landmark";
import { cos } from "#core/geometry/real";
import { apply, IDENTITY } from "#core/geometry/rigid-transform";
import { seededRandom } from "#core/geometry/seeded-random";
import { add, addScaled, type Vector3 } from "#core/geometry/vector";
import type { BareMesh } from "#core/mesh/filled-holes";
import type { ArchScan } from "#core/readings/arch-scan";
import { PALATE_HEIGHTS } from "#core/readings/palate-height";
import { CANINE_SECTIONS, MOLAR_SECTION } from "#core/readings/palate-section";
import { palateSurfaces } from "#core/readings/palate-surface";
import type { Quantity } from "#core/readings/quantity";
import type { ReadingDefinition } from "#core/readings/reading-definition";
import { spanReading } from "#core/readings/span-reading";
import { type Assumptions, RAPHE_POINT } from "#core/readings/uncertainty";
import { pointOf } from "#core/readings/width";
import { heightField, movedMesh } from "../mesh/palate-vaults";
import { inventedArch, moving, type Spot, scanOf } from "./invented-full-arch";
import { normalFrom, Spread } from "./normal-draws";

/** An invented palate before and after its widening, and draws of its scans with errors. */

/** Rising from the front, z = h(y) − a·x², in cells of 3.5 mm. */
const rise = (y: number): number => 18 - 4 * (1 - cos((Math.min(0, y - 24) / 40) * Math.PI));
const vault = (a: number): BareMesh => heightField((x, y) => rise(y) - a * x * x, [-24.5, 24.5], [-7, 31.5], 3.5);
export const MESHES = [vault(0.03), vault(0.024)] as const;

const before = inventedArch();
const after = moving(before, ({ tooth, at: [x, y, z] }): Vector3 => {
  if (tooth === null) return [x, y, z];
  return [x + (tooth < 20 ? -2 : 2), y, z];
});
const SPOTS = [before, after] as const;

export const bothScans = (assumptions: Assumptions, meshes: readonly BareMesh[] = MESHES): [ArchScan, ArchScan] => [
  scanOf("before", before, assumptions, IDENTITY, meshes[0]!),
  scanOf("after", after, assumptions, IDENTITY, meshes[1]!),
];
const NO_ERROR: Assumptions = { delta: 1, pointWidth: 0, scanner: { atCanines: 0, atMolars: 0, local: 0 } };

/** Every reading of the palate. */
export const palateReadings = (): ReadingDefinition[] => [
  ...PALATE_HEIGHTS,
  CANINE_SECTIONS[0]!,
  MOLAR_SECTION,
  ...palateSurfaces(bothScans(NO_ERROR)),
];

const marksOf = (spots: readonly Spot[]): Landmark[] =>
  spots.map(({ tooth, place, at }) => (tooth === null ? { place, at: [...at] } : { tooth, place, at: [...at] }));
const PAIRS = commonPlanePairs([marksOf(before)]);
const carriesFrame = ({ tooth, place }: Spot): boolean =>
  tooth === null || PAIRS.some((pair) => pair.place === place && (pair.right === tooth || pair.left === tooth));

/** The landmarks of a scan that these readings and the arch frame stand on. */
export const spotsFor = (definitions: readonly ReadingDefinition[], scan: 0 | 1): Spot[] =>
  SPOTS[scan].filter(
    (one) =>
      carriesFrame(one) ||
      definitions.some(({ spots }) => spots.some((s) => s.tooth === one.tooth && s.place === one.place)),
  );

/** A scan with these landmarks and this surface, ready for values alone: its arch frame is made of its landmarks. */
export function plainScan(spots: readonly Spot[], mesh: BareMesh): ArchScan {
  const frame = archFrame(marksOf(spots), PAIRS, "drawn");
  const laid = { ...movedMesh(mesh, (p) => apply(frame.toFrame, p)), covers: () => false };
  return {
    timepoint: "drawn",
    points: {
      timepoint: "drawn",
      faults: [],
      points: spots.map(({ tooth, place, at }) => ({ tooth, place, at, inFrame: apply(frame.toFrame, at) })),
    },
    frame,
    hasSurface: true,
    palate: () => laid,
    toFrame: frame.toFrame,
    supports: [],
    fields: [],
    erupting: () => null,
  };
}

/** Values on a scan, the spot, the cut or the vault found on it. */
export const valuesOn = (definitions: readonly ReadingDefinition[], scan: ArchScan): number[] =>
  definitions.map((definition) => {
    const points = definition.spots.map(({ tooth, place }) => pointOf(scan.points, tooth, place)!.inFrame!);
    const measure = definition.on(scan, points);
    if ("code" in measure) throw new Error(`${definition.name}: ${measure.text}`);
    return measure.value(points, IDENTITY);
  });

/** Landmarks off by the hand's error, alike in all directions: a width takes it from two points; the raphe's by its own. */
export const placedByHand = (spots: readonly Spot[], pointWidth: number, raphe: number, normal: () => number): Spot[] =>
  spots.map((one) => {
    const size = one.place === "median-raphe" ? raphe : pointWidth / Math.SQRT2;
    const at = add(one.at, [size * normal(), size * normal(), size * normal()]);
    return { tooth: one.tooth, place: one.place, at };
  });

/** A draw of a scan with landmarks placed by hand on a true surface. */
export function drawnByHand(definitions: readonly ReadingDefinition[], { pointWidth }: Assumptions, meshes = MESHES) {
  const spots = [spotsFor(definitions, 0), spotsFor(definitions, 1)];
  return (scan: 0 | 1, normal: () => number): ArchScan =>
    plainScan(placedByHand(spots[scan]!, pointWidth, RAPHE_POINT, normal), meshes[scan]);
}

/** A draw of a scan that its scanner bent, landmarks and surface alike, each point off by the local figure as well. */
export function drawnByScanner(definitions: readonly ReadingDefinition[], assumptions: Assumptions) {
  const scans = bothScans(assumptions).map(({ fields, toFrame }, scan) => {
    const shifts = (p: Vector3) => fields.map((field) => field(apply(toFrame, p)));
    const inFrame = movedMesh(MESHES[scan]!, (p) => apply(toFrame, p));
    const vertices = Array.from({ length: inFrame.positions.length / 3 }, (_, v) =>
      MESHES[scan]!.positions.subarray(3 * v, 3 * v + 3),
    );
    return {
      mesh: inFrame,
      vertexShifts: vertices.map(([x, y, z]) => shifts([x!, y!, z!])),
      spots: spotsFor(definitions, scan as 0 | 1).map((one) => ({
        spot: { ...one, at: apply(toFrame, one.at) },
        shifts: shifts(one.at),
      })),
    };
  });
  const local = assumptions.scanner.local / Math.SQRT2;
  return (scan: 0 | 1, normal: () => number): ArchScan => {
    const { mesh, vertexShifts, spots } = scans[scan]!;
    const shares = vertexShifts[0]!.map(() => normal());
    const bent = (p: Vector3, shifts: readonly Vector3[]) =>
      shifts.reduce((at, shift, k) => addScaled(at, shift, shares[k]!), p);
    const moved = spots.map(({ spot, shifts }) => ({
      tooth: spot.tooth,
      place: spot.place,
      at: add(bent(spot.at, shifts), [local * normal(), local * normal(), local * normal()]),
    }));
    let vertex = 0;
    return plainScan(
      moved,
      movedMesh(mesh, (p) => bent(p, vertexShifts[vertex++]!)),
    );
  };
}

/** Claimed standard uncertainty over the standard deviation of so many draws, of each reading before and of its change. */
export function claimedToDrawn(
  definitions: readonly ReadingDefinition[],
  draw: (scan: 0 | 1, normal: () => number) => ArchScan,
  part: keyof Quantity["components"],
  assumptions: Assumptions,
  draws: number,
  seed: number,
  meshes: readonly BareMesh[] = MESHES,
): { name: string; ratio: number }[] {
  const normal = normalFrom(seededRandom(seed));
  const spreads = definitions.map(() => ({ before: new Spread(), change: new Spread() }));
  for (let i = 0; i < draws; i++) {
    const [a, b] = [valuesOn(definitions, draw(0, normal)), valuesOn(definitions, draw(1, normal))];
    spreads.forEach((spread, k) => {
      spread.before.add(a[k]!);
      spread.change.add(b[k]! - a[k]!);
    });
  }
  const scans = bothScans(assumptions, meshes);
  return definitions.flatMap((definition, k) => {
    const reading = spanReading(definition, ...scans, assumptions);
    return (["before", "change"] as const).map((key) => {
      const given = reading[key];
      if (given.state === "withheld") throw new Error(given.reason.text);
      return { name: `${definition.name}, ${key}`, ratio: given.reading.components[part] / spreads[k]![key].deviation };
    });
  });
}

/** Every one of these ratios lies within 5 % of 1. */
export function within5(ratios: ReturnType<typeof claimedToDrawn>): void {
  for (const { name, ratio } of ratios) {
    expect.soft(ratio, name).toBeGreaterThan(0.95);
    expect.soft(ratio, name).toBeLessThan(1.05);
  }
}

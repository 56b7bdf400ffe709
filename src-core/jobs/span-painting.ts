import { commonPlanePairs } from "../arch/arch-frame";
import { type Landmark, landmarkWords, type Place } from "../arch/landmark";
import { landmarksInUse, type ScanLandmarks } from "../arch/landmarks-in-use";
import { RIGHT_AND_LEFT } from "../arch/sides";
import type { PaintedArea, Timepoint } from "../case/timepoint";
import { type ErrorParts, RapheError } from "../errors";
import type { Vector3 } from "../geometry/vector";
import { closestPoint, newClosestPoint, ON_CORNER, ON_EDGE, ON_FACE } from "../mesh/closest-point";
import { maskedSurface } from "../mesh/masked-surface";
import { bitBytes, maskFromBits } from "../mesh/painted-triangles";
import type { Surface } from "../mesh/surface";
import type { RegistrationSurface } from "../registration/registration-surface";
import type { PaintedBits } from "./job-list";
import type { KeptScan } from "./scan-store";

/** A landmark that an appliance covers, with the reason why nothing is read from it. */
export interface CoveredSpot {
  readonly tooth: number | null;
  readonly place: Place;
  readonly text: string;
}

/**
 * A painted area on the triangles of a scan's mesh, one byte each; null where nothing is painted.
 * @param painted the bits of the case, by their hash
 * @throws RapheError `bad-request` where the bits are not given or belong to another file
 */
export function paintedOn(scan: KeptScan, area: PaintedArea | null, painted: PaintedBits): Uint8Array | null {
  if (area === null) return null;
  const bits = painted[area.sha256];
  const { inFile } = scan.intake.report.triangles;
  if (bits?.length === bitBytes(area.triangles) && area.triangles === inFile) {
    const mask = maskFromBits(scan.intake.mesh, bits);
    return mask.includes(1) ? mask : null;
  }
  throw new RapheError({
    code: "bad-request",
    subject: "Painted area",
    problem:
      bits === undefined
        ? "what was painted on the scan is not there"
        : `it is painted on ${area.triangles} triangles, the scan has ${inFile}`,
    remedy: "Wipe the painted area and paint it again",
  });
}

/** The scan with what the appliance covers left out of everything that is measured on it. */
export function maskedScan(scan: KeptScan, mask: Uint8Array | null): KeptScan {
  if (mask === null) return scan;
  let registration: RegistrationSurface | null = null;
  return {
    ...scan,
    surface: maskedSurface(scan.surface, mask),
    registration: () => {
      registration ??= maskedSurface(scan.registration(), mask);
      return registration;
    },
  };
}

/** Whether a point of the surface lies on what is masked, or at its edge. */
export function touchesMask({ masked, tree, mesh, opposite }: Surface, [x, y, z]: Vector3): boolean {
  if (masked === undefined) return false;
  const { triangle, feature } = footOf(tree, x, y, z);
  if (masked.triangles[triangle] === 1) return true;
  if (feature >= ON_CORNER) return masked.vertices[mesh.triangles[3 * triangle + feature - ON_CORNER]!] === 1;
  if (feature === ON_FACE) return false;
  const other = opposite[3 * triangle + feature - ON_EDGE]!;
  return other >= 0 && masked.triangles[Math.floor(other / 3)] === 1;
}

function footOf(tree: Surface["tree"], x: number, y: number, z: number) {
  const foot = newClosestPoint();
  closestPoint(tree, x, y, z, foot);
  return foot;
}

/** Teeth whose crowns a bonded splint covers at a visit. */
export const splintedTeeth = ({ details: { appliance } }: Pick<Timepoint, "details">): readonly number[] =>
  appliance.kind === "bonded-splint" ? appliance.teeth : [];

/** A timepoint of the span and its scan. */
interface Marked {
  readonly timepoint: Timepoint;
  readonly scan: KeptScan | null;
}

/** Its landmarks as far as they stand on what can be seen of the patient, and those that an appliance covers. */
interface Seen {
  /** With the landmarks that are left. */
  readonly timepoint: Timepoint;
  readonly landmarks: ScanLandmarks;
  readonly covered: readonly CoveredSpot[];
}

const NO_LANDMARKS: ScanLandmarks = { frame: null, inUse: [], faults: [], notices: [] };

/**
 * The landmarks of both scans, their occlusal planes on the same pairs of teeth. Those that an appliance covers are left
 * out of the arch frames and of every reading, with their reason.
 */
export function uncoveredLandmarks(ends: readonly Marked[]): Seen[] {
  const covered = ends.map(({ timepoint }): CoveredSpot[] =>
    timepoint.landmarks
      .filter((mark) => isSplinted(mark, timepoint))
      .map((mark) => ({
        tooth: mark.tooth ?? null,
        place: mark.place,
        text: `not measurable: a bonded splint covers the ${landmarkWords(mark)} on the ${timepoint.name} scan`,
      })),
  );
  const kept = ends.map(({ timepoint }) => timepoint.landmarks.filter((mark) => !isSplinted(mark, timepoint)));
  const wrongSide = ends.map((): Pick<ScanLandmarks, "faults" | "notices"> => ({ faults: [], notices: [] }));
  for (;;) {
    const pairs = commonPlanePairs(kept.filter((marks, i) => ends[i]!.scan !== null && marks.length > 0));
    const found = ends.map(({ scan, timepoint }, i) =>
      scan === null || kept[i]!.length === 0
        ? NO_LANDMARKS
        : landmarksInUse(scan.surface, kept[i]!, pairs, timepoint.name),
    );
    // Single teeth on the wrong side carry no plane: both frames are made without them.
    const exchanged = found.map(({ frame, faults }) =>
      frame === null ? [] : faults.filter(({ error }) => error.code === RIGHT_AND_LEFT),
    );
    if (exchanged.some((faults) => faults.length > 0)) {
      for (const [i, faults] of exchanged.entries()) {
        const notices = found[i]!.notices.filter(({ code }) => code === RIGHT_AND_LEFT);
        wrongSide[i] = {
          faults: [...wrongSide[i]!.faults, ...faults],
          notices: [...wrongSide[i]!.notices, ...(faults.length > 0 ? notices : [])],
        };
        kept[i] = kept[i]!.filter((mark) => !faults.some(({ landmark }) => landmark.tooth === mark.tooth));
      }
      continue;
    }
    const touching = found.map(({ inUse }, i) => inUse.filter(({ used }) => touchesMask(ends[i]!.scan!.surface, used)));
    if (touching.every((marks) => marks.length === 0)) {
      return ends.map(({ timepoint }, i) => ({
        timepoint: covered[i]!.length === 0 ? timepoint : { ...timepoint, landmarks: kept[i]! },
        landmarks: {
          ...found[i]!,
          faults: [...wrongSide[i]!.faults, ...found[i]!.faults],
          notices: [...wrongSide[i]!.notices, ...found[i]!.notices],
        },
        covered: covered[i]!,
      }));
    }
    // Without them the frames are others, and with them the spots that the rest mean: all are looked at again.
    for (const [i, marks] of touching.entries()) {
      const { name } = ends[i]!.timepoint;
      covered[i]!.push(...marks.map(({ tooth, place }) => ({ tooth, place, text: coveredWords(tooth, place, name) })));
      kept[i] = kept[i]!.filter(
        (mark) => !marks.some((one) => one.place === mark.place && sameAt(one.placed, mark.at)),
      );
    }
  }
}

const sameAt = (a: Vector3, b: Landmark["at"]): boolean => b.every((value, axis) => value === a[axis]);

/** Whether a bonded splint covers the landmark: it covers crowns, the gingiva beside them is seen. */
const isSplinted = ({ tooth, place }: Landmark, timepoint: Timepoint): boolean =>
  tooth !== undefined && !place.includes("gingival") && splintedTeeth(timepoint).includes(tooth);

/** Why nothing is read from a spot that the painted mask covers, and what to do. */
export const coveredWords = (tooth: number | null, place: Place, scan: string): string =>
  `the ${landmarkWords({ tooth: tooth ?? undefined, place })} lies on what the appliance covers on the ${scan} scan: place it beside, or wipe the mask there if the tooth itself is seen`;

/** Why the palate of a scan may not be registered although nothing is painted on it; undefined where it may be. */
export function palateRefusal(timepoint: Timepoint, masked: boolean): ErrorParts | undefined {
  if (timepoint.details.appliance.kind !== "over-the-palate" || masked) return undefined;
  return {
    code: "masked",
    subject: "The palate",
    problem: `on the ${timepoint.name} scan an appliance lies over it, and what it covers is not painted`,
    remedy: "Paint what the appliance covers on that scan, so that the rest of the palate can be registered",
  };
}

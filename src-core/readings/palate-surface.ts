import { fitPlane } from "../geometry/plane-fit";
import { apply, IDENTITY, invert, type RigidTransform, rotate } from "../geometry/rigid-transform";
import { addScaled, cross, dot, scale, subtract, unit, type Vector3 } from "../geometry/vector";
import type { BareMesh } from "../mesh/filled-holes";
import { type Closing, type CoreSums, coreSums, findVault, type Vault, type VaultSize, vaultSize } from "../mesh/vault";
import type { ArchScan } from "./arch-scan";
import { fixed, listed } from "./numbers-in-words";
import { bySurface } from "./palate-mesh";
import type { Withheld } from "./quantity";
import { covered, incomplete, type ReadingDefinition, type Spot, spot } from "./reading-definition";
import { pointOf } from "./width";

/** Teeth whose palatal gingival points may bound the palate, from the right first molar forwards to the left one. */
const RIGHT: readonly number[] = [16, 15, 55, 14, 54, 13, 53, 12, 52, 11, 51];
const LEFT: readonly number[] = [21, 61, 22, 62, 23, 63, 24, 64, 25, 65, 26];
/** On each side at least so many, the first molar among them. */
const FEWEST = 3;

const ENDS: readonly Spot[] = [spot(16, "distal-contact"), spot(26, "distal-contact")];

/**
 * Surface area and volume of the palate, bounded at every time by the same points: the palatal gingival points of the
 * teeth that have one on both scans, joined by straight lines, in front from side to side as well; behind by the plane
 * through the distal contact points of 16 and 26. (A box fixed in space would cut off what the palate gained.)
 */
export function palateSurfaces(scans: readonly ArchScan[]): ReadingDefinition[] {
  const stands = (tooth: number): boolean =>
    scans.every(({ points }) => pointOf(points, tooth, "palatal-gingival") !== undefined);
  const sides = [RIGHT, LEFT].map((side) => side.filter(stands)) as [number[], number[]];
  const enough = sides.every((side) => side.length >= FEWEST) && stands(16) && stands(26);
  // Where too few stand nothing can be read: the usual ones are asked for.
  const [right, left] = enough ? sides : ([RIGHT, LEFT].map((side) => side.filter((t) => t < 50)) as typeof sides);
  const behind = [17, 27].every(stands) ? [17, 27] : [];
  const teeth = [...right, ...left];
  const spots = [...teeth, ...behind].map((tooth) => spot(tooth, "palatal-gingival")).concat(ENDS);
  const plane = `the least-squares plane of these points${flatness(scans, teeth)}`;
  const bounds = `inside the palatal gingival points of ${listed(teeth.map(String))}, joined by straight lines, in front of the plane through the distal contact points of 16 and 26`;
  // Area and volume are of one vault, found once a scan.
  const vaults = new WeakMap<ArchScan, FoundVault | Withheld>();
  const vaultOn = (scan: ArchScan, points: readonly Vector3[]): FoundVault | Withheld => {
    const known = vaults.get(scan) ?? vaultOf(scan, closingOf(points, teeth.length, behind.length, IDENTITY));
    vaults.set(scan, known);
    return known;
  };
  const shared = { teeth: [...teeth, ...behind], spots, basis: "occlusal-plane", onSurface: true } as const;
  return (["area", "volume"] as const).map(
    (size): ReadingDefinition => ({
      ...shared,
      teeth: [...shared.teeth],
      name: size === "area" ? "palatal surface area" : "palatal volume",
      by:
        size === "area"
          ? `palatal surface above ${plane}, ${bounds}`
          : `between the palatal surface and ${plane}, ${bounds}`,
      unit: size === "area" ? "mm2" : "mm3",
      on: (scan, points) => {
        const found = vaultOn(scan, points);
        if ("code" in found) return found;
        const { mesh, vault, nominal } = found;
        return {
          value: (moved, frame) => sizeUnder(found, closingOf(moved, teeth.length, behind.length, frame))[size],
          bySurface: bySurface(
            mesh,
            [vault.core, vault.band],
            scan.fields,
            (bent) => vaultSize(bent, vault, coreSums(bent, vault), nominal)[size],
          ),
        };
      },
    }),
  );
}

interface FoundVault {
  readonly mesh: BareMesh;
  readonly nominal: Closing;
  readonly vault: Vault;
  readonly sums: CoreSums;
  /** Sizes under closings tried before, by a sum over the closing's numbers. */
  readonly tried: Map<number, { readonly numbers: readonly number[]; readonly size: VaultSize }>;
}

/** The vault's size under a closing; area and volume ask for the same ones, one after the other. */
function sizeUnder({ mesh, vault, sums, tried }: FoundVault, closing: Closing): VaultSize {
  const numbers = [...closing.outline, closing.centre, closing.up].flat();
  let sum = 0;
  for (let i = 0; i < numbers.length; i++) sum += (i + 1) * numbers[i]!;
  const before = tried.get(sum);
  if (before?.numbers.every((number, i) => number === numbers[i])) return before.size;
  const size = vaultSize(mesh, vault, sums, closing);
  tried.set(sum, { numbers, size });
  return size;
}

function vaultOf(scan: ArchScan, nominal: Closing): FoundVault | Withheld {
  const mesh = scan.palate();
  if (mesh === null) return incomplete(scan);
  const vault = findVault(mesh, nominal);
  if (vault === null || !vault.closed) return incomplete(scan);
  if (mesh.covers(vault.core) || mesh.covers(vault.band)) return covered(scan);
  return { mesh, nominal, vault, sums: coreSums(mesh, vault), tried: new Map() };
}

/**
 * The closing plane and outline of the palate.
 * @param points palatal gingival points from the right first molar to the left one, those of the second molars (right,
 *   left) if there are any, distal contact points of 16 and 26
 * @param frame nominal arch frame → the one to measure in; where no second molars stand the sides run on straight back
 */
export function closingOf(points: readonly Vector3[], teeth: number, behind: number, frame: RigidTransform): Closing {
  const margin = points.slice(0, teeth);
  const { centre, normal } = fitPlane(margin);
  const toFile = invert(frame);
  const up = dot(normal, rotate(toFile, [0, 0, 1])) < 0 ? scale(normal, -1) : normal;
  const [endRight, endLeft] = points.slice(-2) as [Vector3, Vector3];
  const across = unit(cross(subtract(endLeft, endRight), up));
  const back = rotate(toFile, [0, 1, 0]);
  // Where a side, run on from the first molar, meets the plane at the back.
  const corner = (from: Vector3, next: Vector3 | undefined): Vector3 => {
    const along = next === undefined ? back : subtract(next, from);
    return addScaled(from, along, dot(subtract(endRight, from), across) / dot(along, across));
  };
  const [nextRight, nextLeft] = behind === 2 ? points.slice(teeth, teeth + 2) : [];
  return {
    outline: [corner(margin[0]!, nextRight), ...margin, corner(margin.at(-1)!, nextLeft)],
    centre,
    up,
  };
}

/** How flat the points lie that the closing plane runs through, in brackets. */
function flatness(scans: readonly ArchScan[], teeth: readonly number[]): string {
  const words = scans.flatMap(({ points, toFrame, timepoint }) => {
    const margin = teeth.flatMap((tooth) => pointOf(points, tooth, "palatal-gingival") ?? []);
    if (margin.length < 4) return [];
    return [`${fixed(fitPlane(margin.map(({ at }) => apply(toFrame, at))).rms, 1)} mm on the ${timepoint} scan`];
  });
  return words.length === 0 ? "" : ` (from which they lie, root mean square, ${listed(words)})`;
}

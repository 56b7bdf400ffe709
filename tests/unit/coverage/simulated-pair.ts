import type { Landmark } from "#core/arch/landmark";
import { type CaseDocument, DEFAULT_SETTINGS, emptyCase } from "#core/case/case-document";
import { apply, fromRotationVector, IDENTITY, type RigidTransform } from "#core/geometry/rigid-transform";
import { centroid, type Vector3 } from "#core/geometry/vector";
import { UNWATCHED } from "#core/job-control";
import { measure } from "#core/jobs/measure";
import { ScanStore } from "#core/jobs/scan-store";
import type { Readings } from "#core/readings/readings-document";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { writePly } from "#core/scan/write-ply";
import { vertexNormals } from "../../../sample-meshes/generator/mesh-parts";
import { Random } from "../../../sample-meshes/generator/random";
import { makeSamplePair, type SamplePairOptions } from "../../../sample-meshes/generator/sample-pair";
import type { SurfaceMesh } from "../../../sample-meshes/generator/surface-nets";
import { type Deviation, deviationsOf } from "./deviations";
import { type PairTruth, pairTruth } from "./pair-truth";
import { type ArchPlaces, drawnDisplacement, type NoiseMaker, noiseMaker } from "./scanner-errors";

/** The figures that the uncertainties are computed from, and that the errors are drawn from. */
const FIGURES = DEFAULT_SETTINGS;
const NO_ERRORS: CaseDocument["settings"] = {
  ...DEFAULT_SETTINGS,
  pointWidth: 0,
  scanner: { atCanines: 0, atMolars: 0, local: 0 },
};
/** Standard deviation of the noise along the surface's normal, mm: what a registration sees of a scan. */
const NOISE = 0.02;
/** Where the later scan's file has its axes. */
const POSE = fromRotationVector([0.9, -0.7, 1.6], [31, -18, 24]);

type PairOptions = Required<Pick<SamplePairOptions, "seed" | "arch" | "treatment">>;
const MOST_PASSED_OVER = 8;

/** Contact points would ask for surface and volume of the palate, which take half of the time and are not looked at here. */
const isUsed = ({ place }: { readonly place: string }): boolean => !place.endsWith("-contact");

interface TrueScan {
  readonly mesh: SurfaceMesh;
  readonly normals: Float64Array;
  readonly noise: NoiseMaker;
  readonly places: ArchPlaces;
  readonly landmarks: readonly Landmark[];
  readonly pose: RigidTransform;
}

/** Two true surfaces of one arch, of which scans and landmarks with errors are drawn and measured. */
export class SimulatedPair {
  private constructor(
    private readonly scans: Readonly<Record<"before" | "after", TrueScan>>,
    readonly truth: PairTruth,
  ) {}

  /**
   * The first pair, from the seed on, whose halves are read: a palate too smooth to hold a half's position has no interval.
   * The halves move as rigid bodies up to the strip that their regions leave out: that is what their reading says.
   */
  static async made({ seed, ...options }: PairOptions): Promise<SimulatedPair> {
    for (let next = seed; next < seed + MOST_PASSED_OVER; next++) {
      const pair = await SimulatedPair.#from({ ...options, seed: next });
      if (pair !== null) return pair;
    }
    throw new Error(`no palate holds its halves from seed ${seed} on`);
  }

  static async #from(options: PairOptions): Promise<SimulatedPair | null> {
    const pair = makeSamplePair({
      ...options,
      arch: { ...options.arch, stretchedHalfBand: 3 },
      triangles: 30_000,
      scanner: { noise: 0, holes: 0, fragments: 0 },
      unposed: true,
    });
    const scan = (name: "before" | "after", pose: RigidTransform): TrueScan => {
      const mesh = pair.meshes[name]!;
      // The same material points on both scans, used exactly where they are put.
      const landmarks = pair.truth.scans[name]!.landmarks.filter(isUsed).map(
        ({ tooth, place, material }): Landmark => ({
          ...(tooth === undefined ? {} : { tooth }),
          place: place as Landmark["place"],
          at: [...material],
          snap: false,
        }),
      );
      return {
        mesh,
        normals: vertexNormals(mesh),
        noise: noiseMaker(mesh),
        places: placesOf(landmarks),
        landmarks,
        pose,
      };
    };
    const scans = { before: scan("before", IDENTITY), after: scan("after", POSE) };
    const { halves } = await readingsOf(scans, NO_ERRORS, 0, 1);
    if (halves.state === "withheld") return null;
    return new SimulatedPair(scans, pairTruth(pair, scans.before.landmarks, halves.reading));
  }

  /** Both scanned and marked anew, measured by the job `measure`, and held against the truth. */
  async deviations(seed: number): Promise<Deviation[]> {
    return deviationsOf(await readingsOf(this.scans, FIGURES, NOISE, seed), this.truth);
  }
}

async function readingsOf(
  scans: Readonly<Record<"before" | "after", TrueScan>>,
  settings: CaseDocument["settings"],
  noise: number,
  seed: number,
): Promise<Readings> {
  const store = new ScanStore();
  const handles: Record<string, string> = {};
  const empty = emptyCase();
  const timepoints: CaseDocument["timepoints"] = [];
  for (const [i, name] of (["before", "after"] as const).entries()) {
    const random = new Random(seed).branch(i + 1);
    const { mesh, landmarks } = scannedAndMarked(scans[name], settings, noise, random);
    const bytes = writePly(mesh, "binary-little-endian", ["invented"]);
    const intake = await takeIn(bytesSource(name, bytes), { unit: "mm" }, UNWATCHED);
    handles[name] = store.keep(intake);
    const scan = { sha256: intake.report.sha256, fileName: "invented", unit: "mm" as const };
    timepoints.push({ ...empty.timepoints[i]!, scan, landmarks });
  }
  const document = { ...empty, invented: true, settings, timepoints };
  return measure({ document, handles, painted: {}, version: "test" }, store, UNWATCHED).readings;
}

/** One scan of the true surface in its file's axes, and the landmarks that a hand places on it. */
function scannedAndMarked(
  { mesh, normals, noise: maker, places, landmarks, pose }: TrueScan,
  { scanner, pointWidth }: CaseDocument["settings"],
  noise: number,
  random: Random,
): { mesh: SurfaceMesh; landmarks: Landmark[] } {
  const shown = drawnDisplacement(scanner, places, random.branch(1));
  const noises = maker.draw(random.branch(2));
  const positions = new Float64Array(mesh.positions.length);
  const at = (values: Float64Array, v: number): Vector3 => [values[v]!, values[v + 1]!, values[v + 2]!];
  for (let v = 0; v < positions.length; v += 3) {
    const [x, y, z] = shown(at(mesh.positions, v));
    const [nx, ny, nz] = at(normals, v);
    const off = noise * noises[v / 3]!;
    positions.set(apply(pose, [x + off * nx, y + off * ny, z + off * nz]), v);
  }
  const hand = random.branch(3);
  // Two points make a width, and together carry its point figure.
  const off = () => (pointWidth / Math.SQRT2) * hand.normal();
  return {
    mesh: { positions, triangles: mesh.triangles },
    landmarks: landmarks.map((mark) => {
      const [x, y, z] = shown(mark.at);
      return { ...mark, at: [...apply(pose, [x + off(), y + off(), z + off()])] };
    }),
  };
}

/** Teeth that widths are read between. */
const MEASURED = [13, 14, 15, 16, 23, 24, 25, 26];

function placesOf(landmarks: readonly Landmark[]): ArchPlaces {
  const of = (teeth: readonly number[], place: string) =>
    centroid(landmarks.filter((m) => teeth.includes(m.tooth ?? 0) && m.place.includes(place)).map((m) => m.at));
  const teeth = [...new Set(landmarks.flatMap(({ tooth }) => (tooth === undefined ? [] : [tooth])))];
  return {
    canines: of([13, 23], "cusp-tip")[1],
    molars: of([16, 26], "mesiobuccal-cusp-tip")[1],
    height: (of(MEASURED, "cusp-tip")[2] + of(MEASURED, "palatal-gingival")[2]) / 2,
    crowns: teeth.map((tooth) => ({
      middle: centroid(landmarks.filter((m) => m.tooth === tooth).map((m) => m.at)),
      margin: of([tooth], "palatal-gingival")[2],
    })),
  };
}

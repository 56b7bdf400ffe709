import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { apply, fromRotationVector, IDENTITY, invert, type RigidTransform } from "#core/geometry/rigid-transform";
import { closestPoint, newClosestPoint } from "#core/mesh/closest-point";
import { buildPointTree, nearestPoint } from "#core/mesh/point-tree";
import { signedDistance } from "#core/mesh/signed-distance";
import { surfaceOf } from "#core/mesh/surface";
import { triangleCount } from "#core/mesh/triangle-mesh";
import { buildTriangleTree } from "#core/mesh/triangle-tree";
import { type RegistrationSurface, registrationSurface } from "#core/registration/registration-surface";
import { rigidIcp } from "#core/registration/rigid-icp";
import { CROWNS, inventedScan } from "../unit/registration/invented-arch";
import { rootMeanSquareOff, transformOf, vaultOf } from "../unit/registration/pose-error";
import type { BenchRow } from "./bench-row";
import { queriesNear } from "./queries";
import { pointsToMove, writeReferenceInput } from "./reference-input";
import { compiledNearest, nearestTimes, registered } from "./references";

const ROUNDS = 3;
const SAMPLES = 20_000;
const MOVED_CROWNS = [0, 1, 2, 3];

/** How the later scan lies: 3.5 degrees and 1.9 mm off. */
const POSE = fromRotationVector([0.03, -0.05, 0.02], [1, -1, 1.2], [0, 25, 10]);

/** Processor time of some work in ms: the same measure as the references', and less hurt by others on the PC. */
function processorTime(work: () => unknown): number {
  const start = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1000;
}

const median = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** Rounds of ours and theirs in turn, so that both meet the same load; medians. Our first run warms up. */
function raced(ours: () => unknown, theirs: () => number): { ours: number; theirs: number } {
  ours();
  const times = Array.from({ length: ROUNDS }, () => ({ ours: processorTime(ours), theirs: theirs() }));
  return { ours: median(times.map((time) => time.ours)), theirs: median(times.map((time) => time.theirs)) };
}

const numbersOf = (folder: string, file: string): Float64Array => {
  const bytes = readFileSync(join(folder, file));
  return new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
};

/**
 * Searching and registering against native programs on the same input, one thread, by processor time: Embree and
 * nanoflann (compiled here from references/nearest.cpp), Open3D and VTK (references/register.py). An invented arch of
 * which a fifth changed: four crowns moved, the back cut off.
 */
export function benchNative(): BenchRow[] {
  const arch = (seed: number, spacing: number, more = {}): RegistrationSurface =>
    registrationSurface(surfaceOf(inventedScan({ person: 1, spacing, noise: 0.02, seed, ...more })));
  const fixed = arch(1, 0.155);
  const moving = arch(2, 0.17, { movedCrowns: MOVED_CROWNS, backEnd: 46, pose: POSE });
  const queries = queriesNear(fixed.mesh);
  const folder = writeReferenceInput({ fixed, moving: pointsToMove(moving, SAMPLES), queries });
  try {
    return [
      ...nearestRows(fixed, queries, folder),
      ...signedRows(fixed, queries, folder),
      ...icpRows(moving, fixed, folder),
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function nearestRows(fixed: RegistrationSurface, queries: Float64Array, folder: string): BenchRow[] {
  const program = compiledNearest(folder);
  if (program === null) {
    console.log(
      "not installed, so not compared with: Embree, nanoflann (Debian: g++ libembree-dev libnanoflann-dev libeigen3-dev)",
    );
    return [];
  }
  const count = queries.length / 3;
  const found = newClosestPoint();
  const distances = new Float64Array(count);
  const times = {
    embree: [] as number[],
    nanoflann: [] as number[],
    embreeBuild: [] as number[],
    nanoflannBuild: [] as number[],
  };
  const theirs = () => {
    const round = nearestTimes(program, folder);
    times.embreeBuild.push(round.embree.build);
    times.embree.push(round.embree.search);
    times.nanoflannBuild.push(round.nanoflann.build);
    times.nanoflann.push(round.nanoflann.search);
    return 0;
  };
  const search = raced(() => {
    for (let i = 0; i < count; i++) {
      closestPoint(fixed.tree, queries[3 * i]!, queries[3 * i + 1]!, queries[3 * i + 2]!, found);
      distances[i] = Math.sqrt(found.squaredDistance);
    }
  }, theirs);
  const build = raced(() => buildTriangleTree(fixed.mesh), theirs);
  const nearest = raced(() => {
    for (let i = 0; i < count; i++) {
      nearestPoint(fixed.points, queries[3 * i]!, queries[3 * i + 1]!, queries[3 * i + 2]!);
    }
  }, theirs);
  const pointBuild = raced(() => buildPointTree(fixed.mesh.positions), theirs);
  const reference = numbersOf(folder, "embree.f64");
  const difference = reference.reduce((most, value, i) => Math.max(most, Math.abs(value - distances[i]!)), 0);
  const vertices = fixed.mesh.positions.length / 3;
  return [
    {
      task: `${count} closest points, largest difference ${difference.toExponential(1)} mm (at most 1.5)`,
      milliseconds: search.ours,
      against: { name: "Embree", milliseconds: median(times.embree) },
    },
    {
      task: `triangle tree of ${triangleCount(fixed.mesh)} triangles (at most 4)`,
      milliseconds: build.ours,
      against: { name: "Embree", milliseconds: median(times.embreeBuild) },
    },
    {
      task: `${count} nearest vertices of ${vertices} (at most 2)`,
      milliseconds: nearest.ours,
      against: { name: "nanoflann", milliseconds: median(times.nanoflann) },
    },
    {
      task: `point tree of ${vertices} vertices (at most 2)`,
      milliseconds: pointBuild.ours,
      against: { name: "nanoflann", milliseconds: median(times.nanoflannBuild) },
    },
  ];
}

function signedRows(fixed: RegistrationSurface, queries: Float64Array, folder: string): BenchRow[] {
  if (registered("vtk-signed", folder) === null) {
    console.log("not installed, so not compared with: signed distances of VTK (Debian: python3-vtk9)");
    return [];
  }
  const reference = numbersOf(folder, "vtk-signed.f64");
  const found = newClosestPoint();
  const distances = new Float64Array(queries.length / 3);
  const { ours, theirs } = raced(
    () => {
      for (let i = 0; i < distances.length; i++) {
        distances[i] = signedDistance(fixed, queries[3 * i]!, queries[3 * i + 1]!, queries[3 * i + 2]!, 0, 0, 0, found);
      }
    },
    () => registered("vtk-signed", folder)!.milliseconds,
  );
  // Beyond the open border there is no side, and so no value of ours.
  let differing = 0;
  let compared = 0;
  distances.forEach((value, i) => {
    if (Number.isNaN(value) || Math.abs(value) <= 0.01) return;
    compared++;
    if (Math.sign(value) !== Math.sign(reference[i]!)) differing++;
  });
  return [
    {
      task: `${distances.length} signed distances, ${differing} signs of ${compared} beyond 0.01 mm differ (at most 0.4)`,
      milliseconds: ours,
      against: { name: "VTK", milliseconds: theirs },
    },
  ];
}

function icpRows(moving: RegistrationSurface, fixed: RegistrationSurface, folder: string): BenchRow[] {
  const truth = invert(POSE);
  const whole = registered("open3d-tukey", folder);
  if (whole === null) {
    console.log("not installed, so not compared with: registration by Open3D (Debian: python3-open3d)");
    return [];
  }
  const row = (part: IcpPart, input: string): BenchRow => {
    const { region, name, over, limit } = part;
    const register = () =>
      rigidIcp({
        moving,
        fixed,
        start: IDENTITY,
        ...(region === undefined ? {} : { region }),
        robustness: "tukey",
        name: "The arch",
        samples: SAMPLES,
      });
    const { ours, theirs } = raced(register, () => registered("open3d-tukey", input)!.milliseconds);
    const off = (found: RigidTransform) => `${rootMeanSquareOff(found, truth, moving.mesh, region).toFixed(4)} mm`;
    const fit = off(register().transform);
    const reference = off(transformOf(registered("open3d-tukey", input)!.numbers));
    const most = limit === undefined ? "" : ` (at most ${limit} mm)`;
    return {
      task: `robust ICP of ${name}, ${fit} off the truth over ${over}${most}, theirs ${reference}; time at most 0.5`,
      milliseconds: ours,
      against: { name: "Open3D, point-to-plane with Tukey's weights in three stages", milliseconds: theirs },
    };
  };
  const stableRow = (part: IcpPart): BenchRow => {
    const input = writeReferenceInput({
      fixed,
      moving: pointsToMove(moving, SAMPLES, part.region),
      queries: new Float64Array(0),
    });
    try {
      return row(part, input);
    } finally {
      rmSync(input, { recursive: true, force: true });
    }
  };
  return [
    row({ name: "20000 points", over: "the arch", limit: 0.005 }, folder),
    stableRow({ name: "what did not change", over: "it", limit: 0.003, region: unchangedOf(moving) }),
    // Without teeth it slides more easily: the noise alone leaves either program about this far off.
    stableRow({ name: "the vault alone", over: "it", region: vaultOf(moving.mesh, POSE) }),
  ];
}

/** What is registered, and how far off it may be. */
interface IcpPart {
  readonly name: string;
  readonly over: string;
  /** mm; left out where none is asked for. */
  readonly limit?: number;
  /** Per vertex of the later scan; all if left out. */
  readonly region?: Uint8Array;
}

/** Per vertex of the later scan: farther than a crown from those that moved. */
function unchangedOf({ mesh: { positions } }: RegistrationSurface): Uint8Array {
  const back = invert(POSE);
  return Uint8Array.from({ length: positions.length / 3 }, (_, v) => {
    const [x, y] = apply(back, [positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!]);
    return MOVED_CROWNS.every((i) => Math.hypot(x - CROWNS[i]![0], y - CROWNS[i]![1]) > 9) ? 1 : 0;
  });
}

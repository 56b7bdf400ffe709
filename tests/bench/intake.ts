import { mergeVertices, PLYLoader, STLLoader } from "three-stdlib";
import { UNWATCHED } from "#core/job-control";
import { weld } from "#core/mesh/weld";
import { bytesSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { readScan } from "#core/scan/read-scan";
import { Sha256 } from "#core/scan/sha256";
import { writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import type { BenchRow } from "./bench-row";
import { medianTimeAwaited } from "./median";

/** Pieces as a disk gives them. */
const CHUNK_BYTES = 1024 * 1024;

/** A hilly sheet of about `triangles` triangles, 60 × 60 mm, with coordinates that are not round. */
function hills(triangles: number) {
  const n = Math.round(Math.sqrt(triangles / 2));
  const positions = new Float64Array(3 * (n + 1) * (n + 1));
  const corners = new Uint32Array(6 * n * n);
  for (let i = 0, v = 0; i <= n; i++) {
    for (let j = 0; j <= n; j++, v += 3) {
      const x = (i / n - 0.5) * 60;
      const y = (j / n - 0.5) * 60;
      positions[v] = x;
      positions[v + 1] = y;
      positions[v + 2] = 8 * Math.cos(x / 5) * Math.cos(y / 7) - 0.01 * (x * x + y * y);
    }
  }
  for (let i = 0, t = 0; i < n; i++) {
    for (let j = 0; j < n; j++, t += 6) {
      const a = i * (n + 1) + j;
      corners.set([a, a + n + 1, a + 1, a + 1, a + n + 1, a + n + 2], t);
    }
  }
  return { positions, triangles: corners };
}

function asciiStl({ positions: p, triangles }: ReturnType<typeof hills>): Uint8Array {
  const lines = ["solid invented"];
  const corner = (v: number): string =>
    `      vertex ${[p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!].map((value) => value.toExponential(6)).join(" ")}`;
  for (let t = 0; t < triangles.length; t += 3) {
    lines.push("  facet normal 0.000000e+00 0.000000e+00 1.000000e+00", "    outer loop");
    lines.push(
      corner(triangles[t]!),
      corner(triangles[t + 1]!),
      corner(triangles[t + 2]!),
      "    endloop",
      "  endfacet",
    );
  }
  lines.push("endsolid invented", "");
  return new TextEncoder().encode(lines.join("\n"));
}

const readAndWeld = async (bytes: Uint8Array): Promise<void> => {
  const content = await readScan(bytesSource("bench", bytes, CHUNK_BYTES), {}, UNWATCHED);
  weld(content.geometry, 1, UNWATCHED);
};

/** Reading and welding against three-stdlib's loaders with its vertex merge, and the whole intake with its parts. */
export async function benchIntake(): Promise<BenchRow[]> {
  const large = hills(500_000);
  const small = hills(200_000);
  const stl = writeStl(large, "invented");
  const ply = writePly(large, "binary-little-endian", ["invented"]);
  const text = asciiStl(small);
  const largeCount = large.triangles.length / 3;
  const smallCount = small.triangles.length / 3;
  const name = "three-stdlib and its vertex merge";

  const row = async (task: string, count: number, ours: () => unknown, theirs?: () => unknown): Promise<BenchRow> => {
    const milliseconds = await medianTimeAwaited(ours);
    return {
      task,
      milliseconds,
      perSecond: { count: count / (milliseconds / 1000), unit: "triangles" },
      ...(theirs === undefined ? {} : { against: { name, milliseconds: await medianTimeAwaited(theirs) } }),
    };
  };
  const stlByThree = (bytes: Uint8Array) => () => mergeVertices(new STLLoader().parse(bytes.buffer as ArrayBuffer));
  const plyByThree = () => mergeVertices(new PLYLoader().parse(ply.buffer as ArrayBuffer));
  const hash = await medianTimeAwaited(() => {
    const sha256 = new Sha256();
    sha256.update(stl);
    sha256.hex();
  });
  return [
    await row(`read and weld binary STL, ${largeCount} triangles`, largeCount, () => readAndWeld(stl), stlByThree(stl)),
    await row(`read and weld binary PLY, ${largeCount} triangles`, largeCount, () => readAndWeld(ply), plyByThree),
    await row(`read and weld text STL, ${smallCount} triangles`, smallCount, () => readAndWeld(text), stlByThree(text)),
    await row(`whole intake of the binary STL, checksum and report included`, largeCount, () =>
      takeIn(bytesSource("bench", stl, CHUNK_BYTES), {}, UNWATCHED),
    ),
    {
      task: `SHA-256 of ${(stl.length / 1e6).toFixed(0)} MB`,
      milliseconds: hash,
      perSecond: { count: stl.length / (hash / 1000), unit: "bytes" },
    },
  ];
}

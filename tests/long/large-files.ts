import { triangleCount, vertexCount } from "#core/mesh/triangle-mesh";
import type { ByteSource } from "#core/scan/byte-source";
import { takeIn } from "#core/scan/intake";
import { STL_HEADER_BYTES, STL_TRIANGLE_BYTES } from "#core/scan/stl-binary";
import type { LongSuite } from "./long-suite";

/** Squares along each side of the sheet of each unit, two triangles a square: up to ten times a fine scan. */
const SIDES = [500, 1000, 1500];

/** A binary STL of a bent sheet with n × n squares, made while it is read. */
function sheet(n: number): ByteSource {
  const triangles = 2 * n * n;
  return {
    name: "sheet.stl",
    size: STL_HEADER_BYTES + STL_TRIANGLE_BYTES * triangles,
    async *chunks() {
      const head = new Uint8Array(STL_HEADER_BYTES);
      new DataView(head.buffer).setUint32(80, triangles, true);
      yield head;
      const at = (i: number, j: number): number[] => [
        (60 * i) / n,
        (50 * j) / n,
        20 - (i - n / 2) ** 2 / n ** 2 - (j / n) ** 2,
      ];
      for (let i = 0; i < n; i++) {
        const row = new DataView(new ArrayBuffer(2 * n * STL_TRIANGLE_BYTES));
        for (let j = 0, to = 0; j < n; j++) {
          for (const corners of [
            [at(i, j), at(i + 1, j), at(i + 1, j + 1)],
            [at(i, j), at(i + 1, j + 1), at(i, j + 1)],
          ]) {
            for (const [k, value] of corners.flat().entries()) row.setFloat32(to + 12 + 4 * k, value, true);
            to += STL_TRIANGLE_BYTES;
          }
        }
        yield new Uint8Array(row.buffer);
      }
    },
  };
}

/** Real large files, of up to 4.5 million triangles, streamed: every triangle arrives, and cancel is asked for in time. */
export const largeFiles: LongSuite = {
  name: "large-files",
  units: SIDES.length,
  longest: 10 * 60_000,
  async run(unit) {
    const n = SIDES[unit]!;
    const source = sheet(n);
    let looks = 0;
    const start = performance.now();
    const { mesh, report } = await takeIn(source, {}, { progress: () => {}, cancelled: () => ++looks < 0 });
    const seconds = (performance.now() - start) / 1000;
    const failures: string[] = [];
    const expectSame = (what: string, found: number, wanted: number) => {
      if (found !== wanted) failures.push(`${what} of the sheet with ${n} squares a side: ${found}, not ${wanted}`);
    };
    expectSame("triangles", triangleCount(mesh), 2 * n * n);
    expectSame("vertices", vertexCount(mesh), (n + 1) * (n + 1));
    expectSame("holes", report.holes, 0);
    expectSame("components", report.components.all, 1);
    if (looks < (5 * 2 * n * n) / 10_000) failures.push(`only ${looks} looks at the cancel flag`);
    return {
      passed: failures.length === 0 ? 1 : 0,
      failures,
      line: `${triangleCount(mesh)} triangles, ${(source.size / 1e6).toFixed(0)} MB in ${seconds.toFixed(1)} s, ${looks} looks at the cancel flag`,
    };
  },
};

import { describe, expect, test } from "vitest";
import { guessedStand } from "#core/arch/guessed-stand";
import { UNWATCHED } from "#core/job-control";
import type { DisplayMesh } from "#core/jobs/job-list";
import { openScan } from "#core/jobs/open-scan";
import { ScanStore } from "#core/jobs/scan-store";
import { borderLines } from "#core/mesh/border-lines";
import { bytesSource } from "#core/scan/byte-source";
import { writePly } from "#core/scan/write-ply";
import { buffersOf } from "../../../src-renderer/worker/transfer";
import { terrain } from "../mesh/surfaces";

// A bowl of 40 × 30 mm far from the origin, coloured, with a hole of one triangle and a speck beside it.
const bowl = terrain(40, 30, { x: [500, 540], y: [-20, 10] }, (x, y) => 0.01 * ((x - 520) * (x - 520) + y * y));
const speck = [600, 0, 0, 601, 0, 0, 600, 1, 0];
const corners = bowl.positions.length / 3;
const bytes = writePly(
  {
    positions: Float64Array.from([...bowl.positions, ...speck]),
    triangles: Uint32Array.from([
      ...bowl.triangles.subarray(0, 3 * 1220),
      ...bowl.triangles.subarray(3 * 1221),
      corners,
      corners + 1,
      corners + 2,
    ]),
    colours: new Uint8Array(3 * (corners + 3)).fill(200),
  },
  "binary-little-endian",
  [],
);

async function opened(): Promise<{ display: DisplayMesh; store: ScanStore; handle: string }> {
  const store = new ScanStore();
  const { display, handle } = await openScan(bytesSource("bowl.ply", bytes, 4096), "mm", store, UNWATCHED);
  return { display, store, handle };
}

/** All typed arrays of a value, by their path. */
function arraysIn(value: unknown, path = ""): [string, ArrayBufferView][] {
  if (ArrayBuffer.isView(value)) return [[path, value]];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([name, part]) => arraysIn(part, `${path}/${name}`));
}

describe("the copy of a scan for drawing", () => {
  test("brings along what the page would else compute from the whole surface", async () => {
    const { display } = await opened();
    expect(display.border).toEqual(borderLines(display));
    expect(display.border).toHaveLength(6 * 140);
    expect(display.stand).toEqual(guessedStand(display));
  });

  test("says how far it reaches from its origin", async () => {
    const { display } = await opened();
    const { positions } = display;
    const far = Array.from({ length: positions.length / 3 }, (_, v) =>
      Math.hypot(positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!),
    );
    expect(display.reach).toBeCloseTo(Math.max(...far), 12);
    expect(display.reach).toBeGreaterThan(25);
  });

  test("moves to the page without a copy, without idle memory, and takes nothing from the mesh that is measured on", async () => {
    const { display, store, handle } = await opened();
    const arrays = arraysIn(display);
    expect(arrays.map(([path]) => path)).toContain("/fragments/positions");
    expect(arrays.map(([path]) => path)).toContain("/colours");
    for (const [path, array] of arrays) expect(array.buffer.byteLength, path).toBe(array.byteLength);
    // As the worker sends it: the display is a part of the job's answer.
    const moved = new Set(buffersOf({ display }));
    for (const [path, array] of arrays) expect(moved.has(array.buffer as ArrayBuffer), path).toBe(true);
    const { surface, intake } = store.get(handle);
    const kept = [...arraysIn(surface), ...arraysIn(intake)];
    expect(kept.length).toBeGreaterThan(6);
    for (const [path, array] of kept) expect(moved.has(array.buffer as ArrayBuffer), path).toBe(false);
  });
});

import { mkdtemp, rm, truncate, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import { expect, test } from "./raphe";

/** A bowl of 60 × 50 mm and 200 triangles, the size of an arch; `deep` tells one from another. */
function bowl(deep: number) {
  const n = 10;
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i <= n; i++) {
    for (let j = 0; j <= n; j++) {
      const x = 6 * i - 30;
      const y = 5 * j - 25;
      positions.push(x, y, deep - (x * x + y * y) / 60);
      if (i === n || j === n) continue;
      const a = i * (n + 1) + j;
      triangles.push(a, a + n + 1, a + n + 2, a, a + n + 2, a + 1);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

const corner = (mesh: ReturnType<typeof bowl>, v: number): string =>
  mesh.positions.subarray(3 * v, 3 * v + 3).join(" ");

function textStl(mesh: ReturnType<typeof bowl>): string {
  const facets: string[] = [];
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const corners = Array.from(mesh.triangles.subarray(t, t + 3), (v) => `vertex ${corner(mesh, v)}\n`);
    facets.push(`facet normal 0 0 1\nouter loop\n${corners.join("")}endloop\nendfacet\n`);
  }
  return `solid invented\n${facets.join("")}endsolid invented\n`;
}

function obj(mesh: ReturnType<typeof bowl>): string {
  const lines: string[] = [];
  for (let v = 0; v < mesh.positions.length / 3; v++) lines.push(`v ${corner(mesh, v)}`);
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    lines.push(`f ${Array.from(mesh.triangles.subarray(t, t + 3), (v) => v + 1).join(" ")}`);
  }
  return `${lines.join("\n")}\n`;
}

test("twelve files of mixed kinds dropped at once: each gets its report or its error", async ({ raphe }) => {
  const { page } = raphe;
  const folder = await mkdtemp(join(tmpdir(), "raphe-intake-"));
  const coloured = bowl(5);
  const good: [string, Uint8Array | string, string][] = [
    ["one.stl", writeStl(bowl(1), "invented"), "stl-binary"],
    ["two.stl", textStl(bowl(2)), "stl-ascii"],
    ["three.ply", writePly(bowl(3), "ascii", []), "ply-ascii"],
    ["four.ply", writePly(bowl(4), "binary-big-endian", []), "ply-binary-big-endian"],
    [
      "five.ply",
      writePly({ ...coloured, colours: new Uint8Array(coloured.positions.length) }, "binary-little-endian", []),
      "ply-binary-little-endian",
    ],
    ["six.obj", obj(bowl(6)), "obj"],
    // The content tells, not the ending.
    ["seven.ply", writeStl(bowl(7), "solid invented"), "stl-binary"],
  ];
  const stl = writeStl(bowl(8), "invented");
  const points = new TextDecoder().decode(writePly(bowl(9), "ascii", [])).replace("element face 200", "element face 0");
  const bad: [string, Uint8Array | string, string][] = [
    ["empty.stl", "", "the file is empty"],
    ["letter.stl", "Dear colleague, please find enclosed the scan.\n", "this is text, not a surface"],
    ["points.ply", points, "the file holds 121 points and no faces"],
    ["cut.stl", stl.subarray(0, stl.length - 120), "the header counts 200 triangles, but the file ends after 197"],
    ["large.stl", stl, "64,000,000 triangles; at most 20,000,000 are read"],
  ];
  for (const [name, content] of [...good, ...bad]) await writeFile(join(folder, name), content);
  // Sparse: it takes no room on the disk.
  await writeFile(join(folder, "large.stl"), header(64_000_000));
  await truncate(join(folder, "large.stl"), 84 + 50 * 64_000_000);

  const browser = await page.context().newCDPSession(page);
  const files = [
    bad[0]!,
    good[0]!,
    bad[1]!,
    good[1]!,
    good[2]!,
    bad[2]!,
    good[3]!,
    bad[3]!,
    good[4]!,
    bad[4]!,
    good[5]!,
  ];
  const paths = [...files, good[6]!].map(([name]) => join(folder, name));
  expect(paths).toHaveLength(12);
  for (const type of ["dragEnter", "dragOver", "drop"] as const) {
    await browser.send("Input.dispatchDragEvent", {
      type,
      x: 400,
      y: 300,
      data: { items: [], files: paths, dragOperationsMask: 1 },
    });
  }

  const troubles = page.getByRole("list", { name: "What went wrong" });
  await expect(troubles.getByRole("listitem")).toHaveCount(bad.length);
  for (const [name, , problem] of bad) await expect(troubles).toContainText(`${name}: ${problem}`);

  const scans = page.getByRole("button", { name: /: the scan$/ });
  await expect(scans).toHaveCount(good.length);
  for (const [place, [name, , format]] of good.entries()) {
    await scans.nth(place).dispatchEvent("click");
    const details = page.locator(".scan-details:popover-open");
    await expect(details.getByRole("heading")).toHaveText(name);
    await expect(details.locator("dl")).toContainText(`format${format}`);
    await expect(details.locator("dl")).toContainText("triangles200");
    await expect(details.locator("dl")).toContainText("60.0 × 50.0 ×");
    await page.keyboard.press("Escape");
  }
  await rm(folder, { recursive: true, force: true });
});

/** The head of a binary STL that counts so many triangles. */
function header(triangles: number): Uint8Array {
  const bytes = new Uint8Array(84);
  new DataView(bytes.buffer).setUint32(80, triangles, true);
  return bytes;
}

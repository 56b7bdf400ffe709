import { describe, expect, it } from "vitest";
import { type JobControl, UNWATCHED } from "#core/job-control";
import { borderLoops } from "#core/mesh/border";
import { setFragmentsAside } from "#core/mesh/components";
import { edgeLengths } from "#core/mesh/edge-statistics";
import { oppositeHalfEdges } from "#core/mesh/edges";
import { orient } from "#core/mesh/orientation";
import { type TriangleMesh, triangleCount, vertexCount } from "#core/mesh/triangle-mesh";
import { weld } from "#core/mesh/weld";
import { bytesSource } from "#core/scan/byte-source";
import { type IntakeOptions, takeIn } from "#core/scan/intake";
import { IntakeReport } from "#core/scan/intake-report";
import { readScan } from "#core/scan/read-scan";
import { writePly } from "#core/scan/write-ply";
import { writeStl } from "#core/scan/write-stl";
import { binaryStl, joined, packed, type Soup, text } from "./scan-files";

/** A bowl of 60 × 50 mm, convex from above: n × n squares of two triangles each, its edge cut straight. */
function bowl(n: number, scale = 1): number[][] {
  const at = (i: number, j: number): number[] => {
    const x = (i / n - 0.5) * 60;
    const y = (j / n - 0.5) * 50;
    return [x * scale, y * scale, (20 - (x * x + y * y) / 60) * scale];
  };
  const soup: number[][] = [];
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      soup.push([...at(i, j), ...at(i + 1, j), ...at(i + 1, j + 1)]);
      soup.push([...at(i, j), ...at(i + 1, j + 1), ...at(i, j + 1)]);
    }
  }
  return soup;
}

const turned = (t: readonly number[]): number[] => [...t.slice(0, 3), ...t.slice(6, 9), ...t.slice(3, 6)];
const moved = (soup: Soup, by: number): number[][] => soup.map((t) => t.map((value) => value + by));

/** Twice the area of triangle t as seen from above, negative if it shows its back. */
function upward({ positions: p, triangles }: TriangleMesh, t: number): number {
  const [a, b, c] = [0, 1, 2].map((i) => 3 * triangles[3 * t + i]!) as [number, number, number];
  return (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[b + 1]! - p[a + 1]!) * (p[c]! - p[a]!);
}

const take = (soup: Soup, options: IntakeOptions = {}) =>
  takeIn(bytesSource("scan.stl", binaryStl(soup)), options, UNWATCHED);

describe("a scan that is taken in", () => {
  it("comes as one welded mesh with a report that its schema accepts", async () => {
    const { mesh, fragments, colours, report } = await take(bowl(10));
    expect(triangleCount(mesh)).toBe(200);
    expect(vertexCount(mesh)).toBe(121);
    expect(fragments).toBeNull();
    expect(colours).toBeNull();
    expect(IntakeReport.parse(report)).toEqual(report);
    expect(report).toMatchObject({
      format: "stl-binary",
      fileBytes: 84 + 50 * 200,
      unit: "mm",
      unitQuestion: null,
      triangles: { inFile: 200, used: 200, degenerate: 0, duplicate: 0, setAside: 0 },
      vertices: { inFile: 600, used: 121, unreferenced: 0 },
      components: { all: 1, main: 1, fragments: 0 },
      holes: 0,
      nonManifoldEdges: 0,
      winding: { inFile: "outward", turned: 0, turnedWhole: false },
      notes: ["invented"],
      warnings: [],
    });
    expect(report.extents[0]).toBeCloseTo(60, 4);
    expect(report.extents[1]).toBeCloseTo(50, 4);
    expect(report.trianglesPerSquareMillimetre).toBeCloseTo(200 / report.area, 12);
  });

  it("has its border and edges measured", async () => {
    // A flat square of 40 mm, cut once: four sides and a diagonal.
    const { report } = await take([
      [0, 0, 0, 40, 0, 0, 40, 40, 0],
      [0, 0, 0, 40, 40, 0, 0, 40, 0],
    ]);
    expect(report.outerBorderLength).toBe(160);
    expect(report.area).toBe(1600);
    expect(report.edgeLength.mean).toBeCloseTo((160 + 40 * Math.sqrt(2)) / 5, 12);
    expect(report.edgeLength.median).toBe(40);
    expect(report.winding.inFile).toBe("unclear");
  });

  it("loses triangles without area, repeated ones and unused vertices, and says how many", async () => {
    const soup = bowl(10);
    const first = soup[0]!;
    const point = [...first.slice(0, 3), ...first.slice(0, 3), ...first.slice(3, 6)];
    const onALine = [90, 0, 0, 91, 0, 0, 92, 0, 0];
    const { mesh, report } = await take([point, ...soup, first, turned(first), onALine]);
    expect(report.triangles).toEqual({ inFile: 204, used: 200, degenerate: 2, duplicate: 2, setAside: 0 });
    expect(report.vertices).toEqual({ inFile: 612, used: 121, unreferenced: 3 });
    expect(report.warnings).toEqual(["Left out, as already there from the other side: 1 triangle."]);
    expect(mesh.fileTriangles[0]).toBe(1);
  });

  it("keeps floating fragments beside the mesh and measures without them", async () => {
    const speck = moved(bowl(2, 0.05), 70);
    const { mesh, fragments, report } = await take([...speck, ...bowl(10)]);
    expect(triangleCount(mesh)).toBe(200);
    expect(triangleCount(fragments!)).toBe(8);
    expect(mesh.fileTriangles[0]).toBe(8);
    expect(Array.from(fragments!.fileTriangles)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    expect(report.components).toEqual({ all: 2, main: 1, fragments: 1 });
    expect(report.triangles.setAside).toBe(8);
    expect(Math.max(...report.extents)).toBeCloseTo(60, 4);
  });

  it("keeps large separate pieces and says so", async () => {
    const { mesh, report } = await take([...bowl(10), ...moved(bowl(8, 0.5), 40)]);
    expect(triangleCount(mesh)).toBe(328);
    expect(report.components).toEqual({ all: 2, main: 2, fragments: 0 });
    expect(report.holes).toBe(0);
    expect(report.warnings.join()).toContain("2 large separate pieces");
  });

  it("has its holes counted, the outer border apart", async () => {
    const soup = bowl(10).filter((_, t) => ![50, 51, 130].includes(t));
    const { report } = await take(soup);
    expect(report.holes).toBe(2);
  });

  it("counts no hole where a triangle without area was left out", async () => {
    // A flat grid; in its middle a diagonal is split on one side only, and a sliver lies in between.
    const flat: number[][] = [];
    for (let x = 0; x < 60; x += 20) {
      for (let y = 0; y < 60; y += 20) {
        flat.push([x, y, 0, x + 20, y, 0, x + 20, y + 20, 0]);
        if (x === 20 && y === 20) {
          flat.push([20, 20, 0, 30, 30, 0, 20, 40, 0], [30, 30, 0, 40, 40, 0, 20, 40, 0]);
          flat.push([20, 20, 0, 40, 40, 0, 30, 30, 0]);
        } else flat.push([x, y, 0, x + 20, y + 20, 0, x, y + 20, 0]);
      }
    }
    const { report } = await take(flat);
    expect(report.triangles.degenerate).toBe(1);
    expect(report.holes).toBe(0);
  });

  it("is wound one way where single triangles are turned", async () => {
    const soup = bowl(10).map((t, i) => (i % 7 === 0 ? turned(t) : t));
    const { mesh, report } = await take(soup);
    expect(report.winding).toEqual({ inFile: "outward", turned: 29, turnedWhole: false });
    expect(triangleCount(mesh)).toBe(200);
    for (let t = 0; t < 200; t++) expect(upward(mesh, t)).toBeGreaterThan(0);
  });

  it("is turned over where it is inside out, with a warning that it may be mirrored", async () => {
    const { mesh, report } = await take(bowl(10).map(turned));
    expect(report.winding).toEqual({ inFile: "inward", turned: 0, turnedWhole: true });
    expect(report.warnings.join()).toContain("mirrored");
    for (let t = 0; t < 200; t++) expect(upward(mesh, t)).toBeGreaterThan(0);
  });

  it.each([
    ["m", 0.001],
    ["cm", 0.1],
    ["inch", 1 / 25.4],
  ] as const)("in %s leads to a question with that answer, and is not scaled", async (unit, scale) => {
    const soup = bowl(10, scale);
    const { mesh, report } = await take(soup);
    expect(report.unitQuestion!.proposals.map((proposal) => proposal.unit)).toContain(unit);
    expect(report.unitQuestion!.text).toContain("Taken as millimetres");
    expect(Math.max(...report.extents)).toBeCloseTo(60 * scale, 4);
    expect(mesh.positions[0]).toBe(Math.fround(soup[0]![0]!));

    const answered = await take(soup, { unit });
    expect(answered.report.unitQuestion).toBeNull();
    expect(Math.max(...answered.report.extents)).toBeCloseTo(60, 3);
  });

  it("of a size that no unit makes an arch's is doubted", async () => {
    const { report } = await take(bowl(10, 10));
    expect(report.unitQuestion!.proposals).toEqual([]);
    expect(report.unitQuestion!.text).toContain("Is it the right file?");
  });

  it("keeps the colours of the vertices that are measured on", async () => {
    const { mesh } = await take([...moved(bowl(2, 0.05), 70), ...bowl(6)]);
    const n = vertexCount(mesh) + 9;
    const soup = [...moved(bowl(2, 0.05), 70), ...bowl(6)].flat();
    const positions = Float64Array.from(soup);
    const triangles = Uint32Array.from({ length: soup.length / 3 }, (_, i) => i);
    // Each corner is coloured by its place, so that equal places have equal colours.
    const colour = (x: number, y: number): number[] => [Math.round(x + 128), Math.round(y + 128), 7];
    const colours = Uint8Array.from({ length: positions.length / 3 }, (_, v) => v).reduce((all, _, v) => {
      all.set(colour(positions[3 * v]!, positions[3 * v + 1]!), 3 * v);
      return all;
    }, new Uint8Array(positions.length));
    const bytes = writePly({ positions, triangles, colours }, "binary-little-endian", []);
    const intake = await takeIn(bytesSource("scan.ply", bytes), {}, UNWATCHED);
    expect(intake.report.vertices.inFile).toBe(positions.length / 3);
    expect(vertexCount(intake.mesh)).toBe(n - 9);
    for (let v = 0; v < vertexCount(intake.mesh); v++) {
      expect(Array.from(intake.colours!.subarray(3 * v, 3 * v + 3))).toEqual(
        colour(intake.mesh.positions[3 * v]!, intake.mesh.positions[3 * v + 1]!),
      );
    }
  });

  it("without any triangle that has an area is refused", async () => {
    await expect(take([[0, 0, 0, 1, 1, 1, 2, 2, 2]])).rejects.toMatchObject({
      code: "no-triangles",
      subject: "scan.stl",
    });
  });
});

describe("taking a scan in", () => {
  const mesh = {
    positions: Float64Array.from(bowl(150).flat()),
    triangles: Uint32Array.from({ length: 135_000 }, (_, i) => i),
  };

  it.each([
    ["binary STL", writeStl(mesh, "")],
    ["binary PLY", writePly(mesh, "binary-little-endian", [])],
    ["text PLY", writePly(mesh, "ascii", [])],
  ])("looks at the cancel flag at least every 10,000 triangles of a %s, in one piece", async (_, bytes) => {
    let looks = 0;
    const job = { progress: () => {}, cancelled: () => ++looks < 0 };
    await takeIn(bytesSource("scan", bytes, bytes.length), {}, job);
    // Reading, welding, winding, components, edges: each goes through all triangles at least once.
    expect(looks).toBeGreaterThan(5 * (45_000 / 10_000));
  });

  it("looks at the cancel flag in time where a byte makes a triangle", async () => {
    const count = 200_000;
    const header =
      "ply\nformat binary_little_endian 1.0\nelement vertex 3\nproperty uchar x\nproperty uchar y\nproperty uchar z\n" +
      "element tristrips 1\nproperty list uint uchar vertex_indices\nend_header\n";
    const bytes = joined(
      text(header),
      Uint8Array.of(0, 0, 0, 40, 0, 0, 0, 40, 0),
      packed([["uint", count]], true),
      Uint8Array.from({ length: count }, (_, i) => i % 3),
    );
    let looks = 0;
    await readScan(
      bytesSource("strip.ply", bytes, bytes.length),
      {},
      { progress: () => {}, cancelled: () => ++looks < 0 },
    );
    expect(looks).toBeGreaterThanOrEqual(count / 10_000);
  });

  it("looks at the cancel flag in time while it checks the surface", () => {
    const { mesh: whole } = weld(
      {
        vertices: mesh.positions,
        triangles: mesh.triangles.slice(),
        colours: null,
        verticesInFile: 135_000,
        verticesDistinct: false,
      },
      1,
      UNWATCHED,
    );
    const opposite = oppositeHalfEdges(whole);
    const stages: Record<string, (job: JobControl) => unknown> = {
      winding: (job) => orient(whole, job),
      components: (job) => setFragmentsAside(whole, job),
      neighbours: (job) => oppositeHalfEdges(whole, job),
      border: (job) => borderLoops(whole, opposite, job),
      edges: (job) => edgeLengths(whole, opposite, job),
    };
    for (const [name, stage] of Object.entries(stages)) {
      let looks = 0;
      stage({ progress: () => {}, cancelled: () => ++looks < 0 });
      expect(looks, name).toBeGreaterThanOrEqual(45_000 / 10_000);
    }
  });

  it("stops as soon as it is cancelled", async () => {
    for (const after of [1, 3, 8]) {
      let looks = 0;
      const job = { progress: () => {}, cancelled: () => ++looks >= after };
      await expect(takeIn(bytesSource("scan", writeStl(mesh, "")), {}, job)).rejects.toMatchObject({
        code: "cancelled",
      });
      expect(looks).toBe(after);
    }
  });

  it("tells of its progress, which never goes back", async () => {
    const shares: number[] = [];
    const job = { progress: (share: number) => shares.push(share), cancelled: () => false };
    await takeIn(bytesSource("scan", writeStl(mesh, "")), {}, job);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
    expect(shares.at(-1)).toBe(1);
    expect(shares.length).toBeGreaterThan(10);
  });
});

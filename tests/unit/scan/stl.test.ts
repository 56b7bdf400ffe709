import { describe, expect, it } from "vitest";
import { asciiStl, binaryStl, FOLDED_SQUARE, facetLines, joined, read, soupOf, text } from "./scan-files";

describe("a binary STL", () => {
  it("gives its triangles in the order of the file", async () => {
    const content = await read(binaryStl(FOLDED_SQUARE));
    expect(content.format).toBe("stl-binary");
    expect(soupOf(content)).toEqual(FOLDED_SQUARE);
    expect(content.warnings).toEqual([]);
  });

  it("may have a header that begins with 'solid'", async () => {
    const content = await read(binaryStl(FOLDED_SQUARE, { header: "solid made by a program" }));
    expect(content.format).toBe("stl-binary");
    expect(soupOf(content)).toEqual(FOLDED_SQUARE);
    expect(content.notes).toEqual(["solid made by a program"]);
  });

  it("may begin with 'solid' and count wrongly at the same time", async () => {
    const content = await read(binaryStl(FOLDED_SQUARE, { header: "solid x", count: 0 }));
    expect(content.format).toBe("stl-binary");
    expect(soupOf(content)).toEqual(FOLDED_SQUARE);
  });

  it.each([
    ["zero", 0],
    ["the placeholder of a program that did not come back to it", 0xffff_ffff],
    ["more than any scan", 30_000_000],
    ["too few", 1],
  ])("with a count of %s is judged by its size, and says so", async (_, count) => {
    const content = await read(binaryStl(FOLDED_SQUARE, { count }));
    expect(soupOf(content)).toEqual(FOLDED_SQUARE);
    expect(content.warnings).toHaveLength(1);
    expect(content.warnings[0]).toContain("2");
  });

  it.each([1, 7, 49, 51, 100, 333])("may have %i bytes behind its last triangle", async (count) => {
    const content = await read(joined(binaryStl(FOLDED_SQUARE), new Uint8Array(count)));
    expect(soupOf(content)).toEqual(FOLDED_SQUARE);
    expect(content.warnings).toEqual([`Not read, behind the last triangle: ${count} byte${count === 1 ? "" : "s"}.`]);
  });

  it.each([
    ["text", text("x".repeat(150))],
    ["numbers that lie far from the surface", binaryStl([[500, 1, 2, 3, 4, 5, 6, 7, 8]]).subarray(84)],
    ["triangles shrunk to a point", binaryStl([[1, 2, 3, 1, 2, 3, 1, 2, 3]]).subarray(84)],
  ])("may have %s of a whole number of records behind its last triangle", async (_, trailing) => {
    const content = await read(joined(binaryStl(FOLDED_SQUARE), trailing));
    expect(soupOf(content)).toEqual(FOLDED_SQUARE);
    expect(content.warnings).toEqual([`Not read, behind the last triangle: ${trailing.length} bytes.`]);
  });

  it.each([
    ["zero", [0, 0, 0]],
    ["wrong", [5, -3, 0]],
    ["no numbers", [Number.NaN, Number.POSITIVE_INFINITY, 0]],
  ] as const)("may have normals that are %s", async (_, normal) => {
    expect(soupOf(await read(binaryStl(FOLDED_SQUARE, { normal })))).toEqual(FOLDED_SQUARE);
  });

  it("may use the attribute bytes for colours", async () => {
    expect(soupOf(await read(binaryStl(FOLDED_SQUARE, { attribute: 0xfc1f })))).toEqual(FOLDED_SQUARE);
  });

  it("is never read as whole when its end is missing", async () => {
    const whole = binaryStl([...FOLDED_SQUARE, ...FOLDED_SQUARE]);
    for (let size = 84; size < whole.length; size++) {
      await expect(read(whole.subarray(0, size)), `${size} bytes`).rejects.toMatchObject({ code: "truncated" });
    }
  });

  it("with a count of zero and an end within a triangle is cut off", async () => {
    const bytes = binaryStl(FOLDED_SQUARE, { count: 0 });
    await expect(read(bytes.subarray(0, bytes.length - 1))).rejects.toMatchObject({ code: "truncated" });
  });

  it("without triangles is refused", async () => {
    await expect(read(binaryStl([]))).rejects.toMatchObject({ code: "no-triangles" });
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])(
    "with a coordinate of %s is refused, with the triangle",
    async (value) => {
      const bytes = binaryStl([FOLDED_SQUARE[0]!, [0, 0, 0, 40, value, 5, 0, 40, 0]]);
      await expect(read(bytes)).rejects.toMatchObject({
        code: "not-finite",
        subject: "scan",
        where: "triangle 2 of the file",
      });
    },
  );

  it("with a coordinate beyond any scan is refused", async () => {
    const bytes = binaryStl([FOLDED_SQUARE[0]!, [0, 0, 0, 40, 2e9, 5, 0, 40, 0]]);
    await expect(read(bytes)).rejects.toMatchObject({ code: "malformed" });
  });

  it("counts corners of equal coordinates as one vertex, and −0 as 0", async () => {
    const { geometry } = await read(binaryStl([FOLDED_SQUARE[0]!, [-0, 0, -0, 40, 40, 5, 0, 40, 0]]));
    expect(geometry.vertices).toHaveLength(12);
    expect(geometry.verticesInFile).toBe(6);
  });
});

describe("a text STL", () => {
  const usual = asciiStl(FOLDED_SQUARE);

  it.each([
    ["as most programs write it", usual],
    ["in capitals", usual.toUpperCase()],
    ["in mixed case", usual.replaceAll("facet", "Facet").replaceAll("vertex", "VerTex")],
    ["with tabs", usual.replaceAll(" ", "\t")],
    ["with CR LF", usual.replaceAll("\n", "\r\n")],
    ["with CR", usual.replaceAll("\n", "\r")],
    ["with empty lines and a byte order mark", `\ufeff${usual.replaceAll("\n", "\n\n")}`],
    ["with exponents", usual.replaceAll(" 40", " 4.0000e+01").replaceAll(" 5", " +500.E-2")],
    ["with a name of several words", asciiStl(FOLDED_SQUARE, "upper arch, solid model of facets")],
    ["without a name", asciiStl(FOLDED_SQUARE, "")],
    ["without normals", usual.replaceAll(" normal 0 0 1", "")],
    ["with normals without numbers", usual.replaceAll(" normal 0 0 1", " normal")],
    ["with normals that are no numbers", usual.replaceAll(" normal 0 0 1", " normal nan nan -nan(ind)")],
    ["without line ends", usual.replaceAll("\n", " ")],
    ["without a last line end", usual.trimEnd()],
    ["without 'solid'", facetLines(FOLDED_SQUARE).join("\n")],
    ["without 'endfacet'", usual.replaceAll("endfacet", "")],
    ["with colour lines between facets", usual.replaceAll("endfacet", "endfacet\ncolor 0.5 0.5 0.5")],
  ])("%s gives its triangles", async (_, content) => {
    const scan = await read(content);
    expect(scan.format).toBe("stl-ascii");
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
  });

  it("of several solids with noise between them is one surface", async () => {
    const [first, second] = FOLDED_SQUARE.map((triangle) => asciiStl([triangle]));
    const scan = await read(`${first}; a comment about a solid facet\n# vertex 1 2\n\n${second}`);
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
    expect(scan.warnings).toEqual(["The file holds 2 solids, which were read as one surface."]);
  });

  it("shows the solids' names", async () => {
    expect((await read(asciiStl(FOLDED_SQUARE, "upper  arch"))).notes).toEqual(["upper arch"]);
    expect((await read(usual.replaceAll("\n", " "))).notes).toEqual(["invented"]);
  });

  it("without 'endsolid' is read, with a warning that it may be cut off", async () => {
    const scan = await read(usual.replace(/endsolid.*\n/, ""));
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
    expect(scan.warnings[0]).toContain("may have been cut off");
  });

  it("is never read as whole without a word when its end is missing", async () => {
    const end = usual.lastIndexOf("endsolid");
    for (let size = "solid ".length; size < end; size++) {
      const outcome = await read(usual.slice(0, size)).then(
        (scan) => scan.warnings.join(),
        (error) => error.code,
      );
      expect(outcome, `${size} letters`).toMatch(/truncated|no-triangles|may have been cut off/);
    }
  });

  it("with facets of four corners is cut into triangles", async () => {
    const lines = asciiStl([[0, 0, 0, 40, 0, 0, 40, 40, 5]]).replace("endloop", "vertex 0 40 0\nendloop");
    expect(soupOf(await read(lines))).toEqual(FOLDED_SQUARE);
  });

  it.each([
    ["nan", "not-finite", "line 5"],
    ["-inf", "not-finite", "line 5"],
    ["1e999", "not-finite", "line 5"],
    ["1.#QNAN", "not-finite", "line 5"],
    ["1e20", "malformed", "line 5"],
    ["4O", "malformed", "line 5"],
    ["0x10", "malformed", "line 5"],
    ["1,5", "malformed", "line 5"],
  ])("with the coordinate '%s' is refused as %s, with the line", async (word, code, where) => {
    await expect(read(usual.replace("vertex 40", `vertex ${word}`))).rejects.toMatchObject({ code, where });
  });

  it("with a facet of two corners is refused", async () => {
    await expect(read(usual.replace("      vertex 40 0 0\n", ""))).rejects.toMatchObject({
      code: "malformed",
      where: "line 2",
    });
  });

  it("without facets is refused", async () => {
    await expect(read("solid nothing\nendsolid nothing\n")).rejects.toMatchObject({ code: "no-triangles" });
  });
});

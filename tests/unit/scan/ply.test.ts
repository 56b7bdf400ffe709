import { describe, expect, it } from "vitest";
import { FOLDED_SQUARE, joined, packed, read, soupOf, text } from "./scan-files";

/** The folded square's corners, and its two faces. */
const CORNERS = [
  [0, 0, 0],
  [40, 0, 0],
  [40, 40, 5],
  [0, 40, 0],
] as const;
const FACES = [
  [0, 1, 2],
  [0, 2, 3],
] as const;

const head = (format: string, ...lines: string[]): string =>
  ["ply", `format ${format} 1.0`, ...lines, "end_header", ""].join("\n");

const VERTEX = ["element vertex 4", "property float x", "property float y", "property float z"];
const FACE = ["element face 2", "property list uchar int vertex_indices"];
const VERTEX_LINES = CORNERS.map((at) => at.join(" "));
const FACE_LINES = FACES.map((face) => `3 ${face.join(" ")}`);
const USUAL = `${head("ascii", ...VERTEX, ...FACE)}${[...VERTEX_LINES, ...FACE_LINES, ""].join("\n")}`;

const ENCODINGS = [
  ["binary_little_endian", true],
  ["binary_big_endian", false],
] as const;

const usualBinary = (format: string, littleEndian: boolean): Uint8Array =>
  joined(
    text(head(format, ...VERTEX, ...FACE)),
    packed(
      [
        ...CORNERS.map((at) => ["float", ...at] as const),
        ...FACES.flatMap((face) => [["uchar", 3] as const, ["int", ...face] as const]),
      ],
      littleEndian,
    ),
  );

describe("a text PLY", () => {
  it.each([
    ["as most programs write it", USUAL],
    ["with CR LF", USUAL.replaceAll("\n", "\r\n")],
    ["with CR", USUAL.replaceAll("\n", "\r")],
    [
      "with tabs and empty lines",
      USUAL.replace(/(?<=end_header)[\s\S]*/, (body) => body.replaceAll(" ", "\t").replaceAll("\n", "\n\n")),
    ],
    ["with wrapped lines", USUAL.replace(/(?<=end_header\n)[\s\S]*/, (body) => body.replaceAll(" ", "\n"))],
    ["with the lists' other name", USUAL.replace("vertex_indices", "vertex_index")],
    ["with the types' other names", USUAL.replaceAll("float", "float32").replace("uchar int", "uint8 int32")],
    ["in double precision", USUAL.replaceAll("float", "double")],
    ["with whole-number coordinates", USUAL.replaceAll("float", "short")],
    ["without a last line end", USUAL.trimEnd()],
    ["with exponents", USUAL.replace("40 40 5", "4e1 +4.0E+01 5000e-3")],
  ])("%s gives its triangles", async (_, content) => {
    const scan = await read(content);
    expect(scan.format).toBe("ply-ascii");
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
  });

  it("shows comments and obj_info", async () => {
    const scan = await read(
      USUAL.replace("element vertex", "comment made by  hand\nobj_info num_cols 512\ncomment\nelement vertex"),
    );
    expect(scan.notes).toEqual(["made by hand", "num_cols 512"]);
  });

  it("may have faces before vertices", async () => {
    const content = `${head("ascii", ...FACE, ...VERTEX)}${[...FACE_LINES, ...VERTEX_LINES, ""].join("\n")}`;
    expect(soupOf(await read(content))).toEqual(FOLDED_SQUARE);
  });

  it("may have properties in any order, and unknown ones", async () => {
    const header = head(
      "ascii",
      "element vertex 4",
      "property float nx",
      "property float z",
      "property list uchar float weights",
      "property float y",
      "property uchar quality",
      "property float x",
      "element face 2",
      "property uchar flags",
      "property list uchar int vertex_indices",
      "property list uchar float texcoord",
    );
    const lines = [
      ...CORNERS.map(([x, y, z], i) => `9 ${z} ${["0", "1 7", "2 7 8", "0"][i]} ${y} 255 ${x}`),
      ...FACES.map((face) => `1 3 ${face.join(" ")} 2 0.5 0.5`),
    ];
    expect(soupOf(await read(`${header}${lines.join("\n")}\n`))).toEqual(FOLDED_SQUARE);
  });

  it("may have unknown elements before, between and behind", async () => {
    const header = head(
      "ascii",
      "element camera 1",
      "property float view",
      "property list uchar uchar name",
      ...VERTEX,
      "element empty 4000000000",
      "element edge 2",
      "property int vertex1",
      "property int vertex2",
      ...FACE,
      "element material 1",
      "property uchar shade",
    );
    const lines = ["0.5 3 1 2 3", ...VERTEX_LINES, "0 1", "1 2", ...FACE_LINES, "7", ""];
    expect(soupOf(await read(`${header}${lines.join("\n")}`))).toEqual(FOLDED_SQUARE);
  });

  it("is never read as whole without a word when its end is missing", async () => {
    for (let size = 4; size < USUAL.length - 1; size++) {
      const outcome = await read(USUAL.slice(0, size)).then(
        (scan) => scan.warnings.join(),
        (error) => error.code,
      );
      expect(outcome, `${size} letters`).toMatch(/^truncated$|cut off there/);
    }
  });

  it.each([
    ["a word for a number", USUAL.replace("40 40 5", "40 forty 5"), "malformed", "vertex 3 of 4"],
    ["a vertex number beyond the vertices", USUAL.replace("3 0 2 3", "3 0 2 4"), "malformed", "face 2"],
    ["a negative vertex number", USUAL.replace("3 0 2 3", "3 0 2 -1"), "malformed", "face 2"],
    ["half a vertex number", USUAL.replace("3 0 2 3", "3 0 2 1.5"), "malformed", "face 2"],
    ["a negative number of corners", USUAL.replace("3 0 2 3", "-3 0 2 3"), "malformed", "face 2 of 2"],
    ["a coordinate that is no number", USUAL.replace("40 40 5", "40 nan 5"), "not-finite", "vertex 2, counted from 0"],
    ["an infinite coordinate", USUAL.replace("40 40 5", "40 1e39 5"), "not-finite", "vertex 2, counted from 0"],
    ["a coordinate beyond any scan", USUAL.replace("40 40 5", "40 1e10 5"), "malformed", "vertex 2, counted from 0"],
    ["an unknown type", USUAL.replace("property float y", "property half y"), "malformed", "header line 5"],
    ["no format", USUAL.replace("format ascii 1.0\n", ""), "malformed", undefined],
    ["another version", USUAL.replace("ascii 1.0", "ascii 2.0"), "malformed", "header line 2"],
    ["an element without count", USUAL.replace("vertex 4", "vertex"), "malformed", "header line 3"],
    ["a negative element count", USUAL.replace("vertex 4", "vertex -4"), "malformed", "header line 3"],
    ["a property before any element", USUAL.replace("element vertex 4\n", ""), "malformed", "header line 3"],
    ["vertices without z", USUAL.replace("float z", "float w"), "malformed", undefined],
  ])("with %s is refused", async (_, content, code, where) => {
    await expect(read(content)).rejects.toMatchObject({
      code,
      subject: "scan",
      ...(where === undefined ? {} : { where }),
    });
  });

  it("may have coordinates that are no numbers where no face uses them", async () => {
    const content = USUAL.replace("vertex 4", "vertex 5").replace("3 0 1 2", "nan nan nan\n3 0 1 2");
    expect(soupOf(await read(content))).toEqual(FOLDED_SQUARE);
  });

  it("with points only is refused as a point cloud", async () => {
    const points = `${head("ascii", ...VERTEX)}${VERTEX_LINES.join("\n")}\n`;
    await expect(read(points)).rejects.toMatchObject({ code: "point-cloud" });
    const noFaces = `${head("ascii", ...VERTEX, "element face 0", FACE[1]!)}${VERTEX_LINES.join("\n")}\n`;
    await expect(read(noFaces)).rejects.toMatchObject({ code: "point-cloud" });
  });

  it("with faces of fewer than three corners leaves them out and says so", async () => {
    const scan = await read(USUAL.replace("face 2", "face 4").replace("3 0 1 2", "2 0 1\n0\n3 0 1 2"));
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
    expect(scan.warnings).toEqual(["Left out, with fewer than three corners: 2 faces."]);
  });

  it("with more than its elements is read, with a warning", async () => {
    expect((await read(`${USUAL}1 2 3\n`)).warnings).toEqual(["Not read, behind the last element: 3 words."]);
  });
});

describe.each(ENCODINGS)("a PLY in %s", (format, littleEndian) => {
  const usual = usualBinary(format, littleEndian);

  it("gives its triangles", async () => {
    const scan = await read(usual);
    expect(scan.format).toBe(`ply-${format.replaceAll("_", "-")}`);
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
    expect(scan.warnings).toEqual([]);
  });

  it.each([
    ["CR LF", "\r\n"],
    ["CR", "\r"],
  ])("may have a header with %s, even where the body begins with the byte of a line feed", async (_, lineEnd) => {
    const header = head(format, "element mark 1", "property uchar m", ...VERTEX, ...FACE).replaceAll("\n", lineEnd);
    const body = usual.subarray(text(head(format, ...VERTEX, ...FACE)).length);
    expect(soupOf(await read(joined(text(header), Uint8Array.of(10), body)))).toEqual(FOLDED_SQUARE);
  });

  it.each(["char", "uchar", "short", "ushort", "int", "uint", "float", "double"] as const)(
    "may count its lists and number its vertices in %s",
    async (type) => {
      for (const countType of ["char", "uchar", "short", "ushort", "int", "uint"] as const) {
        const bytes = joined(
          text(head(format, ...VERTEX, "element face 2", `property list ${countType} ${type} vertex_indices`)),
          packed(
            [
              ...CORNERS.map((at) => ["float", ...at] as const),
              ...FACES.flatMap((face) => [[countType, 3] as const, [type, ...face] as const]),
            ],
            littleEndian,
          ),
        );
        expect(soupOf(await read(bytes)), countType).toEqual(FOLDED_SQUARE);
      }
    },
  );

  it.each(["char", "short", "ushort", "int", "uint", "double"] as const)("may have coordinates in %s", async (type) => {
    const bytes = joined(
      text(head(format, ...VERTEX.map((line) => line.replace("float", type)), ...FACE)),
      packed(
        [
          ...CORNERS.map((at) => [type, ...at] as const),
          ...FACES.flatMap((face) => [["uchar", 3] as const, ["int", ...face] as const]),
        ],
        littleEndian,
      ),
    );
    expect(soupOf(await read(bytes))).toEqual(FOLDED_SQUARE);
  });

  it("may hold anything else before, between and behind the coordinates, corners and elements", async () => {
    const bytes = joined(
      text(
        head(
          format,
          "element face 2",
          "property uchar flags",
          "property list uchar int vertex_indices",
          "property double area",
          "element shots 2",
          "property list ushort short values",
          "element vertex 4",
          "property uchar green",
          "property double nx",
          "property float z",
          "property float y",
          "property uchar red",
          "property float x",
          "property uchar blue",
          "property uchar alpha",
        ),
      ),
      packed(
        [
          ...FACES.flatMap((face) => [
            ["uchar", 9] as const,
            ["uchar", 3] as const,
            ["int", ...face] as const,
            ["double", 1] as const,
          ]),
          ["ushort", 2],
          ["short", 1, -1],
          ["ushort", 0],
          ...CORNERS.flatMap(
            ([x, y, z], i) =>
              [
                ["uchar", 20 + i],
                ["double", 1],
                ["float", z, y],
                ["uchar", 10 + i],
                ["float", x],
                ["uchar", 30 + i, 255],
              ] as const,
          ),
        ],
        littleEndian,
      ),
    );
    const scan = await read(bytes);
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
    expect(Array.from(scan.geometry.colours!)).toEqual([10, 20, 30, 11, 21, 31, 12, 22, 32, 13, 23, 33]);
  });

  it("keeps colours given as shares of one", async () => {
    const colours = ["red", "green", "blue"].map((channel) => `property float ${channel}`);
    const bytes = joined(
      text(head(format, ...VERTEX, ...colours, ...FACE)),
      packed(
        [
          ...CORNERS.map((at) => ["float", ...at, 0, 0.5, 1] as const),
          ...FACES.flatMap((face) => [["uchar", 3] as const, ["int", ...face] as const]),
        ],
        littleEndian,
      ),
    );
    expect(Array.from((await read(bytes)).geometry.colours!.subarray(0, 3))).toEqual([0, 128, 255]);
  });

  it("cuts polygons into triangles that stay inside them", async () => {
    // An L: a fan about its first corner would cover ground outside it.
    //   5 4
    //     3 2
    //   0   1
    const ring = [
      [20, 0],
      [40, 0],
      [40, 10],
      [10, 10],
      [10, 40],
      [0, 40],
      [0, 0],
    ];
    const bytes = joined(
      text(head(format, "element vertex 7", ...VERTEX.slice(1), "element face 1", FACE[1]!)),
      packed(
        [...ring.map(([x, y]) => ["float", x!, y!, 1] as const), ["uchar", 7], ["int", 0, 1, 2, 3, 4, 5, 6]],
        littleEndian,
      ),
    );
    const soup = soupOf(await read(bytes));
    expect(soup).toHaveLength(5);
    const areas = soup.map(
      ([ax, ay, , bx, by, , cx, cy]) => ((bx! - ax!) * (cy! - ay!) - (by! - ay!) * (cx! - ax!)) / 2,
    );
    // None runs the other way round, and together they cover the L exactly: 40 · 10 + 10 · 30.
    for (const area of areas) expect(area).toBeGreaterThanOrEqual(0);
    expect(areas.reduce((a, b) => a + b)).toBe(700);
  });

  it("reads triangle strips, every second triangle turned, −1 between strips", async () => {
    const bytes = joined(
      text(
        head(
          format,
          "element vertex 6",
          ...VERTEX.slice(1),
          "element tristrips 1",
          "property list int int vertex_indices",
        ),
      ),
      packed(
        [
          ...[0, 1, 2, 3, 4, 5].map((i) => ["float", i, i % 2, 0] as const),
          ["int", 9],
          ["int", 0, 1, 2, 3, -1, 3, 4, 5, 0],
        ],
        littleEndian,
      ),
    );
    const corners = soupOf(await read(bytes)).map((t) => [t[0], t[3], t[6]]);
    expect(corners).toEqual([
      [0, 1, 2],
      [2, 1, 3],
      [3, 4, 5],
      [5, 4, 0],
    ]);
  });

  it("is never read as whole when its end is missing", async () => {
    for (let size = 4; size < usual.length; size++) {
      await expect(read(usual.subarray(0, size)), `${size} bytes`).rejects.toMatchObject({ code: "truncated" });
    }
  });

  it("with more than its elements is read, with a warning", async () => {
    const scan = await read(joined(usual, new Uint8Array(5)));
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
    expect(scan.warnings).toEqual(["Not read, behind the last element: 5 bytes."]);
  });

  it("with a vertex number beyond the vertices is refused, with the face", async () => {
    const bytes = usual.slice();
    bytes.fill(0xff, bytes.length - 4);
    await expect(read(bytes)).rejects.toMatchObject({ code: "malformed", where: "face 2" });
  });

  it.each([
    ["vertices", "element vertex 4", "element vertex 4000000000"],
    ["faces", "element face 2", "element face 4000000000"],
    ["vertices beyond counting", "element vertex 4", "element vertex 999999999999999"],
  ])("that announces more %s than its size can hold is refused before room is made for them", async (_, from, to) => {
    const header = head(format, ...VERTEX, ...FACE).replace(from, to);
    const body = usual.subarray(text(head(format, ...VERTEX, ...FACE)).length);
    await expect(read(joined(text(header), body))).rejects.toMatchObject({ code: "truncated" });
  });
});

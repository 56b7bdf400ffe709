import { describe, expect, it } from "vitest";
import { asciiStl, binaryStl, FOLDED_SQUARE, joined, packed, read, text } from "./scan-files";

const plyHeader = [
  "ply",
  "format binary_big_endian 1.0",
  "element vertex 4",
  "property double x",
  "property float y",
  "property short z",
  "property list uchar ushort other",
  "element face 2",
  "property list ushort uint vertex_index",
  "end_header",
  "",
].join("\r\n");
const mixedPly = joined(
  text(plyHeader),
  packed(
    [
      ...[0, 1, 2, 3].flatMap(
        (i) =>
          [
            ["double", i / 3],
            ["float", i * i],
            ["short", -i],
            ["uchar", i],
            ["ushort", ...Array(i).fill(7)],
          ] as const,
      ),
      ["ushort", 3],
      ["uint", 0, 1, 2],
      ["ushort", 4],
      ["uint", 3, 2, 1, 0],
    ],
    false,
  ),
);

describe("the borders of the pieces in which a file comes", () => {
  it.each([
    ["binary STL", binaryStl(FOLDED_SQUARE)],
    ["binary STL with a wrong count", binaryStl(FOLDED_SQUARE, { count: 1 })],
    ["text STL with CR LF", text(asciiStl(FOLDED_SQUARE).replaceAll("\n", "\r\n"))],
    ["binary PLY of mixed types", mixedPly],
    ["OBJ with joined lines", text("# a\r\nv 0 0 0\r\nv 1 0 0\r\nv 1 1 \\\r\n 0\r\nf 1 -2 3\r\n")],
  ])("do not matter to a %s", async (_, bytes) => {
    const whole = await read(bytes, bytes.length);
    for (const size of [1, 2, 3, 7, 50, 84, 85]) expect(await read(bytes, size), `pieces of ${size}`).toEqual(whole);
  });

  it("do not matter to the line that an error names", async () => {
    const bytes = text(asciiStl(FOLDED_SQUARE).replaceAll("\n", "\r\n").replace("40 40 5", "40 x 5"));
    for (const size of [1, 7, 65_536]) await expect(read(bytes, size)).rejects.toMatchObject({ where: "line 6" });
  });
});

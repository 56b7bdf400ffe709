import { describe, expect, it } from "vitest";
import { FOLDED_SQUARE, read, soupOf } from "./scan-files";

const VERTICES = "v 0 0 0\nv 40 0 0\nv 40 40 5\nv 0 40 0\n";
const USUAL = `# invented\no arch\n${VERTICES}f 1 2 3\nf 1 3 4\n`;

describe("an OBJ", () => {
  it.each([
    ["as most programs write it", USUAL],
    ["with CR LF", USUAL.replaceAll("\n", "\r\n")],
    ["with CR", USUAL.replaceAll("\n", "\r")],
    ["with texture numbers", `${VERTICES}vt 0 0\nf 1/1 2/1 3/1\nf 1/1 3/1 4/1\n`],
    ["with normal numbers", `${VERTICES}vn 0 0 1\nf 1//1 2//1 3//1\nf 1//1 3//1 4//1\n`],
    ["with texture and normal numbers", `${VERTICES}f 1/1/1 2/1/1 3/1/1\nf 1/1/1 3/1/1 4/1/1\n`],
    ["with numbers from the end", `${VERTICES}f -4 -3 -2\nf -4//-1 -2//-1 -1//-1\n`],
    ["with faces before vertices", `f 1 2 3\n${VERTICES}f 1 3 4\n`],
    ["with a face of four corners", `${VERTICES}f 1 2 3 4\n`],
    ["with lines joined by a backslash", `${VERTICES}f 1 2 \\\n3\nf 1 \\\r\n3 4\n`],
    ["with groups, materials and lines", `mtllib a.mtl\n${VERTICES}g a\nusemtl b\ns off\nf 1 2 3\nl 1 2\nf 1 3 4\n`],
    ["with a fourth coordinate", USUAL.replace("v 40 40 5", "v 40 40 5 1")],
  ])("%s gives its triangles", async (_, content) => {
    const scan = await read(content);
    expect(scan.format).toBe("obj");
    expect(soupOf(scan)).toEqual(FOLDED_SQUARE);
  });

  it("shows its comments", async () => {
    expect((await read(USUAL)).notes).toEqual(["invented"]);
  });

  it("keeps the colours of its vertices", async () => {
    const lines = VERTICES.trim()
      .split("\n")
      .map((line, i) => `${line} ${i / 5} 0.5 1`);
    const scan = await read(`${lines.join("\n")}\nf 1 2 3\n`);
    expect(Array.from(scan.geometry.colours!)).toEqual([0, 128, 255, 51, 128, 255, 102, 128, 255, 153, 128, 255]);
  });

  it.each([
    ["a vertex number beyond the vertices", `${VERTICES}f 1 2 5\n`, "malformed"],
    ["the vertex number 0", `${VERTICES}f 0 1 2\n`, "malformed"],
    ["a number too far from the end", `${VERTICES}f -5 1 2\n`, "malformed"],
    ["a word for a number", USUAL.replace("40 40 5", "40 forty 5"), "malformed"],
    ["a vertex of two coordinates", USUAL.replace("40 40 5", "40 40"), "malformed"],
    ["a coordinate that is no number", USUAL.replace("40 40 5", "40 NaN 5"), "not-finite"],
    ["points only", VERTICES, "point-cloud"],
  ])("with %s is refused", async (_, content, code) => {
    await expect(read(content)).rejects.toMatchObject({ code, subject: "scan" });
  });
});

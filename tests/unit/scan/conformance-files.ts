import type { FileKind, ReaderName } from "./independent-readers";
import { asciiStl, binaryStl, joined, packed, type Soup, text } from "./scan-files";

/** A small file that shows one thing a scan file may be. */
export interface ConformanceFile {
  readonly what: string;
  readonly kind: FileKind;
  readonly bytes: Uint8Array;
  /** The independent readers that find the same triangles in it; the others of its kind find none, wrong ones or fail. */
  readonly alsoReadBy: readonly ReaderName[];
  /** Readers that are not asked: they believe a number in the file and are busy with its memory for minutes. */
  readonly notAsked?: readonly ReaderName[];
}

/** A bent sheet of 3 × 3 vertices and 8 triangles; every coordinate is exact in single precision. */
const VERTICES: readonly (readonly [number, number, number])[] = Array.from({ length: 9 }, (_, v) => {
  const [i, j] = [v % 3, Math.floor(v / 3)];
  return [20 * i, 15 * j, (i * i - j) / 2] as const;
});
const FACES: readonly (readonly number[])[] = [0, 1, 3, 4].flatMap((a) => [
  [a, a + 1, a + 4],
  [a, a + 4, a + 3],
]);
/** The same sheet in quadrilaterals; fans about their first corners are the triangles above. */
const QUADS = [0, 1, 3, 4].map((a) => [a, a + 1, a + 4, a + 3]);
export const SHEET: Soup = FACES.map((face) => face.flatMap((v) => VERTICES[v]!));

const CR_LF = (content: string): string => content.replaceAll("\n", "\r\n");
const CR = (content: string): string => content.replaceAll("\n", "\r");

const stl = asciiStl(SHEET);
const [part1, part2] = [SHEET.slice(0, 3), SHEET.slice(3)];
const colourHeader = `COLOR=${String.fromCharCode(90, 80, 70, 127)}`;

const STL_FILES: readonly Omit<ConformanceFile, "kind">[] = [
  { what: "binary STL", bytes: binaryStl(SHEET), alsoReadBy: ["three-stdlib", "itk"] },
  {
    what: "binary STL whose header begins with 'solid'",
    bytes: binaryStl(SHEET, { header: "solid made by a program" }),
    alsoReadBy: ["three-stdlib"],
  },
  { what: "binary STL that counts zero triangles", bytes: binaryStl(SHEET, { count: 0 }), alsoReadBy: [] },
  { what: "binary STL that counts too few triangles", bytes: binaryStl(SHEET, { count: 3 }), alsoReadBy: [] },
  {
    what: "binary STL with a placeholder for its count",
    bytes: binaryStl(SHEET, { count: 0xffff_ffff }),
    alsoReadBy: [],
    notAsked: ["itk"],
  },
  {
    what: "binary STL with trailing bytes",
    bytes: joined(binaryStl(SHEET), text("end of file\r\n")),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "binary STL with colours in its attribute bytes",
    bytes: binaryStl(SHEET, { attribute: 0xfc1f }),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "binary STL with a colour in its header",
    bytes: binaryStl(SHEET, { header: colourHeader, attribute: 0x7c1f }),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "binary STL with zero normals",
    bytes: binaryStl(SHEET, { normal: [0, 0, 0] }),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "binary STL with wrong normals",
    bytes: binaryStl(SHEET, { normal: [5, -3, 0] }),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  { what: "text STL", bytes: text(stl), alsoReadBy: ["three-stdlib", "itk"] },
  { what: "text STL in capitals", bytes: text(stl.toUpperCase()), alsoReadBy: [], notAsked: ["itk"] },
  {
    what: "text STL in mixed case",
    bytes: text(stl.replaceAll("facet", "Facet").replaceAll("vertex", "VerTex")),
    alsoReadBy: [],
  },
  { what: "text STL with tabs", bytes: text(stl.replaceAll(" ", "\t")), alsoReadBy: ["three-stdlib"] },
  { what: "text STL with CR LF", bytes: text(CR_LF(stl)), alsoReadBy: ["three-stdlib", "itk"] },
  { what: "text STL with CR", bytes: text(CR(stl)), alsoReadBy: ["three-stdlib"] },
  {
    what: "text STL with exponents",
    bytes: text(stl.replaceAll(/(?<=vertex .*)-?[\d.]+/g, (word) => Number(word).toExponential(6))),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "text STL of several solids",
    bytes: text(asciiStl(part1, "one") + asciiStl(part2, "two")),
    alsoReadBy: ["three-stdlib"],
  },
  {
    what: "text STL whose name has spaces",
    bytes: text(asciiStl(SHEET, "upper arch, solid model of facets")),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  { what: "text STL without 'endsolid'", bytes: text(stl.replace(/endsolid.*\n/, "")), alsoReadBy: [] },
  {
    what: "text STL without normals",
    bytes: text(stl.replaceAll(" normal 0 0 1", "")),
    alsoReadBy: ["three-stdlib"],
  },
  {
    what: "text STL with something like a comment between its solids",
    bytes: text(`${asciiStl(part1)}; a comment about a solid facet\n# vertex 1 2\n\n${asciiStl(part2)}`),
    alsoReadBy: [],
  },
];

type Format = "ascii" | "binary_little_endian" | "binary_big_endian";
const FORMATS: readonly Format[] = ["ascii", "binary_little_endian", "binary_big_endian"];

type Values = Parameters<typeof packed>[0][number];

/** A PLY of header lines and rows of values: a row is one line of text, or packed. */
function ply(
  format: Format,
  header: readonly string[],
  rows: readonly (readonly Values[])[],
  lineEnd = "\n",
): Uint8Array {
  const head = ["ply", `format ${format} 1.0`, ...header, "end_header", ""].join(lineEnd);
  if (format !== "ascii") return joined(text(head), packed(rows.flat(), format === "binary_little_endian"));
  const lines = rows.map((row) => row.flatMap(([, ...values]) => values).join(" "));
  return text(head + [...lines, ""].join(lineEnd));
}

const VERTEX = ["element vertex 9", "property float x", "property float y", "property float z"];
const FACE = ["element face 8", "property list uchar int vertex_indices"];
const vertexRows: readonly (readonly Values[])[] = VERTICES.map((at) => [["float", ...at]]);
const faceRows: readonly (readonly Values[])[] = FACES.map((face) => [
  ["uchar", 3],
  ["int", ...face],
]);
const OTHER_NAMES: Readonly<Record<string, string>> = {
  char: "int8",
  uchar: "uint8",
  short: "int16",
  ushort: "uint16",
  int: "int32",
  uint: "uint32",
  float: "float32",
  double: "float64",
};
const COUNT_TYPES = ["char", "uchar", "short", "ushort", "int", "uint"] as const;
const BOTH_PLY = ["three-stdlib", "loaders.gl"] as const;

const plyFiles = (format: Format): readonly Omit<ConformanceFile, "kind">[] => {
  const isText = format === "ascii";
  return [
    { what: "PLY", bytes: ply(format, [...VERTEX, ...FACE], [...vertexRows, ...faceRows]), alsoReadBy: BOTH_PLY },
    ...COUNT_TYPES.flatMap((countType) =>
      COUNT_TYPES.map((type) => ({
        what: `PLY with lists counted in ${countType}, vertices numbered in ${type}`,
        bytes: ply(
          format,
          [...VERTEX, FACE[0]!, `property list ${countType} ${type} vertex_indices`],
          [
            ...vertexRows,
            ...FACES.map((face): Values[] => [
              [countType, 3],
              [type, ...face],
            ]),
          ],
        ),
        alsoReadBy: BOTH_PLY,
      })),
    ),
    ...(["short", "int", "double"] as const).map((type) => ({
      what: `PLY with coordinates in ${type}, named ${OTHER_NAMES[type]}`,
      bytes: ply(
        format,
        [
          VERTEX[0]!,
          ...["x", "y", "z"].map((axis) => `property ${OTHER_NAMES[type]} ${axis}`),
          "element face 8",
          "property list uint8 int32 vertex_index",
        ],
        // Whole numbers only.
        [...VERTICES.map(([x, y, z]): Values[] => [[type, x, y, 2 * z]]), ...faceRows],
      ),
      alsoReadBy: BOTH_PLY,
    })),
    {
      what: "PLY with its properties in another order and unknown ones between them",
      bytes: ply(
        format,
        [
          "element vertex 9",
          ...["nx", "z", "confidence", "y", "x"].map((name) => `property float ${name}`),
          "element face 8",
          "property uchar flags",
          "property list uchar int vertex_indices",
        ],
        [
          ...VERTICES.map(([x, y, z]): Values[] => [["float", 1, z, 7, y, x]]),
          ...FACES.map((face): Values[] => [
            ["uchar", 1],
            ["uchar", 3],
            ["int", ...face],
          ]),
        ],
      ),
      alsoReadBy: BOTH_PLY,
    },
    {
      what: "PLY with unknown elements before, between and behind",
      bytes: ply(
        format,
        [
          "element camera 1",
          "property float view",
          ...VERTEX,
          "element edge 2",
          "property int vertex1",
          "property int vertex2",
          ...FACE,
          "element material 1",
          "property uchar shade",
        ],
        [[["float", 0.5]], ...vertexRows, [["int", 0, 1]], [["int", 1, 2]], ...faceRows, [["uchar", 7]]],
      ),
      alsoReadBy: BOTH_PLY,
    },
    {
      what: "PLY with faces before vertices",
      bytes: ply(format, [...FACE, ...VERTEX], [...faceRows, ...vertexRows]),
      alsoReadBy: BOTH_PLY,
    },
    {
      what: "PLY with faces of four corners",
      bytes: ply(
        format,
        [...VERTEX, "element face 4", FACE[1]!],
        [
          ...vertexRows,
          ...QUADS.map((face): Values[] => [
            ["uchar", 4],
            ["int", ...face],
          ]),
        ],
      ),
      alsoReadBy: [],
    },
    {
      what: "PLY with triangle strips",
      bytes: ply(
        format,
        [...VERTEX, "element tristrips 1", "property list int int vertex_indices"],
        [
          ...vertexRows,
          // Each square is a strip of two triangles.
          [
            ["int", 19],
            ["int", ...QUADS.flatMap(([a, b, c, d], i) => [...(i > 0 ? [-1] : []), b!, c!, a!, d!])],
          ],
        ],
      ),
      alsoReadBy: [],
    },
    {
      what: "PLY with colours",
      bytes: ply(
        format,
        [...VERTEX, ...["red", "green", "blue"].map((channel) => `property uchar ${channel}`), ...FACE],
        [
          ...VERTICES.map((at, v): Values[] => [
            ["float", ...at],
            ["uchar", v, 2 * v, 255],
          ]),
          ...faceRows,
        ],
      ),
      alsoReadBy: BOTH_PLY,
    },
    {
      what: "PLY with comments and obj_info",
      bytes: ply(
        format,
        ["comment invented", "obj_info num_cols 512", ...VERTEX, "comment between", ...FACE],
        [...vertexRows, ...faceRows],
      ),
      alsoReadBy: BOTH_PLY,
    },
    {
      what: "PLY with CR LF",
      bytes: ply(format, [...VERTEX, ...FACE], [...vertexRows, ...faceRows], "\r\n"),
      alsoReadBy: isText ? BOTH_PLY : ["three-stdlib"],
    },
    {
      what: "PLY with CR",
      bytes: ply(format, [...VERTEX, ...FACE], [...vertexRows, ...faceRows], "\r"),
      alsoReadBy: [],
    },
  ];
};

const V = VERTICES.map((at) => `v ${at.join(" ")}\n`).join("");
const faceLines = (corner: (v: number) => string, faces = FACES): string =>
  faces.map((face) => `f ${face.map(corner).join(" ")}\n`).join("");
const OBJ = `# invented\n${V}${faceLines((v) => `${v + 1}`)}`;

const OBJ_FILES: readonly Omit<ConformanceFile, "kind">[] = [
  { what: "OBJ", bytes: text(OBJ), alsoReadBy: ["three-stdlib", "itk"] },
  { what: "OBJ with CR LF", bytes: text(CR_LF(OBJ)), alsoReadBy: ["three-stdlib", "itk"] },
  { what: "OBJ with CR", bytes: text(CR(OBJ)), alsoReadBy: [] },
  {
    what: "OBJ with texture numbers",
    bytes: text(`${V}vt 0 0\n${faceLines((v) => `${v + 1}/1`)}`),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "OBJ with normal numbers",
    bytes: text(`${V}vn 0 0 1\n${faceLines((v) => `${v + 1}//1`)}`),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "OBJ with texture and normal numbers",
    bytes: text(`${V}vt 0 0\nvn 0 0 1\n${faceLines((v) => `${v + 1}/1/1`)}`),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "OBJ with numbers from the end",
    bytes: text(`${V}${faceLines((v) => `${v - 9}`)}`),
    alsoReadBy: ["three-stdlib"],
  },
  {
    what: "OBJ with faces of four corners",
    bytes: text(`${V}${faceLines((v) => `${v + 1}`, QUADS)}`),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "OBJ with colours behind the coordinates",
    bytes: text(OBJ.replaceAll(/^(v .*)$/gm, "$1 0.25 0.5 1")),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "OBJ with groups and materials",
    bytes: text(`mtllib a.mtl\no arch\n${V}g upper\nusemtl gum\ns off\n${faceLines((v) => `${v + 1}`)}`),
    alsoReadBy: ["three-stdlib", "itk"],
  },
  {
    what: "OBJ with lines joined by a backslash",
    bytes: text(OBJ.replaceAll(/^f (\d+) /gm, "f $1 \\\n")),
    alsoReadBy: ["three-stdlib"],
  },
];

export const CONFORMANCE_FILES: readonly ConformanceFile[] = [
  ...STL_FILES.map((file) => ({ ...file, kind: "stl" as const })),
  ...FORMATS.flatMap((format) =>
    plyFiles(format).map((file) => ({ ...file, what: `${file.what}, ${format}`, kind: "ply" as const })),
  ),
  ...OBJ_FILES.map((file) => ({ ...file, kind: "obj" as const })),
];

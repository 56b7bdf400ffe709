import { asciiStl, binaryStl, joined, packed, type Soup, text } from "./scan-files";

/** Files of at most 8 kB made wrong in every way, the same ones for the same seed. */

/** A sequence of numbers in [0, 1), the same for the same seed (mulberry32, T. Ettinger 2017, public domain). */
export function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A bent sheet of 2 · 5 · 5 triangles. */
const SHEET: Soup = Array.from({ length: 25 }, (_, i) => [i % 5, Math.floor(i / 5)] as const).flatMap(([i, j]) => {
  const at = (u: number, v: number): number[] => [10 * u, 10 * v, (u * u - v) / 2];
  return [
    [...at(i, j), ...at(i + 1, j), ...at(i + 1, j + 1)],
    [...at(i, j), ...at(i + 1, j + 1), ...at(i, j + 1)],
  ];
});

function plyOf(format: "ascii" | "binary_little_endian" | "binary_big_endian"): Uint8Array {
  const header = text(
    [
      "ply",
      `format ${format} 1.0`,
      "comment invented",
      `element vertex ${3 * SHEET.length}`,
      "property float x",
      "property float y",
      "property float z",
      "property uchar red",
      "property uchar green",
      "property uchar blue",
      `element face ${SHEET.length}`,
      "property list uchar int vertex_indices",
      "element tristrips 1",
      "property list int int vertex_indices",
      "end_header",
      "",
    ].join("\n"),
  );
  const corners = SHEET.flatMap((t) => [t.slice(0, 3), t.slice(3, 6), t.slice(6, 9)]);
  const strip = [0, 1, 2, 3, -1, 4, 5, 6];
  if (format === "ascii") {
    const lines = [
      ...corners.map((at) => `${at.join(" ")} 1 2 3`),
      ...SHEET.map((_, t) => `3 ${3 * t} ${3 * t + 1} ${3 * t + 2}`),
      `${strip.length} ${strip.join(" ")}`,
    ];
    return joined(header, text(`${lines.join("\n")}\n`));
  }
  return joined(
    header,
    packed(
      [
        ...corners.flatMap((at) => [["float", ...at] as const, ["uchar", 1, 2, 3] as const]),
        ...SHEET.flatMap((_, t) => [["uchar", 3] as const, ["int", 3 * t, 3 * t + 1, 3 * t + 2] as const]),
        ["int", strip.length, ...strip],
      ],
      format === "binary_little_endian",
    ),
  );
}

const objOf = (): Uint8Array =>
  text(
    SHEET.map(
      (t) => `v ${t.slice(0, 3).join(" ")}\nv ${t.slice(3, 6).join(" ")}\nv ${t.slice(6).join(" ")}\nf -3 -2/1 -1//2\n`,
    ).join(""),
  );

/** Sound files of every format. */
export const SOUND: readonly Uint8Array[] = [
  binaryStl(SHEET),
  binaryStl(SHEET, { header: "solid invented" }),
  text(asciiStl(SHEET.slice(0, 40))),
  plyOf("ascii"),
  plyOf("binary_little_endian"),
  plyOf("binary_big_endian"),
  objOf(),
];

const HUGE = ["4294967295", "4294967296", "2147483648", "20000001", "99999999999999", "1e308", "-1", "0", "nan"];

/** One mutated file: bits turned, cut, spliced with another, counts made huge, stretches repeated or filled. */
export function mutated(next: () => number): Uint8Array {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(next() * list.length)]!;
  let bytes: Uint8Array = pick(SOUND).slice();
  for (let rounds = 1 + Math.floor(next() * 3); rounds > 0; rounds--) {
    const at = Math.floor(next() * bytes.length);
    // Headers are short and rule the rest, so half of the changes go there.
    const spot = next() < 0.5 ? at : Math.floor(next() * Math.min(400, bytes.length));
    switch (Math.floor(next() * 7)) {
      case 0:
        for (let flips = 1 + Math.floor(next() * 16); flips > 0; flips--) {
          const flipped = next() < 0.5 ? spot : Math.floor(next() * bytes.length);
          if (bytes.length > 0) bytes[flipped]! ^= 1 << Math.floor(next() * 8);
        }
        break;
      case 1:
        bytes = bytes.slice(0, at);
        break;
      case 2: {
        const other = pick(SOUND);
        bytes = joined(bytes.subarray(0, spot), other.subarray(Math.floor(next() * Math.min(400, other.length))));
        break;
      }
      case 3: {
        // A number in a text header or body becomes another one.
        const letters = Array.from(bytes, (byte) => String.fromCharCode(byte)).join("");
        const numbers = [...letters.matchAll(/\d+/g)];
        const found = numbers[Math.floor(next() * Math.min(30, numbers.length))];
        if (found === undefined) break;
        bytes = joined(bytes.subarray(0, found.index), text(pick(HUGE)), bytes.subarray(found.index + found[0].length));
        break;
      }
      case 4:
        if (bytes.length >= 84) new DataView(bytes.buffer).setUint32(80, Math.floor(next() * 4_294_967_296), true);
        break;
      case 5: {
        const length = Math.floor(next() * 200);
        bytes = joined(bytes.subarray(0, spot), bytes.subarray(Math.max(0, spot - length)));
        break;
      }
      default:
        bytes.fill(pick([0, 0xff, 0x20, 0x0a, 0x7f]), spot, spot + Math.floor(next() * 60));
    }
    bytes = bytes.slice(0, 8192);
  }
  return bytes;
}

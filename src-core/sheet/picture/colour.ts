import { cbrt, pow } from "../../geometry/real";

/** Colour in the spaces that shading needs: sRGB bytes (IEC 61966-2-1), linear light, OKLab (Ottosson 2020). */

/** Three channels: red, green, blue in linear light (0–1), or L, a, b of OKLab. */
export type Triple = readonly [number, number, number];

/** Linear light of an sRGB byte. */
export function toLinear(byte: number): number {
  const s = byte / 255;
  return s <= 0.04045 ? s / 12.92 : pow((s + 0.055) / 1.055, 2.4);
}

/** '#rrggbb' in linear light. */
export const linearOf = (hex: string): Triple => [
  toLinear(Number.parseInt(hex.slice(1, 3), 16)),
  toLinear(Number.parseInt(hex.slice(3, 5), 16)),
  toLinear(Number.parseInt(hex.slice(5, 7), 16)),
];

const STEPS = 8192;
const encoded = new Uint8Array(STEPS + 1);
for (let i = 0; i <= STEPS; i++) {
  const l = i / STEPS;
  const s = l <= 0.0031308 ? 12.92 * l : 1.055 * pow(l, 1 / 2.4) - 0.055;
  encoded[i] = Math.round(255 * s);
}

/** The sRGB byte of linear light; what is out of range is cut off. */
export const toByte = (linear: number): number =>
  encoded[linear <= 0 ? 0 : linear >= 1 ? STEPS : Math.round(linear * STEPS)]!;

/** '#rrggbb' of linear light. */
export const hexOf = (linear: Triple): `#${string}` =>
  `#${linear.map((c) => toByte(c).toString(16).padStart(2, "0")).join("")}`;

/** OKLab of linear sRGB. */
export function toOklab([r, g, b]: Triple): Triple {
  const l = cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return [
    0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
    1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
    0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
  ];
}

/** Linear sRGB of OKLab. */
export function fromOklab([L, a, b]: Triple): Triple {
  const l = L + 0.3963377774 * a + 0.2158037573 * b;
  const m = L - 0.1055613458 * a - 0.0638541728 * b;
  const s = L - 0.0894841775 * a - 1.291485548 * b;
  const [l3, m3, s3] = [l * l * l, m * m * m, s * s * s];
  return [
    4.0767416621 * l3 - 3.3077115913 * m3 + 0.2309699292 * s3,
    -1.2684380046 * l3 + 2.6097574011 * m3 - 0.3413193965 * s3,
    -0.0041960863 * l3 - 0.7034186147 * m3 + 1.707614701 * s3,
  ];
}

import { encode } from "fast-png";
import type { Picture } from "./render";

/** A picture on white paper as a PNG file, for the printed sheet. */
export function printedPng(picture: Picture): Uint8Array {
  const { width, height, rgba } = picture;
  const data = new Uint8Array(width * height * 3);
  for (let i = 0; i < width * height; i++) {
    const alpha = rgba[4 * i + 3]!;
    for (let c = 0; c < 3; c++) {
      data[3 * i + c] = Math.round((rgba[4 * i + c]! * alpha + 255 * (255 - alpha)) / 255);
    }
  }
  return encode({ width, height, channels: 3, data }, { zlib: { level: 6 } });
}

import { DataTexture, LinearFilter, RGBAFormat } from "three";
import { hexOf } from "#core/sheet/picture/colour";
import { distanceColour } from "#core/sheet/picture/colour-map";

const STEPS = 256;

/** The colour of a share of the scale's limit, −1 to 1, as '#rrggbb': that of the printed pictures. */
export const rampColour = (share: number): string => hexOf(distanceColour(share));

/** The colours of the distance map as a row of pixels, from −1 to 1, in the screen's own values. */
export function distanceRamp(): DataTexture {
  const pixels = new Uint8Array(STEPS * 4);
  for (let i = 0; i < STEPS; i++) {
    const hex = rampColour((2 * i) / (STEPS - 1) - 1);
    for (let k = 0; k < 3; k++) pixels[i * 4 + k] = Number.parseInt(hex.slice(1 + 2 * k, 3 + 2 * k), 16);
    pixels[i * 4 + 3] = 255;
  }
  const texture = new DataTexture(pixels, STEPS, 1, RGBAFormat);
  texture.minFilter = LinearFilter;
  texture.magFilter = LinearFilter;
  texture.needsUpdate = true;
  return texture;
}

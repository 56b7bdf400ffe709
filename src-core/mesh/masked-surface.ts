import { touchedVertices } from "./painted-triangles";
import type { Surface } from "./surface";

/** The surface with what is painted on it known: see `Masked`. */
export function maskedSurface<Kind extends Surface>(surface: Kind, triangles: Uint8Array): Kind {
  return { ...surface, masked: { triangles, vertices: touchedVertices(surface.mesh, triangles) } };
}

/**
 * The chosen vertices without those that a masked triangle touches; the same array where nothing is masked.
 * @param chosen per vertex, 0 = not chosen
 */
export function withoutMasked(surface: Surface, chosen: Uint8Array): Uint8Array {
  const { masked } = surface;
  return masked === undefined ? chosen : chosen.map((one, v) => (masked.vertices[v] === 1 ? 0 : one));
}

import { buildPointTree, type PointTree } from "../mesh/point-tree";
import { type SignedSurface, signedSurface } from "../mesh/signed-distance";
import type { Surface } from "../mesh/surface";

/** A surface that others can be registered to, and that can be registered to others; made once per scan. */
export interface RegistrationSurface extends SignedSurface {
  /** Its vertices, for the search of partners. */
  readonly points: PointTree;
}

/** Adds to a surface what registration needs: a tree of its vertices and the marks of its open border. */
export function registrationSurface(surface: Surface): RegistrationSurface {
  return { ...signedSurface(surface), points: buildPointTree(surface.mesh.positions) };
}

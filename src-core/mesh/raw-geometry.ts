/** Vertices and triangles as a file lists them: perhaps unwelded, with triangles that say nothing. */
export interface RawGeometry {
  /** x, y, z of each vertex in file units, finite; 3 × vertices. Single precision where the file has no more. */
  readonly vertices: Float32Array | Float64Array;
  /** Three vertex numbers per triangle in file order; 3 × triangles. */
  readonly triangles: Uint32Array;
  /** Red, green, blue 0–255 per vertex, or null; 3 × vertices. */
  readonly colours: Uint8Array | null;
  /** Vertices in the file: for formats that share none, three per triangle. */
  readonly verticesInFile: number;
  /** True where no two vertices have the same coordinates, so that welding needs no second look. */
  readonly verticesDistinct: boolean;
}

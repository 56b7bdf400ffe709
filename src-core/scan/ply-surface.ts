import { grouped } from "../grouped";
import type { JobControl } from "../job-control";
import { DistinctVertices } from "../mesh/distinct-vertices";
import type { RawGeometry } from "../mesh/raw-geometry";
import { GrowingNumbers } from "./growing-numbers";
import { GrowingTriangles } from "./growing-triangles";
import { MAX_TRIANGLES, MAX_VERTICES } from "./limits";
import type { PlyElement, PlyHeader, PlyScalar } from "./ply-header";
import { counted, scanError } from "./scan-errors";
import { surfaceGeometry } from "./surface-geometry";

/** What a property of a PLY means for the surface. */
export type PlyRole = "skip" | "x" | "y" | "z" | "red" | "green" | "blue" | "polygon" | "strip";

const VERTEX_ROLES: Readonly<Record<string, PlyRole>> = {
  x: "x",
  y: "y",
  z: "z",
  red: "red",
  green: "green",
  blue: "blue",
  r: "red",
  g: "green",
  b: "blue",
  diffuse_red: "red",
  diffuse_green: "green",
  diffuse_blue: "blue",
};
const CHANNELS: readonly PlyRole[] = ["red", "green", "blue"];
const AXES: readonly PlyRole[] = ["x", "y", "z"];

/** What each property of an element means; what has no meaning here is skipped. */
export function rolesOf(element: PlyElement): PlyRole[] {
  const roles = element.properties.map(({ name, countType }): PlyRole => {
    const isIndexList = countType !== null && (name === "vertex_indices" || name === "vertex_index");
    if (element.name === "vertex")
      return countType === null && Object.hasOwn(VERTEX_ROLES, name) ? VERTEX_ROLES[name]! : "skip";
    if (element.name === "face") return isIndexList ? "polygon" : "skip";
    if (element.name === "tristrips") return isIndexList ? "strip" : "skip";
    return "skip";
  });
  // Of two properties with the same meaning the first counts.
  const seen = new Set<PlyRole>();
  return roles.map((role) => {
    if (seen.has(role)) return "skip";
    seen.add(role);
    return role;
  });
}

/** Gathers the surface of a PLY from the values of its elements, in whatever order they come. */
export class PlySurface {
  readonly vertices: DistinctVertices;
  readonly triangles: GrowingTriangles;
  private readonly colours: Uint8Array | null;
  private readonly colourScale: number;
  private readonly vertexCount: number;
  /** First triangle and number of corners of each face with more than three. */
  private readonly polygons = new GrowingNumbers();
  private corner = 0;
  private first = 0;
  private previous = 0;
  private small = 0;
  /** Coordinates of the vertex that is being read, and how many of them are there. */
  private readonly at = new Float64Array(3);
  private axes = 0;

  /** @throws RapheError `point-cloud`, `no-triangles`, `malformed`, `too-large` */
  constructor(
    private readonly name: string,
    header: PlyHeader,
    private readonly job: JobControl,
  ) {
    const find = (element: string) => header.elements.find((e) => e.name === element);
    const vertex = find("vertex");
    const vertexRoles = vertex === undefined ? [] : rolesOf(vertex);
    const faces = find("face");
    const strips = find("tristrips");
    const faceCount = faces !== undefined && rolesOf(faces).includes("polygon") ? faces.count : 0;
    const stripCount = strips !== undefined && rolesOf(strips).includes("strip") ? strips.count : 0;
    this.vertexCount = vertex?.count ?? 0;
    if (this.vertexCount === 0) throw scanError("no-triangles", name, "the file holds no vertices");
    if (!AXES.every((axis) => vertexRoles.includes(axis))) {
      throw scanError("malformed", name, "the vertices have no x, y and z");
    }
    if (faceCount + stripCount === 0) {
      throw scanError("point-cloud", name, `the file holds ${grouped(this.vertexCount)} points and no faces`);
    }
    if (this.vertexCount > MAX_VERTICES) {
      throw scanError(
        "too-large",
        name,
        `${grouped(this.vertexCount)} vertices; at most ${grouped(MAX_VERTICES)} are read`,
      );
    }
    if (faceCount > MAX_TRIANGLES) {
      throw scanError("too-large", name, `${grouped(faceCount)} faces; at most ${grouped(MAX_TRIANGLES)} are read`);
    }
    this.triangles = new GrowingTriangles(name, faceCount, job);
    const typeOf = (role: PlyRole): PlyScalar => vertex!.properties[vertexRoles.indexOf(role)]!.type;
    // Single precision holds every value of the small types; the others get double.
    const single = AXES.every((axis) => !["float64", "int32", "uint32"].includes(typeOf(axis)));
    this.vertices = new DistinctVertices(
      single ? "single" : "double",
      this.vertexCount,
      pointsExpected(this.vertexCount, faceCount),
      job,
    );
    const coloured = CHANNELS.every((channel) => vertexRoles.includes(channel));
    this.colours = coloured ? new Uint8Array(3 * this.vertexCount) : null;
    this.colourScale = coloured ? scaleOf(typeOf("red")) : 1;
  }

  /** Takes one value of a vertex. */
  vertexValue(vertex: number, role: PlyRole, value: number): void {
    switch (role) {
      case "x":
        this.coordinate(0, value);
        break;
      case "y":
        this.coordinate(1, value);
        break;
      case "z":
        this.coordinate(2, value);
        break;
      case "red":
        this.channel(3 * vertex, value);
        break;
      case "green":
        this.channel(3 * vertex + 1, value);
        break;
      case "blue":
        this.channel(3 * vertex + 2, value);
        break;
      default:
    }
  }

  /** Begins the index list of a face or strip. */
  beginList(): void {
    this.corner = 0;
  }

  /** Takes the next corner of a face; its triangles form a fan until `finish` looks at its shape. */
  polygonCorner(face: number, value: number): void {
    const vertex = this.index(value, `face ${grouped(face + 1)}`);
    if (this.corner === 0) this.first = vertex;
    else if (this.corner > 1) this.triangles.add(this.first, this.previous, vertex);
    this.previous = vertex;
    this.corner++;
  }

  /** Ends the index list of a face. */
  endPolygon(): void {
    if (this.corner < 3) this.small++;
    if (this.corner > 3) {
      this.polygons.add(this.triangles.count - (this.corner - 2));
      this.polygons.add(this.corner);
    }
  }

  /** Takes the next corner of a triangle strip; −1 begins a new one. Every second triangle runs the other way round. */
  stripCorner(strip: number, value: number): void {
    if (value === -1) {
      this.corner = 0;
      return;
    }
    const vertex = this.index(value, `triangle strip ${grouped(strip + 1)}`);
    if (this.corner > 1) {
      if (this.corner % 2 === 0) this.triangles.add(this.first, this.previous, vertex);
      else this.triangles.add(this.previous, this.first, vertex);
    }
    this.first = this.previous;
    this.previous = vertex;
    this.corner++;
  }

  /** A whole triangle whose three vertex numbers may be out of range. */
  triangle(face: number, a: number, b: number, c: number): void {
    const { vertexCount } = this;
    if (a >= vertexCount || b >= vertexCount || c >= vertexCount) {
      for (const value of [a, b, c]) this.index(value, `face ${grouped(face + 1)}`);
    }
    this.triangles.add(a, b, c);
  }

  /** @throws RapheError `no-triangles`, `not-finite`, `malformed` */
  finish(): { geometry: RawGeometry; warnings: string[] } {
    const triangles = this.triangles.view();
    if (triangles.length === 0) throw scanError("no-triangles", this.name, "no face has three corners");
    const { name, vertices, colours, job } = this;
    const geometry = surfaceGeometry(name, vertices, triangles, this.polygons.view(), colours, job);
    const warnings: string[] = [];
    if (this.small > 0) warnings.push(`Left out, with fewer than three corners: ${counted(this.small, "face")}.`);
    return { geometry, warnings };
  }

  /** Takes one coordinate; with the third the vertex is whole. */
  private coordinate(axis: number, value: number): void {
    this.at[axis] = value;
    if (++this.axes < 3) return;
    this.axes = 0;
    this.vertices.add(this.at[0]!, this.at[1]!, this.at[2]!);
  }

  private channel(at: number, value: number): void {
    if (this.colours !== null) this.colours[at] = Math.max(0, Math.min(255, Math.round(value * this.colourScale)));
  }

  private index(value: number, where: string): number {
    if (value >= 0 && value < this.vertexCount && Math.floor(value) === value) return value;
    throw scanError(
      "malformed",
      this.name,
      `a corner has the vertex number ${value}, but the file has ${grouped(this.vertexCount)} vertices, numbered from 0`,
      where,
    );
  }
}

/** Factor from a colour channel's type to 0–255. */
const scaleOf = (type: PlyScalar): number =>
  type === "float32" || type === "float64" ? 255 : type === "uint16" ? 1 / 257 : 1;

/**
 * How many different points the vertices of a file are likely to be: all, where about as many vertices as faces show
 * that faces share them; else half as many as triangles, as on any surface.
 */
function pointsExpected(vertices: number, faces: number): number {
  if (faces === 0 || vertices < 1.1 * faces) return vertices;
  const triangles = vertices - 2 * faces;
  return Math.min(vertices, Math.ceil(0.52 * Math.max(faces, triangles)));
}

import type { TriangleMesh } from "../mesh/triangle-mesh";

/** How a PLY is written: as text, or binary in either byte order. */
export type PlyEncoding = "ascii" | "binary-little-endian" | "binary-big-endian";

/** What a PLY is written from. */
export interface PlyContent extends Pick<TriangleMesh, "positions" | "triangles"> {
  /** Red, green, blue 0–255 per vertex, if any. */
  readonly colours?: Uint8Array | null;
}

/**
 * A mesh as PLY 1.0 with single-precision coordinates (the text has nine digits, which single precision survives).
 * @param comments one line each, ASCII, without line ends
 */
export function writePly(content: PlyContent, encoding: PlyEncoding, comments: readonly string[]): Uint8Array {
  const vertices = content.positions.length / 3;
  const faces = content.triangles.length / 3;
  const coloured = content.colours != null;
  const header = [
    "ply",
    `format ${encoding.replaceAll("-", "_")} 1.0`,
    ...comments.map((comment) => `comment ${comment}`),
    `element vertex ${vertices}`,
    ...["x", "y", "z"].map((axis) => `property float ${axis}`),
    ...(coloured ? ["red", "green", "blue"].map((channel) => `property uchar ${channel}`) : []),
    `element face ${faces}`,
    "property list uchar int vertex_indices",
    "end_header",
    "",
  ].join("\n");
  const head = new TextEncoder().encode(header);
  const body = encoding === "ascii" ? asciiBody(content) : binaryBody(content, encoding === "binary-little-endian");
  const bytes = new Uint8Array(head.length + body.length);
  bytes.set(head);
  bytes.set(body, head.length);
  return bytes;
}

function asciiBody({ positions: p, triangles: t, colours }: PlyContent): Uint8Array {
  const lines: string[] = [];
  for (let v = 0; v < p.length; v += 3) {
    const at = [p[v]!, p[v + 1]!, p[v + 2]!].map((value) => String(Number(Math.fround(value).toPrecision(9))));
    if (colours != null) at.push(String(colours[v]), String(colours[v + 1]), String(colours[v + 2]));
    lines.push(at.join(" "));
  }
  for (let i = 0; i < t.length; i += 3) lines.push(`3 ${t[i]} ${t[i + 1]} ${t[i + 2]}`);
  lines.push("");
  return new TextEncoder().encode(lines.join("\n"));
}

function binaryBody({ positions: p, triangles: t, colours }: PlyContent, littleEndian: boolean): Uint8Array {
  const vertexBytes = colours == null ? 12 : 15;
  const bytes = new Uint8Array((p.length / 3) * vertexBytes + (t.length / 3) * 13);
  const view = new DataView(bytes.buffer);
  let at = 0;
  for (let v = 0; v < p.length; v += 3) {
    for (let axis = 0; axis < 3; axis++, at += 4) view.setFloat32(at, p[v + axis]!, littleEndian);
    if (colours == null) continue;
    for (let channel = 0; channel < 3; channel++) bytes[at++] = colours[v + channel]!;
  }
  for (let i = 0; i < t.length; i += 3) {
    bytes[at++] = 3;
    for (let corner = 0; corner < 3; corner++, at += 4) view.setUint32(at, t[i + corner]!, littleEndian);
  }
  return bytes;
}

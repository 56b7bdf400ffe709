import { grouped } from "../grouped";
import { checkCancelled, type JobControl, partOf } from "../job-control";
import { type BorderLoop, borderLoops } from "../mesh/border";
import { connectedComponents, setFragmentsAside } from "../mesh/components";
import { edgeLengths } from "../mesh/edge-statistics";
import { oppositeHalfEdges } from "../mesh/edges";
import { type Oriented, orient } from "../mesh/orientation";
import { triangleArea } from "../mesh/triangle-area";
import { type TriangleMesh, triangleCount, vertexCount } from "../mesh/triangle-mesh";
import { type Welded, weld } from "../mesh/weld";
import type { ByteSource } from "./byte-source";
import type { IntakeReport } from "./intake-report";
import { MAX_NOTE_LETTERS, MAX_NOTES } from "./limits";
import { readScan } from "./read-scan";
import { counted, scanError } from "./scan-errors";
import { Sha256 } from "./sha256";
import { MILLIMETRES, type Unit } from "./unit";
import { unitQuestion } from "./unit-question";

/** A scan made ready for measuring. */
export interface Intake {
  /** What is measured on: welded, wound one way, without floating fragments. */
  readonly mesh: TriangleMesh;
  /** Floating fragments, shown and never measured; null where there are none. */
  readonly fragments: TriangleMesh | null;
  /** Red, green, blue 0–255 per vertex of `mesh`; null where the file has no colours. */
  readonly colours: Uint8Array | null;
  readonly report: IntakeReport;
}

export interface IntakeOptions {
  /** The unit of the file's numbers; mm unless the user said otherwise. */
  readonly unit?: Unit;
}

/**
 * Takes a scan in: reads it, joins equal vertices, winds all triangles one way, sets floating fragments aside, and reports
 * what it found. Positions are file coordinates times the unit.
 * @throws RapheError as `readScan`; `no-triangles` where no triangle has an area
 */
export async function takeIn(source: ByteSource, options: IntakeOptions, job: JobControl): Promise<Intake> {
  const unit = options.unit ?? "mm";
  const file = await readSurface(source, unit, job);
  const { welded, oriented: orientation } = file;
  const { main: mesh, fragments, mainVertices, components, mainComponents } = file.parts;
  const measured = measuresOf(mesh, mainComponents, job);
  const question = unitQuestion(Math.max(...measured.extents), unit);
  const used = triangleCount(mesh);
  const report: IntakeReport = {
    schema: 1,
    format: file.format,
    fileBytes: source.size,
    sha256: file.sha256,
    unit,
    unitQuestion: question === null ? null : { ...question, proposals: [...question.proposals] },
    triangles: {
      inFile: file.trianglesInFile,
      used,
      degenerate: welded.degenerate,
      duplicate: welded.duplicate,
      setAside: fragments === null ? 0 : triangleCount(fragments),
    },
    vertices: { inFile: file.verticesInFile, used: vertexCount(mesh), unreferenced: welded.unreferenced },
    components: { all: components, main: mainComponents, fragments: components - mainComponents },
    ...measured,
    trianglesPerSquareMillimetre: used / measured.area,
    nonManifoldEdges: orientation.nonManifoldEdges,
    winding: {
      inFile: orientation.windingInFile,
      turned: orientation.turned,
      turnedWhole: orientation.turnedWhole,
    },
    coloured: welded.colours !== null,
    notes: file.notes.slice(0, MAX_NOTES).map((note) => note.slice(0, MAX_NOTE_LETTERS)),
    warnings: [...file.warnings, ...surfaceWarnings(welded, orientation, used, mainComponents, question?.text)],
  };
  job.progress(1);
  const colours =
    welded.colours === null || mainVertices === null ? welded.colours : chosenColours(welded.colours, mainVertices);
  return { mesh, fragments, colours, report };
}

/**
 * Reads, welds, winds one way and sets fragments aside. What each step leaves behind is let go with this function, so
 * that it does not stand in memory beside the mesh.
 */
async function readSurface(source: ByteSource, unit: Unit, job: JobControl) {
  const { mesh, ...file } = await readAndWeld(source, unit, job);
  checkCancelled(job);
  const { mesh: whole, ...oriented } = orient(mesh, job);
  job.progress(0.9, "Checking the surface");
  checkCancelled(job);
  return { ...file, oriented, parts: setFragmentsAside(whole, job) };
}

async function readAndWeld(source: ByteSource, unit: Unit, job: JobControl) {
  const hash = new Sha256();
  const content = await readScan(source, { hear: (bytes) => hash.update(bytes) }, partOf(job, 0, 0.7));
  const trianglesInFile = content.geometry.triangles.length / 3;
  const { mesh, ...welded } = weld(content.geometry, MILLIMETRES[unit], job);
  if (triangleCount(mesh) === 0) throw scanError("no-triangles", source.name, "no triangle in the file has an area");
  job.progress(0.8, "Checking the surface");
  return {
    mesh,
    welded,
    format: content.format,
    sha256: hash.hex(),
    trianglesInFile,
    verticesInFile: content.geometry.verticesInFile,
    notes: content.notes,
    warnings: content.warnings,
  };
}

/** The report's figures about the measured part. */
function measuresOf(mesh: TriangleMesh, components: number, job: JobControl) {
  const opposite = oppositeHalfEdges(mesh, job);
  const loops = borderLoops(mesh, opposite, job);
  return {
    holes: holesOf(mesh, loops, components, job),
    outerBorderLength: loops[0]?.length ?? 0,
    edgeLength: edgeLengths(mesh, opposite, job),
    area: areaOf(mesh),
    extents: extentsOf(mesh),
  };
}

/** Border loops that open the surface, without the longest of each component, which is its outer border. */
function holesOf(mesh: TriangleMesh, loops: readonly BorderLoop[], components: number, job: JobControl): number {
  // Where a triangle without area was left out, its neighbours have a seam between them and no opening.
  const openings = loops.filter(({ area, length }) => area > 1e-9 * length * length);
  if (components === 1) return Math.max(0, openings.length - 1);
  const { ofTriangle } = connectedComponents(mesh, job);
  return openings.length - new Set(openings.map(({ halfEdges }) => ofTriangle[Math.floor(halfEdges[0]! / 3)]!)).size;
}

/** Share of triangles that are there from both sides from which on it is said; below, the report's count is enough. */
const MANY_DUPLICATES = 0.001;

function surfaceWarnings(
  welded: Omit<Welded, "mesh">,
  oriented: Omit<Oriented, "mesh">,
  used: number,
  mainComponents: number,
  question: string | undefined,
): string[] {
  const warnings: string[] = [];
  if (question !== undefined) warnings.push(question);
  if (oriented.turnedWhole) {
    warnings.push(
      "The surface was inside out and was turned over. A mirrored scan looks like this: check right and left.",
    );
  }
  if (oriented.conflicts > 0) {
    warnings.push(
      `The surface has one side only at ${counted(oriented.conflicts, "edge")}; distances near them have no sign.`,
    );
  }
  // A few such triangles are the scanner's software joining its pieces; many are a surface with two sides.
  if (welded.duplicateReversed > MANY_DUPLICATES * used) {
    warnings.push(`Left out, as already there from the other side: ${counted(welded.duplicateReversed, "triangle")}.`);
  }
  if (mainComponents > 1) {
    warnings.push(`The scan has ${grouped(mainComponents)} large separate pieces, and all of them are measured on.`);
  }
  return warnings;
}

function extentsOf(mesh: TriangleMesh): [number, number, number] {
  const { positions } = mesh;
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let i = 0; i < positions.length; i++) {
    const axis = i % 3;
    const value = positions[i]!;
    if (value < low[axis]!) low[axis] = value;
    if (value > high[axis]!) high[axis] = value;
  }
  return [high[0]! - low[0]!, high[1]! - low[1]!, high[2]! - low[2]!];
}

function areaOf(mesh: TriangleMesh): number {
  let area = 0;
  for (let t = 0; t < triangleCount(mesh); t++) area += triangleArea(mesh, t);
  return area;
}

function chosenColours(colours: Uint8Array, vertices: Uint32Array): Uint8Array {
  const chosen = new Uint8Array(3 * vertices.length);
  for (let v = 0; v < vertices.length; v++) {
    for (let i = 0; i < 3; i++) chosen[3 * v + i] = colours[3 * vertices[v]! + i]!;
  }
  return chosen;
}

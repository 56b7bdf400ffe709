import { beforeAll, describe, expect, it } from "vitest";
import { apply, type RigidTransform } from "#core/geometry/rigid-transform";
import { distance, type Vector3 } from "#core/geometry/vector";
import { makeSamplePair, type SamplePair, type SamplePairOptions } from "../../../sample-meshes/generator/sample-pair";
import { FAN } from "../../../sample-meshes/generator/sample-sets";
import { toPly, toStl } from "../../../sample-meshes/generator/scan-files";
import type { TrueLandmark } from "../../../sample-meshes/generator/truth";
import { NARROW_ARCH, UpperArch } from "../../../sample-meshes/generator/upper-arch";

const NOISE = 0.02;
const small: SamplePairOptions = {
  seed: 7,
  treatment: FAN.treatment!,
  triangles: 16000,
  scanner: { noise: NOISE, holes: 3, fragments: 1 },
};

const transformOf = (m: readonly (readonly number[])[]): RigidTransform => ({
  rotation: [m[0]![0]!, m[0]![1]!, m[0]![2]!, m[1]![0]!, m[1]![1]!, m[1]![2]!, m[2]![0]!, m[2]![1]!, m[2]![2]!],
  translation: [m[0]![3]!, m[1]![3]!, m[2]![3]!],
});

let pair: SamplePair;
beforeAll(() => {
  pair = makeSamplePair(small);
});

const landmark = (scan: string, tooth: number | undefined, place: string): TrueLandmark =>
  pair.truth.scans[scan]!.landmarks.find((l) => l.tooth === tooth && l.place === place)!;

describe("a sample pair is reproducible", () => {
  it("gives the same bytes for the same seed", () => {
    const again = makeSamplePair(small);
    expect(Buffer.from(toStl(again.meshes.before!)).equals(Buffer.from(toStl(pair.meshes.before!)))).toBe(true);
    expect(Buffer.from(toPly(again.meshes.after!)).equals(Buffer.from(toPly(pair.meshes.after!)))).toBe(true);
    expect(JSON.stringify(again.truth)).toBe(JSON.stringify(pair.truth));
    expect(JSON.stringify(again.marks)).toBe(JSON.stringify(pair.marks));
  });

  it("gives another arch for another seed", () => {
    const [one, other] = [7, 8].map((seed) => new UpperArch(NARROW_ARCH, seed));
    expect(distance(one!.teeth[2]!.origin, other!.teeth[2]!.origin)).toBeGreaterThan(0.01);
  });

  it("shares no vertex between before and after, even where nothing was treated and nothing was moved", () => {
    const untreated = makeSamplePair({
      seed: 7,
      triangles: 5000,
      unposed: true,
      scanner: { noise: 0, holes: 0, fragments: 0 },
    });
    const key = (p: Float64Array, v: number) => [0, 1, 2].map((i) => Math.round(p[v + i]! * 1e4)).join(" ");
    const before = new Set<string>();
    const p = untreated.meshes.before!.positions;
    for (let v = 0; v < p.length; v += 3) before.add(key(p, v));
    const q = untreated.meshes.after!.positions;
    let shared = 0;
    for (let v = 0; v < q.length; v += 3) if (before.has(key(q, v))) shared++;
    expect(before.size).toBeGreaterThan(2000);
    expect(shared).toBe(0);
    for (const w of untreated.truth.widths) expect(w.widths.after!.refound).toBeCloseTo(w.widths.before!.refound, 6);
  });
});

describe("the truth agrees with itself", () => {
  it("carries every tooth's points from before to after by the crown's motion", () => {
    for (const before of pair.truth.scans.before!.landmarks) {
      if (before.tooth === undefined) continue;
      const motion = transformOf(pair.truth.motions.after!.teeth[String(before.tooth)]!);
      const after = landmark("after", before.tooth, before.place);
      expect(distance(apply(motion, before.material), after.material)).toBeLessThan(1e-9);
    }
  });

  it("gives widths that are the distances of its landmarks", () => {
    for (const w of pair.truth.widths) {
      const n = Number(w.pair[0]);
      for (const scan of ["before", "after"]) {
        const right = landmark(scan, 10 + n, w.place);
        const left = landmark(scan, 20 + n, w.place);
        expect(w.widths[scan]!.material).toBeCloseTo(distance(right.material, left.material), 12);
        expect(w.widths[scan]!.refound).toBeCloseTo(distance(right.refound, left.refound), 12);
      }
    }
  });

  it("finds cusp tips anew at least as far to occlusal as the carried ones, and fossae at least as deep", () => {
    const frame = transformOf(pair.truth.scans.after!.archFrame);
    let tips = 0;
    for (const l of pair.truth.scans.after!.landmarks) {
      const higher = apply(frame, l.material)[2] - apply(frame, l.refound)[2];
      if (l.place.endsWith("cusp-tip")) {
        expect(higher).toBeGreaterThan(-1e-6);
        tips++;
      }
      if (l.place === "central-fossa") expect(higher).toBeLessThan(1e-6);
      if (l.place === "palatal-gingival") expect(distance(l.material, l.refound)).toBeLessThan(0.5);
    }
    expect(tips).toBe(2 + 8 + 16);
  });

  it("has the arch frame's axes as defined: x to the patient's left, y back, z to the head", () => {
    for (const name of ["before", "after"]) {
      const frame = transformOf(pair.truth.scans[name]!.archFrame);
      const at = (tooth: number | undefined, place: string): Vector3 =>
        apply(frame, landmark(name, tooth, place).refound);
      expect(at(26, "mesiobuccal-cusp-tip")[0]).toBeGreaterThan(15);
      expect(at(16, "mesiobuccal-cusp-tip")[0]).toBeLessThan(-15);
      expect(at(16, "mesiobuccal-cusp-tip")[1] - at(13, "cusp-tip")[1]).toBeGreaterThan(15);
      expect(at(undefined, "incisive-papilla")[2]).toBeGreaterThan(5);
      expect(Math.abs(at(undefined, "incisive-papilla")[1])).toBeLessThan(1e-9);
    }
  });

  it("moves the halves as the treatment says", () => {
    const { openingAngle, roll, pitch } = pair.truth.motions.after!.halves;
    const wanted = FAN.treatment!;
    // The whole turn is the treatment's; its parts differ a little, as the arch frame leans against the model's axes.
    const whole = Math.sqrt(openingAngle * openingAngle + roll * roll + pitch * pitch);
    expect(whole).toBeCloseTo(Math.sqrt(wanted.openingAngle * wanted.openingAngle + wanted.roll * wanted.roll), 9);
    expect(Math.abs(openingAngle - wanted.openingAngle)).toBeLessThan(0.05);
    expect(Math.abs(roll - wanted.roll)).toBeLessThan(0.3);
  });

  it("places every mark within 0.3 mm of the point found anew", () => {
    for (const [name, scan] of Object.entries(pair.marks.scans)) {
      const truths = pair.truth.scans[name]!.landmarks;
      expect(scan.landmarks.length).toBe(truths.length);
      scan.landmarks.forEach((mark, i) => {
        expect(mark.place).toBe(truths[i]!.place);
        expect(distance(mark.at, truths[i]!.refound)).toBeLessThanOrEqual(0.3 + 1e-9);
      });
    }
  });
});

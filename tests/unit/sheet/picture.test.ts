import { describe, expect, test } from "vitest";
import { IDENTITY, type RigidTransform } from "#core/geometry/rigid-transform";
import { Sha256 } from "#core/scan/sha256";
import { type Camera, cameraAround } from "#core/sheet/picture/camera";
import { hexOf, linearOf, toOklab } from "#core/sheet/picture/colour";
import { distanceColour, scaleLimit } from "#core/sheet/picture/colour-map";
import { printedPng } from "#core/sheet/picture/png";
import { type Picture, renderPicture } from "#core/sheet/picture/render";
import { archLikeSurface, foldedSheet, plateSeenFromBelow, sphere } from "./invented-surfaces";

const below = (millimetresPerPixel: number): Camera => ({ view: "below", centre: [0, 0], millimetresPerPixel });

const pixel = (picture: Picture, x: number, y: number): number[] => [
  ...picture.rgba.subarray(4 * (y * picture.width + x), 4 * (y * picture.width + x) + 4),
];

describe("a sphere of 10 mm, drawn at 0.2 mm a pixel", () => {
  const mesh = sphere(10, 64);
  const solid = renderPicture({
    layers: [{ kind: "surface", mesh, toFrame: IDENTITY, colours: "plaster" }],
    camera: below(0.2),
    width: 120,
    height: 120,
  });

  test("covers the area of its circle", () => {
    let covered = 0;
    for (let i = 3; i < solid.rgba.length; i += 4) covered += solid.rgba[i]! / 255;
    expect(Math.abs(covered * 0.04 - Math.PI * 100) / (Math.PI * 100)).toBeLessThan(0.005);
  });

  test("is lit from above left and nowhere black", () => {
    const sum = (p: number[]) => p[0]! + p[1]! + p[2]!;
    expect(sum(pixel(solid, 40, 40))).toBeGreaterThan(sum(pixel(solid, 80, 80)));
    expect(sum(pixel(solid, 80, 80))).toBeGreaterThan(150);
    expect(pixel(solid, 5, 5)).toEqual([0, 0, 0, 0]);
  });

  test("as an outline is its circle and nothing else", () => {
    const line = renderPicture({
      layers: [{ kind: "outline", mesh, toFrame: IDENTITY, colour: "#2b6ca3", lineWidth: 2 }],
      camera: below(0.2),
      width: 120,
      height: 120,
    });
    let on = 0;
    for (let y = 0; y < 120; y++) {
      for (let x = 0; x < 120; x++) {
        if (pixel(line, x, y)[3] === 0) continue;
        on++;
        const radius = Math.hypot(x + 0.5 - 60, y + 0.5 - 60) * 0.2;
        expect(Math.abs(radius - 10)).toBeLessThan(0.7);
      }
    }
    expect(on).toBeGreaterThan(500);
  });
});

describe("a fold in the surface", () => {
  /** Pixels with a line on them, away from the sheet's border. */
  const lined = (slope: number): number[] => {
    const picture = renderPicture({
      layers: [{ kind: "outline", mesh: foldedSheet(slope), toFrame: IDENTITY, colour: "#2b6ca3", lineWidth: 2 }],
      camera: below(0.1),
      width: 240,
      height: 240,
    });
    const columns: number[] = [];
    for (let y = 40; y < 200; y++) {
      for (let x = 40; x < 200; x++) if (pixel(picture, x, y)[3]! > 128) columns.push(x);
    }
    return columns;
  };

  test("away from the eye, as between crown and gingiva, is drawn where it is and unbroken", () => {
    const columns = lined(-0.7);
    for (const x of columns) expect(Math.abs(x + 0.5 - 120) * 0.1).toBeLessThan(0.35);
    expect(columns.length).toBeGreaterThan(160 * 0.95);
  });

  test("towards the eye, as a cusp's ridge, is not drawn, nor is a flat sheet", () => {
    expect(lined(0.7)).toEqual([]);
    expect(lined(0)).toEqual([]);
  });
});

describe("where things stand", () => {
  test("from below, the patient's right is on the left and the front on top", () => {
    const right = plateSeenFromBelow(-20, -20, -15, -15, 0);
    const picture = renderPicture({
      layers: [{ kind: "surface", mesh: right, toFrame: IDENTITY, colours: "plaster" }],
      camera: below(0.5),
      width: 100,
      height: 100,
    });
    expect(picture.project([-17.5, -17.5, 0])).toEqual([15, 15]);
    expect(pixel(picture, 15, 15)[3]).toBe(255);
    expect(pixel(picture, 85, 85)[3]).toBe(0);
  });

  test("from the front, right and left the head is on top, and front and sides stand as one sees them", () => {
    const project = (view: Camera["view"], point: [number, number, number]) =>
      renderPicture({
        layers: [],
        camera: { view, centre: [0, 0], millimetresPerPixel: 1 },
        width: 100,
        height: 100,
      }).project(point);
    expect(project("front", [-10, 0, 20])).toEqual([40, 30]);
    expect(project("right", [0, -10, 20])).toEqual([60, 30]);
    expect(project("left", [0, -10, 20])).toEqual([40, 30]);
  });

  test("what is nearer to the eye hides what is behind it, whichever is drawn first", () => {
    const near = plateSeenFromBelow(-5, -5, 5, 5, -2);
    const far = plateSeenFromBelow(-10, -10, 10, 10, 4);
    const positions = Float64Array.from([...far.positions, ...near.positions]);
    for (const order of ["near first", "far first"]) {
      const shifted = near.triangles.map((v) => v + 4);
      const triangles = order === "near first" ? [...shifted, ...far.triangles] : [...far.triangles, ...shifted];
      const mesh = {
        positions,
        triangles: Uint32Array.from(triangles),
        fileTriangles: new Uint32Array(triangles.length / 3),
      };
      const distances = [1, 1, 1, 1, -1, -1, -1, -1];
      const picture = renderPicture({
        layers: [{ kind: "surface", mesh, toFrame: IDENTITY, colours: { distances, limit: 1 } }],
        camera: below(0.5),
        width: 50,
        height: 50,
      });
      const [red, , blue] = pixel(picture, 25, 25);
      expect(blue).toBeGreaterThan(red!);
      const [redOutside, , blueOutside] = pixel(picture, 8, 25);
      expect(redOutside).toBeGreaterThan(blueOutside!);
    }
  });

  test("a scan in any pose gives the picture of its arch frame", () => {
    const mesh = archLikeSurface(0, 1.4);
    const quarter: RigidTransform = { rotation: [0, -1, 0, 1, 0, 0, 0, 0, 1], translation: [3, -40, 7] };
    const back: RigidTransform = { rotation: [0, 1, 0, -1, 0, 0, 0, 0, 1], translation: [40, 3, -7] };
    const posed = { ...mesh, positions: mesh.positions.slice() };
    for (let i = 0; i < posed.positions.length; i += 3) {
      const [x, y, z] = [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!];
      posed.positions.set([-y + quarter.translation[0], x + quarter.translation[1], z + quarter.translation[2]], i);
    }
    const draw = (m: typeof mesh, toFrame: RigidTransform) =>
      renderPicture({
        layers: [{ kind: "surface", mesh: m, toFrame, colours: "plaster" }],
        camera: below(0.8),
        width: 110,
        height: 110,
      }).rgba;
    const [a, b] = [draw(mesh, IDENTITY), draw(posed, back)];
    let different = 0;
    for (let i = 0; i < a.length; i++) if (Math.abs(a[i]! - b[i]!) > 3) different++;
    // Rounding may turn a sample at an edge; no more than that.
    expect(different / a.length).toBeLessThan(0.002);
  });

  test("the camera takes in the whole of every surface", () => {
    const mesh = archLikeSurface(2, 1.4);
    const camera = cameraAround("below", [{ positions: mesh.positions, toFrame: IDENTITY }], 200, 160);
    const { project } = renderPicture({ layers: [], camera, width: 200, height: 160 });
    for (let i = 0; i < mesh.positions.length; i += 3) {
      const [x, y] = project([mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!]);
      expect(x).toBeGreaterThan(0);
      expect(x).toBeLessThan(200);
      expect(y).toBeGreaterThan(0);
      expect(y).toBeLessThan(160);
    }
  });
});

describe("the colours of signed distances", () => {
  test("begin and end in the tokens of the palette and are warm white at zero", () => {
    expect(hexOf(distanceColour(0))).toBe("#efece4");
    expect(toOklab(distanceColour(-1))[2]).toBeLessThan(-0.05);
    expect(toOklab(distanceColour(1))[2]).toBeGreaterThan(0.05);
  });

  test("fall in lightness equally to both sides and in a straight line", () => {
    const lightness = (share: number) => toOklab(distanceColour(share))[0];
    for (const share of [0.25, 0.5, 0.75, 1]) {
      expect(Math.abs(lightness(share) - lightness(-share))).toBeLessThan(0.012);
    }
    const step = lightness(0.25) - lightness(0.5);
    expect(Math.abs(lightness(0.5) - lightness(0.75) - step)).toBeLessThan(0.012);
  });

  test("a vertex without a value is grey and hatched, never a colour of the scale", () => {
    const mesh = plateSeenFromBelow(-10, -10, 10, 10, 0);
    const picture = renderPicture({
      layers: [{ kind: "surface", mesh, toFrame: IDENTITY, colours: { distances: [NaN, NaN, NaN, NaN], limit: 1 } }],
      camera: below(0.25),
      width: 60,
      height: 60,
    });
    const greys = new Set<number>();
    for (let x = 20; x < 40; x++) {
      const [r, g, b] = pixel(picture, x, 30) as [number, number, number];
      expect(Math.max(r, g, b) - Math.min(r, g, b)).toBeLessThan(8);
      greys.add(r);
    }
    expect(Math.max(...greys) - Math.min(...greys)).toBeGreaterThan(15);
  });

  test("the scale's limit is round and holds both ends", () => {
    expect(scaleLimit(-0.1, 0.15)).toBe(0.2);
    expect(scaleLimit(-1.8, 1.9)).toBe(2);
    expect(scaleLimit(-30, 1)).toBe(10);
  });

  test("OKLab of sRGB red is as its author gives it", () => {
    // Ottosson 2020, 'A perceptual color space for image processing': L 0.628, a 0.225, b 0.126.
    const [l, a, b] = toOklab(linearOf("#ff0000"));
    expect(l).toBeCloseTo(0.628, 3);
    expect(a).toBeCloseTo(0.225, 3);
    expect(b).toBeCloseTo(0.126, 3);
  });
});

test("the same scan gives the same bytes, also after another picture", () => {
  const draw = () => {
    const mesh = archLikeSurface(3, 0.9);
    const camera = cameraAround("below", [{ positions: mesh.positions, toFrame: IDENTITY }], 160, 160);
    return printedPng(
      renderPicture({
        layers: [
          { kind: "surface", mesh, toFrame: IDENTITY, colours: "plaster" },
          { kind: "outline", mesh: archLikeSurface(0, 0.9), toFrame: IDENTITY, colour: "#2b6ca3", lineWidth: 2 },
        ],
        camera,
        width: 160,
        height: 160,
      }),
    );
  };
  const hash = (bytes: Uint8Array) => {
    const sha = new Sha256();
    sha.update(bytes);
    return sha.hex();
  };
  const first = draw();
  expect(hash(draw())).toBe(hash(first));
  expect([...first.subarray(1, 4)]).toEqual([0x50, 0x4e, 0x47]);
});

test("drawing stops when it is no longer wanted", () => {
  const mesh = sphere(10);
  expect(() =>
    renderPicture(
      {
        layers: [{ kind: "surface", mesh, toFrame: IDENTITY, colours: "plaster" }],
        camera: below(0.2),
        width: 50,
        height: 50,
      },
      { progress: () => {}, cancelled: () => true },
    ),
  ).toThrow("the work was stopped");
});

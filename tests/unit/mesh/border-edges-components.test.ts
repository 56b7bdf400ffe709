import { describe, expect, it } from "vitest";
import { borderLoops } from "#core/mesh/border";
import { connectedComponents, setFragmentsAside } from "#core/mesh/components";
import { edgeLengths } from "#core/mesh/edge-statistics";
import { oppositeHalfEdges, pairEdges } from "#core/mesh/edges";
import { orient } from "#core/mesh/orientation";
import type { TriangleMesh } from "#core/mesh/triangle-mesh";

function meshOf(points: readonly (readonly number[])[], triangles: readonly (readonly number[])[]): TriangleMesh {
  return {
    positions: Float64Array.from(points.flatMap(([x, y, z]) => [x!, y!, z ?? 0])),
    triangles: Uint32Array.from(triangles.flat()),
    fileTriangles: Uint32Array.from(triangles, (_, i) => i),
  };
}

//  2 - 3
//  | \ |
//  0 - 1
const SQUARE = meshOf(
  [
    [0, 0],
    [1, 0],
    [0, 1],
    [1, 1],
  ],
  [
    [0, 1, 2],
    [1, 3, 2],
  ],
);

/** Corners and outward triangles of a regular tetrahedron. */
const TETRAHEDRON = meshOf(
  [
    [1, 1, 1],
    [1, -1, -1],
    [-1, 1, -1],
    [-1, -1, 1],
  ],
  [
    [0, 1, 2],
    [0, 3, 1],
    [0, 2, 3],
    [1, 3, 2],
  ],
);

describe("half-edges", () => {
  it("of a square's diagonal are each other's opposites, the others lie on the border", () => {
    expect(Array.from(oppositeHalfEdges(SQUARE))).toEqual([-1, 5, -1, -1, -1, 1]);
  });

  it("of a closed surface all have opposites, which run the other way", () => {
    const opposite = oppositeHalfEdges(TETRAHEDRON);
    const { triangles } = TETRAHEDRON;
    opposite.forEach((other, h) => {
      expect(opposite[other]).toBe(h);
      expect(triangles[other]).toBe(triangles[h % 3 === 2 ? h - 2 : h + 1]);
    });
  });

  it("have no opposite where three triangles meet", () => {
    const fins = meshOf(
      [
        [0, 0, 0],
        [1, 0, 0],
        [0, 1, 0],
        [0, -1, 0],
        [0, 0, 1],
      ],
      [
        [0, 1, 2],
        [1, 0, 3],
        [0, 1, 4],
      ],
    );
    expect(pairEdges(fins.triangles, 5)).toMatchObject({
      crowded: Uint32Array.of(0, 3, 6),
      crowdedEnds: [3],
    });
    expect(Array.from(oppositeHalfEdges(fins))).toEqual(Array(9).fill(-1));
  });

  it("have no opposite where neighbours are wound against each other, but are partners", () => {
    const against = meshOf(
      [
        [0, 0],
        [1, 0],
        [0, 1],
        [1, 1],
      ],
      [
        [0, 1, 2],
        [1, 2, 3],
      ],
    );
    expect(Array.from(oppositeHalfEdges(against))).toEqual(Array(6).fill(-1));
    expect(Array.from(pairEdges(against.triangles, 4).partner)).toEqual([-1, 3, -1, 1, -1, -1]);
  });

  it("follow each of two bodies that touch along an edge on its own side", () => {
    // Two tetrahedra, one left and one right of their common edge 0 1, seen along it.
    //  2       4
    //   > 0 1 <
    //  3       5
    const touching = meshOf(
      [
        [0, 0, 0],
        [0, 0, 1],
        [-1, 1, 0],
        [-1, -1, 0],
        [1, 1, 0],
        [1, -1, 0],
      ],
      [
        [1, 0, 2],
        [0, 1, 3],
        [0, 3, 2],
        [1, 2, 3],
        [0, 1, 4],
        [1, 0, 5],
        [0, 4, 5],
        [1, 5, 4],
      ],
    );
    const bodyOf = (h: number): number => Math.floor(h / 12);
    const opposite = oppositeHalfEdges(touching);
    expect(pairEdges(touching.triangles, 6).crowdedEnds).toEqual([4]);
    opposite.forEach((other, h) => {
      expect(opposite[other]).toBe(h);
      expect(bodyOf(other)).toBe(bodyOf(h));
    });
    expect(borderLoops(touching, opposite)).toEqual([]);
  });

  it("take no longer where one vertex meets 200,000 triangles", () => {
    const count = 200_000;
    const triangles = new Uint32Array(3 * count);
    for (let t = 0; t < count; t++) triangles.set([0, t + 1, t + 2], 3 * t);
    const { partner } = pairEdges(triangles, count + 2);
    expect(partner.reduce((borders, other) => borders + (other < 0 ? 1 : 0), 0)).toBe(count + 2);
  });
});

describe("border loops", () => {
  it("of a square are one, with its length and area", () => {
    const [loop, ...others] = borderLoops(SQUARE, oppositeHalfEdges(SQUARE));
    expect(others).toEqual([]);
    expect(loop!.length).toBe(4);
    expect(loop!.area).toBe(1);
    expect(Array.from(loop!.halfEdges)).toEqual([0, 3, 4, 2]);
  });

  it("of a closed surface are none", () => {
    expect(borderLoops(TETRAHEDRON, oppositeHalfEdges(TETRAHEDRON))).toEqual([]);
  });

  it("that touch at a vertex are kept apart", () => {
    //  0 - 1 - 2      two triangles on the tips of a bow tie: 0 3 1 and 1 4 2 share vertex 1 only
    //   \ / \ /
    //    3   4
    const tie = meshOf(
      [
        [0, 1],
        [2, 1],
        [4, 1],
        [1, 0],
        [3, 0],
      ],
      [
        [0, 3, 1],
        [1, 4, 2],
      ],
    );
    const loops = borderLoops(tie, oppositeHalfEdges(tie));
    expect(loops.map(({ halfEdges }) => Array.from(halfEdges))).toEqual([
      [0, 1, 2],
      [3, 4, 5],
    ]);
  });

  it("come with the longest first", () => {
    // A ring of eight triangles around a square opening.
    //  4 ------- 7
    //  | 3 --- 2 |
    //  | |     | |
    //  | 0 --- 1 |
    //  5 ------- 6
    const ring = meshOf(
      [
        [-1, -1],
        [1, -1],
        [1, 1],
        [-1, 1],
        [-2, 2],
        [-2, -2],
        [2, -2],
        [2, 2],
      ],
      [
        [5, 6, 0],
        [0, 6, 1],
        [6, 7, 1],
        [1, 7, 2],
        [7, 4, 2],
        [2, 4, 3],
        [4, 5, 3],
        [3, 5, 0],
      ],
    );
    const loops = borderLoops(ring, oppositeHalfEdges(ring));
    expect(loops.map((loop) => [loop.length, loop.area])).toEqual([
      [16, 16],
      [8, 4],
    ]);
  });
});

describe("connected components", () => {
  const TWO = meshOf(
    [
      [0, 0],
      [1, 0],
      [0, 1],
      [5, 5],
      [9, 5],
      [5, 9],
      [9, 9],
    ],
    [
      [0, 1, 2],
      [3, 4, 5],
      [4, 6, 5],
    ],
  );

  it("are numbered in order of their first triangle, with their areas", () => {
    const { ofTriangle, areas } = connectedComponents(TWO);
    expect(Array.from(ofTriangle)).toEqual([0, 1, 1]);
    expect(Array.from(areas)).toEqual([0.5, 16]);
  });

  it("below a tenth of the largest are set aside, and keep their numbers in the file", () => {
    const { main, fragments, mainVertices, components, mainComponents } = setFragmentsAside(TWO);
    expect(Array.from(main.fileTriangles)).toEqual([1, 2]);
    expect(Array.from(main.triangles)).toEqual([0, 1, 2, 1, 3, 2]);
    expect(Array.from(mainVertices!)).toEqual([3, 4, 5, 6]);
    expect(Array.from(fragments!.positions)).toEqual([0, 0, 0, 1, 0, 0, 0, 1, 0]);
    expect([components, mainComponents]).toEqual([2, 1]);
  });

  it("hang together where they share a vertex only", () => {
    const touching = { ...TWO, triangles: Uint32Array.from([0, 1, 2, 2, 4, 5, 4, 6, 5]) };
    expect(connectedComponents(touching).areas).toHaveLength(1);
  });
});

describe("orientation", () => {
  const flip = (mesh: TriangleMesh, which: (t: number) => boolean): TriangleMesh => {
    const triangles = mesh.triangles.slice();
    for (let t = 0; t < triangles.length / 3; t++) {
      if (which(t)) triangles.set([triangles[3 * t]!, triangles[3 * t + 2]!, triangles[3 * t + 1]!], 3 * t);
    }
    return { ...mesh, triangles };
  };

  it("of a sound surface stays", () => {
    expect(orient(TETRAHEDRON)).toMatchObject({
      windingInFile: "outward",
      turned: 0,
      turnedWhole: false,
      conflicts: 0,
    });
    expect(orient(TETRAHEDRON).mesh.triangles).toEqual(TETRAHEDRON.triangles);
  });

  it.each([0, 1, 2, 3])("is mended where triangle %i is turned", (t) => {
    const mended = orient(flip(TETRAHEDRON, (other) => other === t));
    expect(mended).toMatchObject({ windingInFile: "outward", turned: 1, turnedWhole: false });
    expect(mended.mesh.triangles).toEqual(TETRAHEDRON.triangles);
  });

  it("is turned over where the whole surface is inside out", () => {
    const mended = orient(flip(TETRAHEDRON, () => true));
    expect(mended).toMatchObject({ windingInFile: "inward", turned: 0, turnedWhole: true });
    expect(mended.mesh.triangles).toEqual(TETRAHEDRON.triangles);
  });

  it("of a plane is unclear and stays as it is", () => {
    expect(orient(SQUARE)).toMatchObject({ windingInFile: "unclear", turned: 0, turnedWhole: false });
  });

  it("of a band with one twist (Möbius) cannot be made to agree, and is not hung up on it", () => {
    const n = 20;
    const points = Array.from({ length: 2 * n }, (_, v) => {
      const turn = (2 * Math.PI * Math.floor(v / 2)) / n;
      const side = v % 2 === 0 ? 3 : -3;
      const r = 20 + side * Math.cos(turn / 2);
      return [r * Math.cos(turn), r * Math.sin(turn), side * Math.sin(turn / 2)];
    });
    const triangles = Array.from({ length: n }, (_, i) => {
      const [a, b] = [2 * i, 2 * i + 1];
      const [c, d] = i === n - 1 ? [1, 0] : [2 * i + 2, 2 * i + 3];
      return [
        [a, b, c],
        [b, d, c],
      ];
    }).flat();
    expect(orient(meshOf(points, triangles)).conflicts).toBe(1);
  });
});

describe("edge lengths", () => {
  it("count each edge once", () => {
    const { mean, median } = edgeLengths(SQUARE, oppositeHalfEdges(SQUARE));
    expect(mean).toBeCloseTo((4 + Math.SQRT2) / 5, 15);
    expect(median).toBe(1);
  });

  it("have the mean of the two middle ones as median where their number is even", () => {
    const two = meshOf(
      [
        [0, 0],
        [3, 0],
        [0, 4],
        [10, 0],
        [15, 0],
        [10, 12],
      ],
      [
        [0, 1, 2],
        [3, 4, 5],
      ],
    );
    // 3, 4, 5 and 5, 12, 13
    expect(edgeLengths(two, oppositeHalfEdges(two)).median).toBe(5);
    const one = meshOf(
      [
        [0, 0],
        [3, 0],
        [0, 4],
        [3, 7],
      ],
      [
        [0, 1, 2],
        [1, 3, 2],
      ],
    );
    // 3, 4, 5, and 7 and √18 around the second: five edges
    expect(edgeLengths(one, oppositeHalfEdges(one)).median).toBeCloseTo(Math.sqrt(18), 12);
  });
});

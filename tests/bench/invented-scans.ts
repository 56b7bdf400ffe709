/** A hilly sheet of about `triangles` triangles, 60 × 60 mm, with coordinates that are not round. */
export function hills(triangles: number) {
  const n = Math.round(Math.sqrt(triangles / 2));
  const positions = new Float64Array(3 * (n + 1) * (n + 1));
  const corners = new Uint32Array(6 * n * n);
  for (let i = 0, v = 0; i <= n; i++) {
    for (let j = 0; j <= n; j++, v += 3) {
      const x = (i / n - 0.5) * 60;
      const y = (j / n - 0.5) * 60;
      positions[v] = x;
      positions[v + 1] = y;
      positions[v + 2] = 8 * Math.cos(x / 5) * Math.cos(y / 7) - 0.01 * (x * x + y * y);
    }
  }
  for (let i = 0, t = 0; i < n; i++) {
    for (let j = 0; j < n; j++, t += 6) {
      const a = i * (n + 1) + j;
      corners.set([a, a + n + 1, a + 1, a + 1, a + n + 1, a + n + 2], t);
    }
  }
  return { positions, triangles: corners };
}

export function asciiStl({ positions: p, triangles }: ReturnType<typeof hills>): Uint8Array {
  const lines = ["solid invented"];
  const corner = (v: number): string =>
    `      vertex ${[p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!].map((value) => value.toExponential(6)).join(" ")}`;
  for (let t = 0; t < triangles.length; t += 3) {
    lines.push("  facet normal 0.000000e+00 0.000000e+00 1.000000e+00", "    outer loop");
    lines.push(
      corner(triangles[t]!),
      corner(triangles[t + 1]!),
      corner(triangles[t + 2]!),
      "    endloop",
      "  endfacet",
    );
  }
  lines.push("endsolid invented", "");
  return new TextEncoder().encode(lines.join("\n"));
}

import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, test } from "vitest";

const ROOT = resolve(import.meta.dirname, "../..");

const sourcesIn = (folder: string): { name: string; text: string }[] =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => ({ name: join(folder, name), text: readFileSync(join(ROOT, folder, name), "utf8") }));

/** The text without comments, so that they may speak of what is forbidden. */
const code = (text: string): string => text.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|[^:])\/\/.*$/gm, "$1");

const findings = (folder: string, pattern: RegExp): string[] =>
  sourcesIn(folder).flatMap(({ name, text }) =>
    [...code(text).matchAll(pattern)].map((match) => `${name}: ${match[0]}`),
  );

describe("the core computes the same digits everywhere", () => {
  test("of Math only what IEEE 754 fixes; angles, exp and log come from geometry/real.ts", () => {
    const allowed = "abs|min|max|floor|ceil|round|sign|trunc|sqrt|imul|fround|hypot|PI|SQRT2|SQRT1_2";
    expect(findings("src-core", new RegExp(`Math\\.(?!(?:${allowed})\\b)\\w+`, "g"))).toEqual([]);
    expect(findings("src-core", /\*\*/g)).toEqual([]);
  });

  test("no clock, no locale, no chance", () => {
    expect(findings("src-core", /\b(Date\.now|toLocale\w+|Intl\.|performance\.|Math\.random)/g)).toEqual([]);
  });
});

describe("the parts of the house stay apart", () => {
  test("the core imports neither Electron, React, three nor Node", () => {
    expect(findings("src-core", /from "(electron|react|react-dom|three|three-\w+|node:\w+|fs|path)"/g)).toEqual([]);
  });

  test("main and page never import each other", () => {
    expect(findings("src-main", /from "[^"]*src-renderer/g)).toEqual([]);
    expect(findings("src-renderer", /from "([^"]*src-main[^"]*|electron|node:\w+)"/g)).toEqual([]);
  });

  test("inside the core the flow is scan → mesh → geometry, readings above arch, the sheet above readings", () => {
    const above: Record<string, readonly string[]> = {
      geometry: ["scan", "mesh", "registration", "arch", "readings", "case", "sheet", "jobs", "bridge"],
      mesh: ["registration", "arch", "readings", "case", "sheet", "jobs", "bridge"],
      scan: ["registration", "arch", "readings", "case", "sheet", "jobs", "bridge"],
      registration: ["arch", "readings", "case", "sheet", "jobs", "bridge"],
      statistics: ["scan", "mesh", "registration", "arch", "readings", "case", "sheet", "jobs", "bridge"],
      arch: ["readings", "case", "sheet", "jobs", "bridge"],
      readings: ["sheet", "jobs", "bridge"],
      sheet: ["jobs", "bridge"],
    };
    for (const [room, forbidden] of Object.entries(above)) {
      expect(findings(`src-core/${room}`, new RegExp(`from "(\\.\\./)+(${forbidden.join("|")})/`, "g")), room).toEqual(
        [],
      );
    }
  });
});

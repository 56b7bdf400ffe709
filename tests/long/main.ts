/**
 * `npm run test:long`: the suites that take too long for `npm test`. Each is cut into units, each unit runs in a process
 * of its own and writes its outcome to out/long/; a run that was stopped goes on where it was.
 *   -- --shard=i/n    only every nth unit, beginning with the ith
 *   -- --only=NAME    only this suite
 *   -- --again        forgets what was done before
 */
import { fork } from "node:child_process";
import { appendFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { join, resolve } from "node:path";
import { parseArgs } from "node:util";
import type { LongSuite, UnitOutcome } from "./long-suite";
import { SUITES } from "./suites";

const OUT = resolve(import.meta.dirname, "../../out/long");
const { values } = parseArgs({
  options: { shard: { type: "string", default: "1/1" }, only: { type: "string" }, again: { type: "boolean" } },
});
const shard = /^([1-9]\d*)\/([1-9]\d*)$/.exec(values.shard);
const [index, shards] = [Number(shard?.[1]), Number(shard?.[2])];
if (!(index <= shards)) throw new Error(`--shard=${values.shard}: give it as i/n, with i from 1 to n`);
const suites = SUITES.filter((suite) => values.only === undefined || suite.name === values.only);
if (suites.length === 0)
  throw new Error(`--only=${values.only}: there is ${SUITES.map(({ name }) => name).join(", ")}`);

type Done = UnitOutcome & { readonly unit: number };

/** Outcomes of earlier runs; a line that was cut off is none. */
function doneBefore(file: string): Done[] {
  if (!existsSync(file)) return [];
  return readFileSync(file, "utf8")
    .split("\n")
    .flatMap((line) => {
      try {
        return [JSON.parse(line) as Done];
      } catch {
        return [];
      }
    });
}

function runUnit(suite: LongSuite, unit: number): Promise<UnitOutcome> {
  const child = fork(join(import.meta.dirname, "unit.ts"), [suite.name, String(unit)]);
  return new Promise((done) => {
    let outcome: UnitOutcome | null = null;
    let stuck = false;
    const patience = setTimeout(() => {
      stuck = true;
      child.kill("SIGKILL");
    }, suite.longest);
    child.on("message", (message) => {
      outcome = message as UnitOutcome;
    });
    child.on("exit", (code) => {
      clearTimeout(patience);
      const failure = stuck ? `it hung for ${suite.longest / 1000} s` : `it ended with ${code} and no outcome`;
      done(outcome ?? { passed: 0, failures: [`unit ${unit} of ${suite.name}: ${failure}`], line: failure });
    });
  });
}

/** The conclusion of a suite that has one, where all its units are done, by whatever shard. */
function concluded(suite: LongSuite): UnitOutcome | null {
  if (suite.conclude === undefined) return null;
  const files = readdirSync(OUT).filter((file) => file.startsWith(`${suite.name}-`));
  const done = files.flatMap((file) => doneBefore(join(OUT, file))).filter(({ figures }) => figures !== undefined);
  const figures = new Map(done.map((one) => [one.unit, one.figures]));
  if (figures.size === suite.units) return suite.conclude([...figures.values()]);
  const line = `${figures.size} of ${suite.units} units are done; the conclusion comes with the last of them`;
  return { passed: 0, failures: [], line };
}

mkdirSync(OUT, { recursive: true });
let passed = 0;
let failed = 0;
for (const suite of suites) {
  // A file of its own for each way of cutting, so that shards may run side by side.
  const file = join(OUT, `${suite.name}-${index}-of-${shards}.ndjson`);
  if (values.again) rmSync(file, { force: true });
  const before = new Map(doneBefore(file).map((done) => [done.unit, done]));
  for (let unit = index - 1; unit < suite.units; unit += shards) {
    const kept = before.get(unit);
    const outcome = kept ?? (await runUnit(suite, unit));
    if (kept === undefined) appendFileSync(file, `${JSON.stringify({ unit, ...outcome })}\n`);
    console.log(`${suite.name} ${unit + 1} of ${suite.units}${kept ? " (done before)" : ""}: ${outcome.line}`);
    for (const failure of outcome.failures) console.log(`  FAILED ${failure}`);
    passed += outcome.passed;
    failed += outcome.failures.length;
  }
  const conclusion = concluded(suite);
  if (conclusion === null) continue;
  console.log(`${suite.name}: ${conclusion.line}`);
  for (const failure of conclusion.failures) console.log(`  FAILED ${failure}`);
  passed += conclusion.passed;
  failed += conclusion.failures.length;
}
console.log(`\n${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;

/** Runs one unit of a long suite, `SUITE UNIT`, and sends its outcome to the process that asked for it. */
import { SUITES } from "./suites";

const [name, unit] = process.argv.slice(2);
const suite = SUITES.find((candidate) => candidate.name === name);
if (suite === undefined || process.send === undefined) throw new Error("run by tests/long/main.ts only");
process.send(await suite.run(Number(unit)), () => process.disconnect());

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { errorParts, sentence } from "#core/errors";
import { readArguments, USAGE } from "./arguments";
import { measureCommand } from "./measure-command";

/** The package's own folder: out/cli/ lies two steps below it. */
const PACKAGE = join(__dirname, "..", "..");
const version = (): string => JSON.parse(readFileSync(join(PACKAGE, "package.json"), "utf8")).version;

/** Runs `raphe` and returns its exit code. */
async function run(argv: readonly string[]): Promise<number> {
  const [command, ...rest] = argv;
  if (command === undefined || command === "--help" || command === "-h" || rest.includes("--help")) {
    process.stdout.write(USAGE);
    return command === undefined ? 2 : 0;
  }
  if (command === "--version") {
    process.stdout.write(`Raphe ${version()}\n`);
    return 0;
  }
  try {
    if (command !== "measure") throw new Error(`there is no command '${command}'; see raphe --help`);
    const now = new Date().toISOString().replace(/\.\d+Z$/, "Z");
    return await measureCommand(readArguments(rest, now), PACKAGE, version());
  } catch (thrown) {
    process.stderr.write(
      `raphe: ${command === "measure" ? sentence(errorParts(thrown)) : (thrown as Error).message}\n`,
    );
    return 2;
  }
}

void run(process.argv.slice(2)).then((code) => {
  process.exitCode = code;
});

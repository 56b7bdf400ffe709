// `npm run accuracy`: writes docs/accuracy.md from the code. A test fails while it is out of date.
import { writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { accuracy, accuracyPage } from "./page";

writeFileSync(resolve(import.meta.dirname, "../../docs/accuracy.md"), accuracyPage(accuracy()));

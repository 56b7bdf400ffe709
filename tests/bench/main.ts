/**
 * `npm run bench`: how long reading, searching, registering and comparing take on this PC, each as the median of several
 * runs, with the ratio to another library where one does the same work in the same run; and how long the page is held up
 * while a scan is opened in the app.
 *   -- --references   also against VTK and Open3D, where Debian's python3-vtk9 and python3-open3d are installed
 */

import type { BenchRow } from "./bench-row";
import { benchIntake } from "./intake";
import { benchPage } from "./page";
import { benchRegistration } from "./registration";

function line({ task, milliseconds, perSecond, against }: BenchRow): string {
  const rate = perSecond === undefined ? "" : `${Math.round(perSecond.count).toLocaleString("en")} ${perSecond.unit}/s`;
  const ratio =
    against === undefined
      ? ""
      : `${(milliseconds / against.milliseconds).toFixed(2)} of ${against.name} (${against.milliseconds.toFixed(1)} ms)`;
  return `${milliseconds.toFixed(1).padStart(9)} ms  ${rate.padStart(26)}  ${task}${ratio === "" ? "" : `: ${ratio}`}`;
}

for (const part of [benchIntake, benchRegistration, benchPage]) {
  for (const row of await part()) console.log(line(row));
}

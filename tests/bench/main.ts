/**
 * `npm run bench`: how long reading, searching, registering and comparing take on this PC, each as the median of several
 * runs, with the ratio to another library where one does the same work in the same run; and how long the page is held up
 * while a scan is opened in the app.
 *   -- --references   also against native programs, where they are installed (Debian's python3-vtk9 and python3-open3d;
 *                     g++ libembree-dev libnanoflann-dev libeigen3-dev), by processor time on one thread
 */

import type { BenchRow } from "./bench-row";
import { benchIntake } from "./intake";
import { benchMeasuring } from "./measuring";
import { benchNative } from "./native";
import { benchPage } from "./page";
import { withReferences } from "./references";
import { benchRegistration } from "./registration";

function line({ task, milliseconds, perSecond, against }: BenchRow): string {
  const rate = perSecond === undefined ? "" : `${Math.round(perSecond.count).toLocaleString("en")} ${perSecond.unit}/s`;
  const ratio =
    against === undefined
      ? ""
      : `${(milliseconds / against.milliseconds).toFixed(2)} of ${against.name} (${against.milliseconds.toFixed(1)} ms)`;
  return `${milliseconds.toFixed(1).padStart(9)} ms  ${rate.padStart(26)}  ${task}${ratio === "" ? "" : `: ${ratio}`}`;
}

const parts = [benchIntake, benchRegistration, benchMeasuring, ...(withReferences ? [benchNative] : []), benchPage];
for (const part of parts) {
  for (const row of await part()) console.log(line(row));
}

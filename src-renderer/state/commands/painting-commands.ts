import type { PaintedArea } from "#core/case/timepoint";
import { bitsFromMask, maskFromBits } from "#core/mesh/painted-triangles";
import { widened } from "#core/mesh/widen-painted";
import { MAX_PAINTED_TRIANGLES, readPainted } from "#core/scan/painted-file";
import { type Desk, report } from "../desk";
import { bitsOf } from "../painted-keeper";
import { heldFor, heldHandles, type Painting, timepointOf, type Workspace } from "../workspace";
import type { CaseCommands } from "./case-commands";

/** Commands about what is painted on a scan. */
export interface PaintingCommands {
  /** Begins to paint an area of a timepoint's scan: by default the appliance on the later, the reference on the earlier. */
  begin(area: Painting["area"], timepoint?: string): void;
  /** Takes a finished stroke: the whole mask, one byte per triangle of the scan's mesh. */
  take(mask: Uint8Array): void;
  /** Makes the brush wider (above 1) or narrower. */
  scaleBrush(factor: number): void;
  /** Makes what is painted wider, or narrower, by a distance over the surface, mm. */
  widen(by: number): void;
  /** Paints the region that would be proposed. */
  takeProposed(): void;
  /** Wipes all of it. */
  wipe(): void;
  stop(): void;
}

/** Radius of the brush, mm: at first, and its limits. */
const USUAL_RADIUS = 2;
const RADII = { least: 0.3, most: 8 } as const;

export function paintingCommands({ store, jobs }: Desk, cases: CaseCommands, makeRoom: () => void): PaintingCommands {
  const change = (painting: Painting | null) =>
    store.set((now) => ({ ...now, view: { ...now.view, painting, ...(painting === null ? {} : { placing: null }) } }));
  const now = (): Painting | null => store.get().view.painting;

  function take(mask: Uint8Array): void {
    const painting = now();
    const held = painting === null ? null : heldFor(store.get(), painting.timepoint);
    if (painting === null || held === null) return;
    makeRoom();
    const { area, timepoint } = painting;
    if (!mask.includes(1)) {
      cases.act({ do: "paint", timepoint, area, painted: null });
      return;
    }
    const triangles = held.report.triangles.inFile;
    const { sha256, bits } = readPainted(bitsFromMask(held.display, mask, triangles), triangles);
    store.set((workspace) => ({ ...workspace, painted: { ...workspace.painted, [sha256]: bits } }));
    cases.act({ do: "paint", timepoint, area, painted: { sha256, triangles } });
  }

  async function propose(painting: Painting): Promise<void> {
    const workspace = store.get();
    const document = workspace.history.now;
    const request = {
      document,
      handles: heldHandles(workspace),
      painted: bitsOf(document, workspace.painted),
      timepoint: painting.timepoint,
    };
    try {
      const { triangles } = await jobs.run("propose-reference", request);
      const still = now();
      if (still?.timepoint === painting.timepoint && still.area === "reference")
        change({ ...still, proposed: triangles });
    } catch {
      // Without landmarks there is nothing to propose: the region is painted by hand.
    }
  }

  return {
    begin: (area, timepoint) => {
      const { history } = store.get();
      const { from, to } = history.now.span;
      const name = timepoint ?? (area === "appliance" ? to : from);
      const held = heldFor(store.get(), name) ?? null;
      const other = name === to ? from : to;
      const on = held === null ? other : name;
      const scan = held ?? heldFor(store.get(), other);
      if (scan === null) return;
      if (scan.report.triangles.inFile > MAX_PAINTED_TRIANGLES) {
        return report(store, {
          code: "too-large",
          subject: scan.scan.fileName,
          problem: "the scan has more than 20 million triangles, which is more than can be painted on",
          remedy: "Export the scan with fewer triangles",
        });
      }
      const painting: Painting = { timepoint: on, area, radius: now()?.radius ?? USUAL_RADIUS, proposed: null };
      change(painting);
      if (area === "reference") void propose(painting);
    },
    take,
    scaleBrush: (factor) => {
      const painting = now();
      if (painting === null) return;
      const radius = Math.min(RADII.most, Math.max(RADII.least, painting.radius * factor));
      change({ ...painting, radius: Math.round(10 * radius) / 10 });
    },
    widen: (by) => {
      const workspace = store.get();
      const { painting } = workspace.view;
      const held = painting === null ? null : heldFor(workspace, painting.timepoint);
      if (painting === null || held === null) return;
      const mask = paintedMask(workspace, painting.timepoint, painting.area);
      if (mask !== null) take(widened(held.display, mask, by));
    },
    takeProposed: () => {
      const proposed = now()?.proposed;
      if (proposed != null) take(proposed);
    },
    wipe: () => {
      const painting = now();
      if (painting !== null)
        cases.act({ do: "paint", timepoint: painting.timepoint, area: painting.area, painted: null });
    },
    stop: () => change(null),
  };
}

/** What is painted on a timepoint's scan, one byte per triangle of its mesh; null where nothing is. */
export function paintedMask(workspace: Workspace, name: string, area: Painting["area"]): Uint8Array | null {
  const timepoint = timepointOf(workspace.history.now, name);
  const held = heldFor(workspace, name);
  const painted: PaintedArea | null =
    (area === "appliance" ? timepoint?.appliancePainted : timepoint?.referencePainted) ?? null;
  const bits = painted === null ? undefined : workspace.painted[painted.sha256];
  return held === null || bits === undefined ? null : maskFromBits(held.display, bits);
}

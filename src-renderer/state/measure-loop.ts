import { type CaseDocument, scansOf } from "#core/case/case-document";
import { errorParts } from "#core/errors";
import type { RigidTransform } from "#core/geometry/rigid-transform";
import { Latest } from "../worker/latest";
import { type Desk, report, showWork } from "./desk";
import { bitsOf } from "./painted-keeper";
import {
  type HeldScan,
  handlesOfSpan,
  heldFor,
  heldHandles,
  MAP_UNDER,
  type MapUnder,
  scanKey,
  type Workspace,
} from "./workspace";

/** Measuring waits this long after something that answers a gesture, ms. */
const ROOM_FOR_GESTURES = 500;

/** What the measurement depends on; the rest of the case (code, examiner) may change without measuring anew. */
interface Subject {
  readonly document: CaseDocument;
  readonly earlier: HeldScan | null;
  readonly later: HeldScan | null;
  readonly parts: readonly unknown[];
}

function subjectOf(workspace: Workspace): Subject | null {
  const document = workspace.history.now;
  const earlier = heldFor(workspace, document.span.from);
  const later = heldFor(workspace, document.span.to);
  if (earlier === null && later === null) return null;
  // A scan outside the span may lend it its landmarks, or its lower arch, as soon as it is open.
  const held = scansOf(document).map(({ scan }) => workspace.scans.get(scanKey(scan)));
  return { document, earlier, later, parts: [...partsOf(document), ...held] };
}

const same = (a: Subject, b: Subject): boolean =>
  a.earlier === b.earlier &&
  a.later === b.later &&
  a.parts.length === b.parts.length &&
  a.parts.every((part, i) => part === b.parts[i]);

/** The parts of a case that readings are made of: the case is immutable, so each is the same object while unchanged. */
const partsOf = ({ span, settings, invented, plan, identity, timepoints }: CaseDocument): unknown[] => [
  span,
  settings,
  invented,
  plan,
  identity.expander,
  identity.birthYear,
  identity.birthMonth,
  // Only the examiner's own repeats count.
  timepoints.some(({ repeats }) => repeats.length > 0) ? identity.examiner : "",
  ...timepoints.flatMap((timepoint): unknown[] => Object.values(timepoint)),
];

/** Keeps the readings and the distance map up with the case: the newest state wins, older runs are given up. */
export class MeasureLoop {
  readonly #desk: Desk;
  readonly #measuring = new Latest();
  readonly #mapping = new Latest();
  #subject: Subject | null = null;
  #running = false;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #mapped: Workspace["measured"] = null;
  #mappedUnder: MapUnder = "whole";

  constructor(desk: Desk) {
    this.#desk = desk;
    desk.store.subscribe(() => this.#look());
  }

  /** Makes room in the worker for what answers a gesture; measuring starts again when the hand rests. */
  defer(): void {
    if (!this.#running && this.#timer === undefined) return;
    this.#measuring.stop();
    this.#schedule(ROOM_FOR_GESTURES);
  }

  /** Measures anew, after it was stopped or went wrong. */
  again(): void {
    this.#measuring.stop();
    this.#schedule(0);
  }

  #look(): void {
    const workspace = this.#desk.store.get();
    const subject = subjectOf(workspace);
    const changed = subject === null ? this.#subject !== null : this.#subject === null || !same(subject, this.#subject);
    if (changed) {
      this.#subject = subject;
      this.#measuring.stop();
      if (subject !== null) this.#schedule(0);
      else if (workspace.measured !== null)
        this.#desk.store.set((now) => ({ ...now, measured: null, measureError: null }));
    }
    const { measured } = workspace;
    const { show, mapUnder } = workspace.view;
    if (show === "distance" && (measured !== this.#mapped || mapUnder !== this.#mappedUnder)) {
      this.#mapped = measured;
      this.#mappedUnder = mapUnder;
      void this.#map(measured, mapUnder);
    }
  }

  #schedule(delay: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      this.#timer = undefined;
      void this.#measure();
    }, delay);
  }

  async #measure(): Promise<void> {
    const subject = this.#subject;
    if (subject === null) return;
    const { store, jobs } = this.#desk;
    const signal = this.#measuring.next();
    const { document, earlier, later } = subject;
    const request = {
      document,
      handles: heldHandles(store.get()),
      painted: bitsOf(document, store.get().painted),
      version: store.get().start?.version ?? "",
    };
    this.#running = true;
    try {
      const answer = await showWork(store, "Measuring", (watch) => jobs.run("measure", request, watch), signal);
      if (signal.aborted) return;
      store.set((now) => ({ ...now, measured: { ...answer, document, earlier, later }, measureError: null }));
    } catch (thrown) {
      // Given up for a newer state is no error; stopped by the user is one to come back from.
      if (!signal.aborted) store.set((now) => ({ ...now, measured: null, measureError: errorParts(thrown) }));
    } finally {
      if (!signal.aborted) this.#running = false;
    }
  }

  async #map(measured: Workspace["measured"], asked: MapUnder): Promise<void> {
    const { store, jobs } = this.#desk;
    const { earlier, later } = measured ?? {};
    const registrations = measured?.readings.registrations ?? [];
    // Where the half that was chosen is not registered any more, the whole is shown.
    const chosen = registrations[MAP_UNDER.indexOf(asked)]?.state === "given" ? asked : "whole";
    const laid = registrations[MAP_UNDER.indexOf(chosen)];
    if (!measured || laid?.state !== "given" || !earlier || !later) return this.#mapping.stop();
    const signal = this.#mapping.next();
    const { document } = measured;
    const { rotation, translation, region } = laid.reading;
    const request = {
      document,
      handles: handlesOfSpan(measured),
      painted: bitsOf(document, store.get().painted),
      overlay: { rotation, translation } as unknown as RigidTransform,
      registration: region,
    };
    try {
      const run = () => showWork(store, "Distance map", (watch) => jobs.run("distance-map", request, watch), signal);
      const answer = await run();
      if (!signal.aborted) store.set((now) => ({ ...now, distances: { ...answer, of: measured, under: chosen } }));
    } catch (thrown) {
      report(store, errorParts(thrown));
    }
  }
}

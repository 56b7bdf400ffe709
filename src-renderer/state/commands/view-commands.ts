import type { Desk } from "../desk";
import type { Look, View } from "../workspace";
import type { CaseCommands } from "./case-commands";

/** Commands that change what is looked at. */
export interface ViewCommands {
  /** Opens a row of the sheet, or closes it where it is open; the stage turns to what it measures. */
  toggleRow(row: string): void;
  /** Opens a row in place of the one that is open. */
  openRow(row: string): void;
  lookFrom(look: Look): void;
  /** The user turned the stage by hand. */
  turnedByHand(): void;
  show(what: View["show"]): void;
  /** Chooses the registration under which the distance map is seen. */
  mapUnder(registration: View["mapUnder"]): void;
  /** First click chooses one end of the compared span, the second the other. */
  pickTimepoint(name: string): void;
}

export function viewCommands({ store }: Desk, cases: CaseCommands): ViewCommands {
  const change = (part: Partial<View>) => store.set((now) => ({ ...now, view: { ...now.view, ...part } }));
  const openRow = (row: string) =>
    change({ openRow: row, placing: null, painting: null, look: { from: "below" }, lookHeld: true });
  return {
    toggleRow: (row) => {
      if (store.get().view.openRow === row) change({ openRow: null });
      else openRow(row);
    },
    openRow,
    lookFrom: (from) => change({ look: { from }, lookHeld: true }),
    turnedByHand: () => {
      if (store.get().view.lookHeld) change({ lookHeld: false });
    },
    mapUnder: (mapUnder) => change({ mapUnder }),
    show: (what) => change({ show: what, placing: null, painting: null }),
    pickTimepoint: (name) => {
      const { history, view } = store.get();
      if (view.spanFrom === null) return change({ spanFrom: name });
      change({ spanFrom: null, painting: null });
      const order = history.now.timepoints.map((timepoint) => timepoint.name);
      const [from, to] = [view.spanFrom, name].sort((a, b) => order.indexOf(a) - order.indexOf(b));
      if (from !== undefined && to !== undefined) cases.act({ do: "choose-span", from, to });
    },
  };
}

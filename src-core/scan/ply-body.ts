import { grouped } from "../grouped";
import type { PlyHeader, PlyProperty, PlyScalar } from "./ply-header";
import { type PlyRole, type PlySurface, rolesOf } from "./ply-surface";
import { scanError } from "./scan-errors";

interface Step extends PlyProperty {
  readonly role: PlyRole;
}

/** One element of the body as it is walked through. */
export interface PlyPart {
  readonly name: string;
  readonly count: number;
  readonly steps: readonly Step[];
}

/** Walks through the body of a PLY value by value, as its header lays it out, and hands the surface what it needs. */
export class PlyBody {
  /** Items of the current element that are done. */
  item = 0;
  private readonly parts: readonly PlyPart[];
  private partNumber = 0;
  private step = 0;
  /** Entries of the current list that are still to come; −1 outside a list. */
  private listLeft = -1;

  constructor(
    private readonly name: string,
    header: PlyHeader,
    private readonly surface: PlySurface,
  ) {
    // Elements of the same name: the first one counts.
    const names = new Set<string>();
    this.parts = header.elements.map((element) => {
      const isFirst = !names.has(element.name);
      names.add(element.name);
      const roles = rolesOf(element);
      const steps = element.properties.map(
        (property, k) => ({ ...property, role: isFirst ? roles[k]! : "skip" }) as const,
      );
      return { name: element.name, count: element.count, steps };
    });
    this.settle();
  }

  /** The element that is read now; null once all are done. */
  get part(): PlyPart | null {
    return this.parts[this.partNumber] ?? null;
  }

  /** True between two items of an element. */
  get atItemStart(): boolean {
    return this.step === 0 && this.listLeft < 0;
  }

  /** The type of the next value; null once all are done. */
  get nextType(): PlyScalar | null {
    const step = this.part?.steps[this.step];
    if (step === undefined) return null;
    return this.listLeft < 0 ? (step.countType ?? step.type) : step.type;
  }

  /** Takes the next value. @throws RapheError `malformed` */
  value(value: number): void {
    const step = this.part!.steps[this.step]!;
    if (this.listLeft >= 0) {
      if (step.role === "polygon") this.surface.polygonCorner(this.item, value);
      else if (step.role === "strip") this.surface.stripCorner(this.item, value);
      this.listLeft--;
      if (this.listLeft === 0) this.endList(step);
    } else if (step.countType !== null) {
      if (!(value >= 0 && value <= 0xffff_ffff && Math.floor(value) === value)) {
        throw scanError("malformed", this.name, `a list with ${value} entries`, this.where());
      }
      this.surface.beginList();
      this.listLeft = value;
      if (value === 0) this.endList(step);
    } else {
      if (step.role !== "skip") this.surface.vertexValue(this.item, step.role, value);
      this.endStep();
    }
  }

  /** Says that `count` items were read in one go. */
  itemsDone(count: number): void {
    this.item += count;
    this.settle();
  }

  /** Where in the body the next value stands, for messages. */
  where(): string {
    const part = this.part;
    return part === null
      ? "after the last element"
      : `${part.name.slice(0, 40)} ${grouped(this.item + 1)} of ${grouped(part.count)}`;
  }

  /** @throws RapheError `truncated` where values are missing */
  checkDone(): void {
    if (this.part !== null)
      throw scanError("truncated", this.name, "the file ends before its last element", this.where());
  }

  private endList(step: Step): void {
    if (step.role === "polygon") this.surface.endPolygon();
    this.listLeft = -1;
    this.endStep();
  }

  private endStep(): void {
    this.step++;
    if (this.step < this.part!.steps.length) return;
    this.step = 0;
    this.itemsDone(1);
  }

  /** Goes on to the next element that has something to read. */
  private settle(): void {
    for (let part = this.part; part !== null; part = this.part) {
      if (this.item < part.count && part.steps.length > 0) return;
      this.partNumber++;
      this.item = 0;
    }
  }
}

import { type RefObject, useEffect, useState, useSyncExternalStore } from "react";

/** A place on the stage, pixels from its upper left corner. */
interface Spot {
  readonly x: number;
  readonly y: number;
}

/** Where the keyboard aims while a landmark is placed: arrow keys move it, it begins where the pointer was last. */
export class AimHolder {
  readonly #frame: RefObject<HTMLElement | null>;
  readonly #listeners = new Set<() => void>();
  #spot: Spot | null = null;
  #pointer: Spot | null = null;

  constructor(frame: RefObject<HTMLElement | null>) {
    this.#frame = frame;
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Where it stands; null while the pointer does the aiming. */
  readonly now = (): Spot | null => this.#spot;

  /** The pointer moved: it takes the aiming over. A pointer that leaves takes nothing along. */
  follow(pointer: Spot | null): void {
    if (pointer === null) return;
    this.#pointer = pointer;
    this.#set(null);
  }

  /** Moves it within the stage; at first from where the pointer was, or from the middle. @returns where it stands now */
  moveBy(x: number, y: number): Spot {
    const { clientWidth: width, clientHeight: height } = this.#frame.current ?? { clientWidth: 0, clientHeight: 0 };
    const from = this.#spot ?? this.#pointer ?? { x: width / 2, y: height / 2 };
    const spot = { x: Math.max(0, Math.min(width, from.x + x)), y: Math.max(0, Math.min(height, from.y + y)) };
    this.#set(spot);
    return spot;
  }

  /** Nothing is placed any more. */
  forget(): void {
    this.#set(null);
  }

  #set(spot: Spot | null): void {
    if (spot === this.#spot) return;
    this.#spot = spot;
    for (const listener of [...this.#listeners]) listener();
  }
}

/** The keyboard's aim on the stage. While landmarks are placed, the stage has the keyboard; then it goes back. */
export function useAim(frame: RefObject<HTMLElement | null>, placing: boolean): AimHolder {
  const [aim] = useState(() => new AimHolder(frame));
  useEffect(() => {
    if (!placing) return;
    const before = document.activeElement;
    frame.current?.focus();
    return () => {
      aim.forget();
      if (before instanceof HTMLElement && before.isConnected) before.focus();
    };
  }, [aim, frame, placing]);
  return aim;
}

/** The cross where the keyboard aims. */
export function Aim({ aim }: { aim: AimHolder }) {
  const spot = useSyncExternalStore(aim.subscribe, aim.now);
  if (spot === null) return null;
  return (
    <svg className="stage-flat aim" aria-hidden="true" data-x={spot.x} data-y={spot.y}>
      <path d="M-15 0H-4M4 0H15M0 -15V-4M0 4V15" transform={`translate(${spot.x} ${spot.y})`} />
    </svg>
  );
}

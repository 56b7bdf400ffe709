import type { Stage } from "./stage";

/** A press that moved less than this is a click, pixels. */
const CLICK = 4;

export interface GestureListener {
  /** A click that was no drag, pixels from the stage's upper left corner. */
  click(x: number, y: number): void;
  /** The pointer moves over the stage with no button down; null when it leaves. */
  hover(at: { x: number; y: number } | null): void;
  /** The stage was turned by hand. */
  turned(): void;
  /** True while the stage is painted on: then the left button paints. */
  paints(): boolean;
  /** A stroke begins, or goes on; `wipes` takes away what is painted. */
  stroke(at: { x: number; y: number }, wipes: boolean): void;
  strokeEnd(): void;
  /** An arrow key moves the aim, pixels; false while nothing is to be placed: then arrows turn the stage. */
  aimBy(x: number, y: number): boolean;
  /** Enter places what is asked for at the aim, or paints there; false where there is no aim. */
  placeAtAim(wipes: boolean): boolean;
}

/** How far an arrow key moves the aim, pixels; with shift, for the last bit. */
const AIM_STEP = 12;
const AIM_FINE_STEP = 2;

/**
 * Drag turns, drag with the right button or shift shifts, the wheel zooms, arrows and + − do it by key. While a landmark
 * is placed, the arrows move the aim and Enter places. While the stage is painted on, drag paints, with Alt or Shift it
 * wipes, the right button turns (with Shift it shifts), and Enter paints at the aim.
 */
export function listenToGestures(element: HTMLElement, stage: Stage, listener: GestureListener): () => void {
  let pressed: { x: number; y: number; dragged: boolean; shifts: boolean } | null = null;
  let painting = false;
  const place = (event: MouseEvent) => {
    const box = element.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  const down = (event: PointerEvent) => {
    if (event.button !== 0 && event.button !== 2) return;
    // Signs and plates laid over the stage take their own clicks.
    if (event.target instanceof Element && event.target.closest("button") !== null) return;
    element.setPointerCapture(event.pointerId);
    const paints = listener.paints();
    if (paints && event.button === 0) {
      painting = true;
      return listener.stroke(place(event), event.altKey || event.shiftKey);
    }
    const shifts = paints ? event.shiftKey : event.button === 2 || event.shiftKey;
    pressed = { ...place(event), dragged: false, shifts };
  };
  const move = (event: PointerEvent) => {
    const at = place(event);
    if (painting) {
      listener.hover(at);
      return listener.stroke(at, event.altKey || event.shiftKey);
    }
    if (pressed === null) return listener.hover(at);
    const x = at.x - pressed.x;
    const y = at.y - pressed.y;
    if (!pressed.dragged && Math.hypot(x, y) < CLICK) return;
    if (!pressed.dragged) {
      listener.hover(null);
      listener.turned();
    }
    if (pressed.shifts) stage.eye.shiftBy(x, y);
    else stage.eye.turnBy(x, y);
    pressed = { ...pressed, ...at, dragged: true };
    stage.draw(true);
  };
  const up = (event: PointerEvent) => {
    if (painting) {
      painting = false;
      return listener.strokeEnd();
    }
    if (pressed !== null && !pressed.dragged && !pressed.shifts) {
      const { x, y } = place(event);
      listener.click(x, y);
    }
    pressed = null;
  };
  const wheel = (event: WheelEvent) => {
    event.preventDefault();
    const { x, y } = place(event);
    stage.eye.zoomBy(1.0015 ** event.deltaY, x - element.clientWidth / 2, y - element.clientHeight / 2);
    listener.hover(null);
    listener.turned();
    stage.draw(true);
  };
  const key = (event: KeyboardEvent) => {
    if (event.target !== element || event.ctrlKey || event.metaKey || event.altKey) return;
    if (aims(event, listener)) return event.preventDefault();
    const done = byKey(event.key, event.shiftKey, stage);
    if (!done) return;
    event.preventDefault();
    listener.turned();
    stage.draw(true);
  };
  const leave = () => listener.hover(null);
  const noMenu = (event: Event) => event.preventDefault();
  element.addEventListener("pointerdown", down);
  element.addEventListener("pointermove", move);
  element.addEventListener("pointerup", up);
  element.addEventListener("pointercancel", up);
  element.addEventListener("pointerleave", leave);
  element.addEventListener("wheel", wheel, { passive: false });
  element.addEventListener("keydown", key);
  element.addEventListener("contextmenu", noMenu);
  return () => {
    element.removeEventListener("pointerdown", down);
    element.removeEventListener("pointermove", move);
    element.removeEventListener("pointerup", up);
    element.removeEventListener("pointercancel", up);
    element.removeEventListener("pointerleave", leave);
    element.removeEventListener("wheel", wheel);
    element.removeEventListener("keydown", key);
    element.removeEventListener("contextmenu", noMenu);
  };
}

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};
const TURN_STEP = 24;

function aims(event: KeyboardEvent, listener: GestureListener): boolean {
  if (event.key === "Enter") return listener.placeAtAim(event.shiftKey);
  const arrow = ARROWS[event.key];
  if (arrow === undefined) return false;
  const step = event.shiftKey ? AIM_FINE_STEP : AIM_STEP;
  return listener.aimBy(arrow[0] * step, arrow[1] * step);
}

function byKey(key: string, shifts: boolean, stage: Stage): boolean {
  const arrow = ARROWS[key];
  if (arrow !== undefined) {
    const [x, y] = [arrow[0] * TURN_STEP, arrow[1] * TURN_STEP];
    if (shifts) stage.eye.shiftBy(x, y);
    else stage.eye.turnBy(x, y);
    return true;
  }
  if (key !== "+" && key !== "-") return false;
  stage.eye.zoomBy(key === "+" ? 1 / 1.15 : 1.15, 0, 0);
  return true;
}

import { type RefObject, useEffect, useState } from "react";
import { Stage } from "./stage";

/**
 * The 3D view of a canvas, as large as the canvas' frame; null until it is there, a sentence where there can be none. It
 * is made once the frame has room, in a task of its own: the first WebGL context takes its time.
 */
export function useStage(canvas: RefObject<HTMLCanvasElement | null>): Stage | string | null {
  const [stage, setStage] = useState<Stage | string | null>(null);
  useEffect(() => {
    const element = canvas.current;
    const frame = element?.parentElement;
    if (element === null || frame == null) return;
    let made: Stage | null = null;
    let making: ReturnType<typeof setTimeout> | undefined;
    const takeSize = () => made?.resize(frame.clientWidth, frame.clientHeight);
    const make = () => {
      try {
        made = new Stage(element);
      } catch {
        setStage("The 3D view cannot be shown: this PC offers no WebGL 2. The sheet works without it.");
        return;
      }
      takeSize();
      setStage(made);
    };
    const observer = new ResizeObserver(() => {
      takeSize();
      if (frame.clientWidth > 0 && frame.clientHeight > 0) making ??= setTimeout(make);
    });
    observer.observe(frame);
    return () => {
      observer.disconnect();
      clearTimeout(making);
      made?.dispose();
      setStage(null);
    };
  }, [canvas]);
  return stage;
}

/** Draws again whenever the stage moves; for what is laid flat over it. */
export function useStageMovement(stage: Stage): void {
  const [, setVersion] = useState(0);
  useEffect(() => {
    setVersion(stage.version());
    return stage.subscribe(() => setVersion(stage.version()));
  }, [stage]);
}

import { useEffect, useRef, useState } from "react";
import type { Painting } from "../state/workspace";
import { BrushStroke } from "./brush-stroke";
import type { Scene } from "./scene";
import type { Stage } from "./stage";

interface Spot {
  readonly x: number;
  readonly y: number;
}

/** The brush on the stage: it paints on the copy for drawing at once, and hands a finished stroke on. */
export interface Brush {
  /** It is there, or away from the stage. */
  hover(at: Spot | null): void;
  stroke(at: Spot, wipes: boolean): void;
  end(): void;
}

interface Work {
  readonly stage: Stage | null;
  readonly scene: Scene;
  readonly painting: Painting | null;
  readonly take: (mask: Uint8Array) => void;
}

/** @returns the brush, the same as long as the stage is there, and where it is */
export function useBrush(work: Work): readonly [Brush, Spot | null] {
  const [at, setAt] = useState<Spot | null>(null);
  // A stroke goes on while new readings come in: what it works with is looked up at each touch.
  const latest = useRef(work);
  useEffect(() => {
    latest.current = work;
  });
  const [brush] = useState((): Brush => {
    let running: { readonly stroke: BrushStroke; touched: boolean } | null = null;
    return {
      hover: setAt,
      stroke: (spot, wipes) => {
        const { stage, scene, painting } = latest.current;
        if (stage === null || painting === null || scene.solid === null) return;
        const before = scene.areas?.[painting.area] ?? null;
        running ??= { stroke: new BrushStroke(stage, scene.solid.mesh, before, painting.radius), touched: false };
        if (!running.stroke.to(spot, wipes)) return;
        running.touched = true;
        const areas = scene.areas ?? { appliance: null, reference: null, proposed: null };
        stage.paint({ ...areas, [painting.area]: running.stroke.mask }, true);
      },
      end: () => {
        const done = running;
        running = null;
        if (done?.touched) latest.current.take(done.stroke.mask);
      },
    };
  });
  return [brush, work.painting === null ? null : at];
}

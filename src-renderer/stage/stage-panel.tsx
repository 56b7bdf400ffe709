import { useEffect, useMemo, useRef, useState } from "react";
import type { DisplayMesh } from "#core/jobs/job-list";
import { DARK, LIGHT } from "#core/sheet/style";
import { useCommands, useWorkspace } from "../state/app-context";
import { kindOf } from "../state/timepoint-kind";
import { scanKey } from "../state/workspace";
import { Aim, useAim } from "./aim";
import { DistanceScale } from "./distance-scale";
import { listenToGestures } from "./gestures";
import { LandmarkSigns } from "./landmark-signs";
import { Legend } from "./legend";
import { LookKeys } from "./look-keys";
import { MeasuredLines } from "./measured-lines";
import { PlacingPrompt } from "./placing-prompt";
import { sceneOf } from "./scene";
import { Sides } from "./sides";
import { SnapPreview } from "./snap-preview";
import { Snaps } from "./snaps";
import type { Picked } from "./stage";
import { useMedia } from "./use-media";
import { useStage } from "./use-stage";

/** The stage: it serves the row that is read, and takes the clicks that place landmarks. */
export function StagePanel() {
  const commands = useCommands();
  const workspace = useWorkspace((now) => now);
  const { view, history, scans, measured, distances } = workspace;
  const { placing, show, look, lookHeld } = view;
  const canvas = useRef<HTMLCanvasElement>(null);
  const frame = useRef<HTMLElement>(null);
  const made = useStage(canvas);
  const stage = typeof made === "string" ? null : made;
  const dark = useMedia("(prefers-color-scheme: dark)");
  const calm = useMedia("(prefers-reduced-motion: reduce)");
  const [picked, setPicked] = useState<Picked | null>(null);
  const [snaps] = useState(() => new Snaps());

  const { timepoints, span } = history.now;
  const files = timepoints.map(({ name, scan }) => (scan === null ? name : `${name} ${scanKey(scan)}`)).join("\n");
  // biome-ignore lint/correctness/useExhaustiveDependencies: the scene depends on these parts of the workspace alone
  const scene = useMemo(() => sceneOf(workspace), [files, span, scans, measured, distances, show, placing?.timepoint]);

  const outlineKind = kindOf(history.now, span.from);
  useEffect(() => {
    if (stage === null) return;
    const colour = (dark ? DARK : LIGHT)[outlineKind];
    const { solid, outline, distances: mapped } = scene;
    stage.show({ solid, outline: outline === null ? null : { ...outline, colour }, distances: mapped });
  }, [stage, scene, dark, outlineKind]);

  // The stage turns when it is asked to and when another scan comes in; a better stand of the same scan moves it only
  // where it was not turned by hand.
  const last = useRef<{ look: typeof look; shown: DisplayMesh } | null>(null);
  const shown = scene.solid?.mesh ?? null;
  const stand = scene.solid?.toStage ?? null;
  // biome-ignore lint/correctness/useExhaustiveDependencies: another stand asks for the same look again
  useEffect(() => {
    if (stage === null || shown === null) return;
    const before = last.current;
    last.current = { look, shown };
    if (before?.look === look && before.shown === shown && !lookHeld) return;
    stage.lookFrom(look.from, before !== null && !calm);
  }, [stage, look, lookHeld, shown, stand, calm]);

  const aim = useAim(frame, placing !== null);
  useEffect(() => {
    const element = frame.current;
    if (stage === null || element === null) return;
    const place = (x: number, y: number) => {
      const hit = placing === null ? null : stage.pick(x, y);
      if (hit === null) return;
      commands.landmarks.place(hit.at);
      setPicked(null);
    };
    return listenToGestures(element, stage, {
      click: place,
      hover: (at) => {
        aim.follow(at);
        setPicked(at === null || placing === null ? null : stage.pick(at.x, at.y));
      },
      turned: () => commands.view.turnedByHand(),
      aimBy: (x, y) => {
        if (placing === null) return false;
        const at = aim.moveBy(x, y);
        setPicked(stage.pick(at.x, at.y));
        return true;
      },
      placeAtAim: () => {
        const at = placing === null ? null : aim.now();
        if (at === null) return false;
        place(at.x, at.y);
        return true;
      },
    });
  }, [stage, placing, commands, aim]);

  return (
    <section
      ref={frame}
      className="stage panel"
      data-placing={placing !== null}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the stage turns by arrow keys
      tabIndex={0}
      aria-label={stageWords(scene.body, placing !== null)}
    >
      <canvas ref={canvas} className="stage-canvas" />
      {typeof made === "string" && <p className="stage-missing">{made}</p>}
      {stage !== null && scene.solid !== null && (
        <>
          {placing === null && scene.distances === null && <MeasuredLines stage={stage} scene={scene} />}
          {placing !== null && <LandmarkSigns stage={stage} scene={scene} snaps={snaps} />}
          {placing !== null && (
            <SnapPreview stage={stage} scene={scene} snaps={snaps} target={placing} picked={picked} />
          )}
          {placing !== null && <Aim aim={aim} />}
          {scene.framed && <Sides stage={stage} />}
        </>
      )}
      <Legend scene={scene} />
      <LookKeys />
      {scene.distances !== null && <DistanceScale limit={scene.distances.limit} />}
      {placing !== null && <PlacingPrompt target={placing} />}
    </section>
  );
}

const stageWords = (body: string | null, placing: boolean): string =>
  body === null
    ? "Stage: no scan is open"
    : `Stage: the ${body} scan${placing ? ", a click places the landmark; arrow keys move the aim, Enter places" : "; arrow keys turn it"}`;

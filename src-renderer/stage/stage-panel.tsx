import { useEffect, useMemo, useRef, useState } from "react";
import type { RigidTransform } from "#core/geometry/rigid-transform";
import type { DisplayMesh } from "#core/jobs/job-list";
import { DARK, LIGHT } from "#core/sheet/style";
import { useCommands, useWorkspace } from "../state/app-context";
import { areasOf } from "../state/painted-keeper";
import { kindOf } from "../state/timepoint-kind";
import { scanKey } from "../state/workspace";
import { Aim, useAim } from "./aim";
import { BrushRing } from "./brush-ring";
import { DistanceScale } from "./distance-scale";
import { listenToGestures } from "./gestures";
import { LandmarkSigns } from "./landmark-signs";
import { Legend } from "./legend";
import { LookKeys } from "./look-keys";
import { MeasuredLines } from "./measured-lines";
import { PaintingPrompt } from "./painting-prompt";
import { PlacingPrompt } from "./placing-prompt";
import { sceneOf } from "./scene";
import { Sides } from "./sides";
import { SnapPreview } from "./snap-preview";
import { Snaps } from "./snaps";
import type { Picked } from "./stage";
import { useBrush } from "./use-brush";
import { useMedia } from "./use-media";
import { useStage } from "./use-stage";

/** The stage: it serves the row that is read, and takes the clicks that place landmarks. */
export function StagePanel() {
  const commands = useCommands();
  const workspace = useWorkspace((now) => now);
  const { view, history, scans, measured, distances } = workspace;
  const { placing, painting, show, look, lookHeld } = view;
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
  const areas = areasOf(history.now)
    .map(({ sha256 }) => sha256)
    .join(" ");
  // biome-ignore lint/correctness/useExhaustiveDependencies: the scene depends on these parts of the workspace alone
  const scene = useMemo(
    () => sceneOf(workspace),
    [
      files,
      span,
      scans,
      measured,
      distances,
      show,
      placing?.timepoint,
      areas,
      workspace.painted,
      painting?.timepoint,
      painting?.area,
      painting?.proposed,
    ],
  );

  const outlineKind = kindOf(history.now, span.from);
  useEffect(() => {
    if (stage === null) return;
    const colour = (dark ? DARK : LIGHT)[outlineKind];
    const { solid, outline, distances: mapped } = scene;
    stage.show({ solid, outline: outline === null ? null : { ...outline, colour }, distances: mapped });
  }, [stage, scene, dark, outlineKind]);

  useEffect(() => stage?.paint(scene.areas), [stage, scene]);

  // The stage turns when it is asked to and when another scan comes in. A better stand of the same scan fits it anew,
  // but where it was turned by hand, or is being painted or marked, the picture stays as it is.
  const working = placing !== null || painting !== null;
  const last = useRef<{ look: typeof look; shown: DisplayMesh; stand: RigidTransform; working: boolean } | null>(null);
  const shown = scene.solid?.mesh ?? null;
  const stand = scene.solid?.toStage ?? null;
  useEffect(() => {
    if (stage === null || shown === null || stand === null) return;
    const before = last.current;
    last.current = { look, shown, stand, working };
    const stays = before?.look === look && before.shown === shown && (!lookHeld || (working && before.working));
    if (!stays) stage.lookFrom(look.from, before !== null && !calm);
    else if (before.stand !== stand) stage.goAlong(before.stand, stand);
  }, [stage, look, lookHeld, shown, stand, working, calm]);

  const aim = useAim(frame, working);
  const [brush, brushAt] = useBrush({ stage, scene, painting, take: commands.painting.take });
  const paints = painting !== null;
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
        brush.hover(at);
        setPicked(at === null || placing === null ? null : stage.pick(at.x, at.y));
      },
      paints: () => paints,
      stroke: brush.stroke,
      strokeEnd: brush.end,
      turned: () => commands.view.turnedByHand(),
      aimBy: (x, y) => {
        if (placing === null && !paints) return false;
        const at = aim.moveBy(x, y);
        if (!paints) setPicked(stage.pick(at.x, at.y));
        else brush.hover(at);
        return true;
      },
      placeAtAim: (wipes) => {
        const at = placing === null && !paints ? null : aim.now();
        if (at === null) return false;
        if (paints) {
          brush.stroke(at, wipes);
          brush.end();
          return true;
        }
        place(at.x, at.y);
        return true;
      },
    });
  }, [stage, placing, paints, commands, aim, brush]);

  return (
    <section
      ref={frame}
      className="stage panel"
      data-placing={placing !== null || paints}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the stage turns by arrow keys
      tabIndex={0}
      aria-label={stageWords(scene.body, placing !== null, paints)}
    >
      <canvas ref={canvas} className="stage-canvas" />
      {typeof made === "string" && <p className="stage-missing">{made}</p>}
      {stage !== null && scene.solid !== null && (
        <>
          {placing === null && painting === null && scene.distances === null && (
            <MeasuredLines stage={stage} scene={scene} />
          )}
          {placing !== null && <LandmarkSigns stage={stage} scene={scene} snaps={snaps} />}
          {placing !== null && (
            <SnapPreview stage={stage} scene={scene} snaps={snaps} target={placing} picked={picked} />
          )}
          {(placing !== null || painting !== null) && <Aim aim={aim} />}
          {painting !== null && <BrushRing stage={stage} at={brushAt} radius={painting.radius} />}
          {scene.framed && <Sides stage={stage} />}
        </>
      )}
      <Legend scene={scene} />
      <LookKeys />
      {scene.distances !== null && distances !== null && <DistanceScale distances={distances} />}
      {placing !== null && <PlacingPrompt target={placing} />}
      {painting !== null && (
        <PaintingPrompt painting={painting} painted={(scene.areas?.[painting.area] ?? null) !== null} />
      )}
    </section>
  );
}

function stageWords(body: string | null, placing: boolean, painting: boolean): string {
  if (body === null) return "Stage: no scan is open";
  if (placing) return `Stage: the ${body} scan, a click places the landmark; arrow keys move the aim, Enter places`;
  if (painting)
    return `Stage: the ${body} scan, a drag paints; arrow keys move the aim, Enter paints, with Shift it wipes`;
  return `Stage: the ${body} scan; arrow keys turn it`;
}

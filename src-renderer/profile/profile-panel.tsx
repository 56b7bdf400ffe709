import { useLayoutEffect, useMemo, useRef, useState } from "react";
import { openingProfileFigure } from "#core/sheet/figures/opening-profile";
import { verdictWords } from "#core/sheet/words";
import { FigureSvg } from "../figure/figure-svg";
import { useWorkspace } from "../state/app-context";

/** Size of the labels, pixels. */
const TYPE = 11;

/** The opening profile: change of width along the arch, as on the sheet, with the verdict in words at its head. */
export function ProfilePanel() {
  const readings = useWorkspace((workspace) => workspace.measured?.readings ?? null);
  const room = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<{ width: number; height: number } | null>(null);
  useLayoutEffect(() => {
    const element = room.current;
    if (element === null) return;
    const observer = new ResizeObserver(([entry]) => {
      if (entry === undefined) return;
      setSize({ width: Math.floor(entry.contentRect.width), height: Math.floor(entry.contentRect.height) });
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const figure = useMemo(
    () => (readings === null || size === null ? null : openingProfileFigure(readings, { ...size, type: TYPE })),
    [readings, size],
  );
  const cusp = readings?.patterns.find((pattern) => pattern.state === "given" && pattern.reading.level === "cusp-tip");
  return (
    <section className="profile panel" aria-labelledby="profile-heading">
      <div className="section-head">
        <h2 id="profile-heading">Opening profile</h2>
        <span className="quiet">
          {cusp?.state === "given" && readings !== null ? verdictWords(cusp.reading.verdict, readings.span.words) : ""}
        </span>
      </div>
      <div className="profile-room" ref={room}>
        {figure === null ? (
          <p className="quiet">Change of width along the arch: a dot for each pair that is measured on both scans.</p>
        ) : (
          <FigureSvg figure={figure} />
        )}
      </div>
    </section>
  );
}

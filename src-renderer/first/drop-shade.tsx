import { useEffect, useState } from "react";

/** Says, while files are held over the window, that it takes them; the drop itself goes to the PC's side. */
export function DropShade() {
  const [over, setOver] = useState(false);
  useEffect(() => {
    let depth = 0;
    const enter = (event: DragEvent) => {
      if (!event.dataTransfer?.types.includes("Files")) return;
      depth += 1;
      setOver(true);
    };
    const leave = () => {
      depth = Math.max(0, depth - 1);
      if (depth === 0) setOver(false);
    };
    const done = () => {
      depth = 0;
      setOver(false);
    };
    window.addEventListener("dragenter", enter);
    window.addEventListener("dragleave", leave);
    // The page sees no drop; a pointer that moves carries nothing any more.
    window.addEventListener("pointermove", done);
    const stop = window.raphe.onDropped(done);
    return () => {
      window.removeEventListener("dragenter", enter);
      window.removeEventListener("dragleave", leave);
      window.removeEventListener("pointermove", done);
      stop();
    };
  }, []);
  return over ? <div className="drop-shade">Drop scans or a landmark file anywhere</div> : null;
}

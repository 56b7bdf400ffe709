import { Troubles } from "../notices/troubles";
import { useWorkspace } from "../state/app-context";
import { Folds } from "./folds/folds";
import { IdentityLine } from "./identity-line";
import { IssuedLine } from "./issued-line";
import { LaterSections } from "./later-sections";
import { Questions } from "./questions";
import { VerdictHead } from "./verdict-head";
import { WidthsTable } from "./widths-table";

/** The sheet: the same page as the printed one, in the same order, and filled in here. */
export function SheetPage() {
  const invented = useWorkspace((workspace) => workspace.history.now.invented);
  return (
    <main className="sheet panel" aria-label="Measurement sheet">
      <div className="sheet-scroll">
        <p className="sheet-title">
          <span>Measurement of jaw expansion</span>
          {invented && <span className="quiet sheet-remark">invented sample, no patient</span>}
        </p>
        <IdentityLine />
        <Folds />
        <Troubles />
        <IssuedLine />
        <Questions />
        <VerdictHead />
        <WidthsTable />
        <LaterSections />
      </div>
    </main>
  );
}

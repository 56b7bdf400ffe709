import { useWorkspace } from "../state/app-context";

/** Where the sheet went. */
export function IssuedLine() {
  const issued = useWorkspace((workspace) => workspace.issued);
  return (
    <div role="status">
      {issued !== null && (
        <p className="issued-line">
          Sheet issued: folder <strong>{issued.folder}</strong> in <strong>{issued.parent}</strong>
        </p>
      )}
    </div>
  );
}

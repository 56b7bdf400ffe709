import { useWorkspace } from "../state/app-context";

/** Always in sight on the runtime that is for tests only. */
export function TestRuntimeLine() {
  const shown = useWorkspace((workspace) => workspace.start?.testRuntime ?? false);
  return shown ? <span className="test-runtime">test runtime: invented data only</span> : null;
}

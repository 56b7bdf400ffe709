import { Component, type ReactNode } from "react";

/** Stands in for the page where drawing it failed: says so, and that nothing is lost. */
export class BrokenPage extends Component<{ children: ReactNode }, { problem: string | null }> {
  override state = { problem: null as string | null };

  static getDerivedStateFromError(error: unknown) {
    return { problem: error instanceof Error ? error.message : String(error) };
  }

  override render() {
    if (this.state.problem === null) return this.props.children;
    return (
      <main className="broken-page panel" role="alert">
        <h1 className="verdict-sentence">The page could not be drawn.</h1>
        <p className="quiet">
          {this.state.problem}. The case is kept on this PC; open the page again to go on where you stopped.
        </p>
        <button type="button" className="main-button" onClick={() => window.location.reload()}>
          Open the page again
        </button>
      </main>
    );
  }
}

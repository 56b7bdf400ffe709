import type { PaintedArea } from "../case/timepoint";
import type { MenuCommand } from "./channels";
import type {
  DraftRequest,
  Exported,
  ExportRequest,
  LoadedDraft,
  MarksFile,
  OpenedSample,
  PaintedRequest,
  StartInfo,
} from "./contract";
import type { Answer, FileOffer } from "./shapes";

/**
 * What the page finds as `window.raphe`: everything it can ask of the PC. No path ever comes through it.
 * No call rejects: what goes wrong is an answer with `ok: false` and the parts of a typed error.
 */
export interface RapheApi {
  startInfo(): Promise<Answer<StartInfo>>;
  /** Asks the user for scans; both lists are empty where the dialog was closed without a choice. */
  chooseScans(): Promise<Answer<FileOffer>>;
  openSample(id: string): Promise<Answer<OpenedSample>>;
  /** Asks the user for a landmark file; null where the dialog was closed without a choice. */
  chooseMarks(): Promise<Answer<MarksFile | null>>;
  /**
   * Asks the user for a folder and writes the files into a new folder inside it, all of them or none.
   * Nothing is ever overwritten. Null where the dialog was closed without a choice.
   */
  exportSheet(sheet: ExportRequest): Promise<Answer<Exported | null>>;
  /** Keeps the case document; resolves once it is safe on the disk. */
  saveDraft(draft: DraftRequest): Promise<Answer<undefined>>;
  /** The draft of the last run, null where there is none. */
  loadDraft(): Promise<Answer<LoadedDraft | null>>;
  /** Keeps the bits of a painted area; resolves once they are safe on the disk. */
  savePainted(area: PaintedRequest): Promise<Answer<undefined>>;
  /** The bits of a painted area that the case names. */
  loadPainted(area: PaintedArea): Promise<Answer<Uint8Array>>;
  /** SHA-256 of a chosen file's bytes, 64 hexadecimal digits. */
  fileDigest(token: string): Promise<Answer<string>>;
  /** Answers `onClosing` once everything that waited to be saved has been asked to be. */
  handedOver(): Promise<Answer<undefined>>;
  /** Files were dropped on the window. (The `drop` event itself never reaches the page.) Returns how to stop listening. */
  onDropped(listener: (offer: FileOffer) => void): () => void;
  /** Files were opened from outside while the window was there: a second start, or the system's file manager. */
  onInvited(listener: (offer: FileOffer) => void): () => void;
  /**
   * An item of the application menu was chosen. The menu only shows the keys of its items (except on macOS, where it
   * also acts on those that the page leaves alone): the page itself listens to the keyboard.
   */
  onCommand(listener: (command: MenuCommand) => void): () => void;
  /** The window is to close; it waits for `handedOver`. */
  onClosing(listener: () => void): () => void;
}

declare global {
  interface Window {
    readonly raphe: RapheApi;
  }
}

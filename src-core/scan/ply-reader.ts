import type { JobControl } from "../job-control";
import { PlyAsciiBody } from "./ply-ascii";
import { PlyBinaryBody } from "./ply-binary";
import { checkCounts, PlyHeaderFeed } from "./ply-header";
import type { ScanContent, ScanReader } from "./scan-content";

/** Reads a PLY 1.0: the header, then its body as the header says. */
export class PlyReader implements ScanReader {
  private readonly head: PlyHeaderFeed;
  private body: PlyAsciiBody | PlyBinaryBody | null = null;

  constructor(
    private readonly name: string,
    private readonly size: number,
    private readonly job: JobControl,
  ) {
    this.head = new PlyHeaderFeed(name);
  }

  push(bytes: Uint8Array): void {
    let rest = bytes;
    if (this.body === null) {
      rest = bytes.subarray(this.head.push(bytes));
      if (this.head.complete) this.body = this.bodyReader();
    }
    this.body?.push(rest);
  }

  finish(): ScanContent {
    return (this.body ?? this.bodyReader()).finish();
  }

  private bodyReader(): PlyAsciiBody | PlyBinaryBody {
    const header = this.head.header();
    checkCounts(this.name, header, this.size - this.head.bytes);
    const Body = header.format === "ply-ascii" ? PlyAsciiBody : PlyBinaryBody;
    return new Body(this.name, header, this.job);
  }
}

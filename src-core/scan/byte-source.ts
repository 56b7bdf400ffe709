/** A file as it can be read: a name, a size and its bytes in order, in pieces whose borders may fall anywhere. */
export interface ByteSource {
  /** The file's name as the user knows it; used in messages only. */
  readonly name: string;
  /** Size in bytes, known before reading. */
  readonly size: number;
  /** The bytes from the first to the last. A piece may be reused by the source once the next one is asked for. */
  chunks(): AsyncIterable<Uint8Array>;
}

/** Bytes in memory as a source, given out in pieces of `chunkSize` bytes. */
export function bytesSource(name: string, bytes: Uint8Array, chunkSize = 65_536): ByteSource {
  return {
    name,
    size: bytes.length,
    async *chunks() {
      for (let start = 0; start < bytes.length; start += chunkSize) {
        yield bytes.subarray(start, Math.min(bytes.length, start + chunkSize));
      }
    },
  };
}

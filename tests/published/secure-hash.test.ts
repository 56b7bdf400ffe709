import { describe, expect, it } from "vitest";
import { Sha256 } from "#core/scan/sha256";

const hex = (pieces: readonly Uint8Array[]): string => {
  const hash = new Sha256();
  for (const piece of pieces) hash.update(piece);
  return hash.hex();
};
const text = (content: string): Uint8Array => new TextEncoder().encode(content);

/**
 * NIST, Cryptographic Standards and Guidelines, Examples with Intermediate Values, SHA-256 (FIPS 180-4): the one-block
 * and two-block messages; and the million letters of FIPS 180-2, appendix B.3.
 */
describe("SHA-256 of FIPS 180-4", () => {
  it("of the one-block message", () => {
    expect(hex([text("abc")])).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  });

  it("of the two-block message, however it is cut", () => {
    const message = text("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq");
    for (let cut = 0; cut <= message.length; cut++) {
      expect(hex([message.subarray(0, cut), message.subarray(cut)])).toBe(
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
      );
    }
  });

  it("of a million letters a, in pieces of any length", () => {
    const pieces: Uint8Array[] = [];
    for (let left = 1_000_000, length = 1; left > 0; left -= length, length = Math.min(left, (length * 7 + 3) % 5000)) {
      pieces.push(new Uint8Array(length).fill(0x61));
    }
    expect(pieces.reduce((sum, piece) => sum + piece.length, 0)).toBe(1_000_000);
    expect(hex(pieces)).toBe("cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
  });

  it("of nothing", () => {
    expect(hex([])).toBe("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  });
});

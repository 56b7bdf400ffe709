import { describe, expect, it } from "vitest";
import { RapheError } from "#core/errors";
import { UNWATCHED } from "#core/job-control";
import { bytesSource } from "#core/scan/byte-source";
import { readScan } from "#core/scan/read-scan";
import { joined, read, text } from "./scan-files";

/** Bytes that say nothing, the same at every run. */
const noise = (size: number): Uint8Array =>
  Uint8Array.from({ length: size }, (_, i) => Math.imul(i + 1, 0x9e3779b1) >>> 13);

describe("a file that is no scan", () => {
  it.each([
    ["a zip archive", joined(text("PK\u0003\u0004"), noise(500))],
    ["a gzip archive", joined(Uint8Array.of(0x1f, 0x8b, 8), noise(500))],
    ["a PDF document", joined(text("%PDF-1.7\n"), noise(500))],
    ["a JPEG picture", joined(Uint8Array.of(0xff, 0xd8, 0xff, 0xe0), noise(500))],
    ["a PNG picture", joined(Uint8Array.of(0x89), text("PNG\r\n"), noise(500))],
    ["a DICOM file", joined(new Uint8Array(128), text("DICM"), noise(500))],
    ["a glTF scene", joined(text("glTF"), noise(500))],
    ["JSON text", text('{"asset": {}}')],
    ["an XML or HTML document", text('<?xml version="1.0"?><a/>')],
    ["an OFF surface", text("OFF\n3 1 0\n")],
    ["text, not a surface", text("Dear colleague,\nthank you for the solid work.\n")],
    ["text in UTF-16", Uint8Array.of(0xff, 0xfe, 0x73, 0, 0x6f, 0)],
    ["data of an unknown kind", noise(5000)],
    ["data of an unknown kind", noise(50)],
  ])("is named as %s", async (what, bytes) => {
    await expect(read(bytes)).rejects.toMatchObject({ code: "unknown-format", problem: expect.stringContaining(what) });
  });

  it("is named in the message, with what is wrong and what to do", async () => {
    const source = bytesSource("letter.stl", text("Dear colleague"));
    const error = await readScan(source, {}, UNWATCHED).catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(RapheError);
    expect((error as RapheError).message).toBe(
      "letter.stl: this is text, not a surface. Choose a surface scan as STL, PLY or OBJ",
    );
  });

  it("is refused when it is empty", async () => {
    await expect(read(new Uint8Array(0))).rejects.toMatchObject({ code: "empty-file" });
  });

  it("is refused by its size before a byte is read", async () => {
    const source = {
      name: "large.stl",
      size: 4 * 1024 ** 3 + 1,
      chunks: () => {
        throw new Error("must not be read");
      },
    };
    await expect(readScan(source, {}, UNWATCHED)).rejects.toMatchObject({ code: "too-large" });
  });

  it("is refused when it gives fewer or more bytes than it has", async () => {
    const bytes = text("ply\nformat ascii 1.0\n");
    const whole = bytesSource("changed.ply", bytes);
    await expect(readScan({ ...whole, size: 30 }, {}, UNWATCHED)).rejects.toMatchObject({ code: "truncated" });
    await expect(readScan({ ...whole, size: 10 }, {}, UNWATCHED)).rejects.toMatchObject({ code: "malformed" });
  });
});

import { errorPartsSchema } from "#core/bridge/index";
import { RapheError } from "#core/errors";
import type { ByteSource } from "#core/scan/byte-source";

/** A chosen file, streamed from its address as it is read; its typed error where it cannot be. */
export function streamedFile(url: string, name: string, size: number): ByteSource {
  return { name, size, chunks: () => chunksOf(url, name) };
}

async function* chunksOf(url: string, name: string): AsyncGenerator<Uint8Array> {
  const response = await fetch(url);
  if (!response.ok || response.body === null) throw await refusal(response, name);
  const reader = response.body.getReader();
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      yield value;
    }
  } catch {
    throw new RapheError({
      code: "not-readable",
      subject: name,
      problem: "the file ended or went away while it was read",
      remedy: "Check whether its drive is connected and nothing writes to it, then open it again",
    });
  } finally {
    await reader.cancel().catch(() => {});
  }
}

async function refusal(response: Response, name: string): Promise<RapheError> {
  const parts = errorPartsSchema.safeParse(await response.json().catch(() => null));
  return new RapheError(
    parts.success
      ? parts.data
      : { code: "not-readable", subject: name, problem: "the file could not be read", remedy: "Choose it again" },
  );
}

import sansUrl from "@expo-google-fonts/inter/400Regular/Inter_400Regular.ttf?url";
import sansStrongUrl from "@expo-google-fonts/inter/600SemiBold/Inter_600SemiBold.ttf?url";
import serifUrl from "@expo-google-fonts/source-serif-4/400Regular/SourceSerif4_400Regular.ttf?url";
import serifStrongUrl from "@expo-google-fonts/source-serif-4/600SemiBold/SourceSerif4_600SemiBold.ttf?url";
import type { PdfFonts } from "#core/sheet/pdf";

const load = async (url: string): Promise<Uint8Array> => new Uint8Array(await (await fetch(url)).arrayBuffer());

/** The fonts of the printed sheet, which are those of the screen. */
export async function loadSheetFonts(): Promise<PdfFonts> {
  const [sans, sansStrong, serif, serifStrong] = await Promise.all([
    load(sansUrl),
    load(sansStrongUrl),
    load(serifUrl),
    load(serifStrongUrl),
  ]);
  return { sans, sansStrong, serif, serifStrong };
}

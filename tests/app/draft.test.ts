import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "@playwright/test";
import { expect, launchRaphe, ROOT, test } from "./raphe";

test("what was entered survives a kill, and its scans are found again", async () => {
  const folder = await mkdtemp(join(tmpdir(), "raphe-draft-"));
  const scan = join(folder, "before.stl");
  const away = join(folder, "after.stl");
  await writeFile(scan, "12345");
  await writeFile(away, "678");

  const first = await launchRaphe();
  await first.app.evaluate(
    ({ dialog }, filePaths) => {
      dialog.showOpenDialog = async () => ({ canceled: false, filePaths });
    },
    [scan, away],
  );
  const saved = await first.page.evaluate(async () => {
    const chosen = await window.raphe.chooseScans();
    if (!chosen.ok) throw new Error(chosen.error.problem);
    const [before, after] = chosen.value.tickets;
    return window.raphe.saveDraft({
      caseId: "case-1",
      text: '{"pseudonym":"P-17"}',
      scans: [
        { key: "before", token: before!.token },
        { key: "after", token: after!.token },
      ],
      painted: [],
    });
  });
  expect(saved).toEqual({ ok: true, value: undefined });
  await first.kill();
  await rm(away);

  const second = await launchRaphe({ profile: first.profile });
  const found = await second.page.evaluate(() => window.raphe.loadDraft());
  expect(found).toMatchObject({
    ok: true,
    value: {
      caseId: "case-1",
      text: '{"pseudonym":"P-17"}',
      scans: [{ key: "before", ticket: { name: "before.stl", size: 5 } }],
      lost: [{ key: "after", error: { code: "file-missing", subject: "after.stl" } }],
      olderState: false,
    },
  });
  expect(await second.close()).toBe(0);
  await rm(folder, { recursive: true, force: true });
  await rm(first.profile, { recursive: true, force: true });
});

test("a kill in the middle of saving leaves the last saved state or a later one, whole", async () => {
  const raphe = await launchRaphe();
  // Large enough that a save takes a while, and so many that the kill falls into one.
  const answered: Promise<number> = raphe.page.evaluate(async () => {
    const filler = "x".repeat(500_000);
    const saves = Array.from({ length: 400 }, (_, step) =>
      window.raphe
        .saveDraft({ caseId: "case-1", text: JSON.stringify({ step, filler }), scans: [], painted: [] })
        .then(() => Object.assign(window, { lastSaved: step })),
    );
    await saves[20];
    return Reflect.get(window, "lastSaved");
  });
  const lastAnswered = await answered;
  await raphe.kill();

  const again = await launchRaphe({ profile: raphe.profile });
  const found = await again.page.evaluate(async () => {
    const answer = await window.raphe.loadDraft();
    if (!answer.ok || answer.value === null) return null;
    const { step, filler } = JSON.parse(answer.value.text);
    return { step, filler: filler.length, olderState: answer.value.olderState };
  });
  expect(found).toEqual({ step: expect.any(Number), filler: 500_000, olderState: false });
  expect(found!.step).toBeGreaterThanOrEqual(lastAnswered);
  expect(found!.step, "the kill came before the last save").toBeLessThan(399);
  expect(await again.close()).toBe(0);
  await rm(raphe.profile, { recursive: true, force: true });
});

test("what was entered last is saved before the window closes, however busy the page is", async () => {
  const raphe = await launchRaphe({ files: [join(ROOT, "sample-meshes/parallel/before.stl")] });
  const code = (page: Page) => page.getByRole("textbox", { name: "case, a code and never a name" });
  await raphe.page.getByText("case, expander and plan").click();
  await code(raphe.page).fill("K-0412");
  // Entered, and from then on the page answers nothing for longer than a browser waits for one that is to close.
  await raphe.page.evaluate(() => {
    (document.activeElement as HTMLElement).blur();
    setTimeout(() => {
      const end = performance.now() + 4_000;
      while (performance.now() < end);
    }, 0);
  });
  expect(await raphe.close()).toBe(0);
  const again = await launchRaphe({ profile: raphe.profile });
  await again.page.getByText("case, expander and plan").click();
  await expect(code(again.page)).toHaveValue("K-0412");
  expect(await again.close()).toBe(0);
  await rm(raphe.profile, { recursive: true, force: true });
});

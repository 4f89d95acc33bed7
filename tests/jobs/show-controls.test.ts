import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { showRound } from "../../src/jobs/show.js";

test("a desk without a controls pass is told so, and how one begins", async () => {
  const desk = mkdtempSync(join(tmpdir(), "deskround-show-"));
  try {
    await expect(showRound({ desk, words: [], from: "controls" })).rejects.toMatchObject({
      code: "round-file",
      message: `No controls pass is stored in ${desk}.`,
      hint: expect.stringContaining("deskround signal --profile controls"),
    });
  } finally {
    rmSync(desk, { recursive: true });
  }
});

import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { checkMorning } from "../../src/jobs/morning.js";

const folder = mkdtempSync(join(tmpdir(), "desk-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function morningOf(more: string) {
  writeFileSync(
    join(folder, "desk.yaml"),
    `name: D\nmains: 50\nstrips: 1-4\ninputs:\n  tape: { nominal: 4 }\n${more}\n`,
  );
  return checkMorning({ desk: folder, sampleRate: 48_000, take: "as-judged" }, () => {});
}

describe("a morning that is to be played", () => {
  it("is refused where nothing is wired", async () => {
    await expect(morningOf("outputs: 4")).rejects.toThrow(/No output of desk.yaml is wired/);
  });

  it("is refused where fewer channels are recorded than come back", async () => {
    const audio = "audio: { play: alsa, record: alsa, channels: 2 }";
    await expect(morningOf(`outputs: [1-4/tape]\nchannels: 1-4\n${audio}`)).rejects.toThrow(
      /come back on channels up to 4, and audio.channels of desk.yaml records 2/,
    );
  });

  it("is refused where the desk file does not say how to play", async () => {
    await expect(morningOf("outputs: [1-4/tape]")).rejects.toThrow(
      /does not say how this computer/,
    );
  });
});

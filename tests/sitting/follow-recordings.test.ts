import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { recordingKinds } from "../../src/desk/recording-kinds.js";
import { createFollower } from "../../src/sitting/follow/follow-recordings.js";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "deskround-follow-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

const fixtures = fileURLToPath(new URL("../../fixtures/", import.meta.url));
const follow = () => createFollower({ target: folder, leftAlone: [] });

describe("a folder in which recordings appear", () => {
  const endings = recordingKinds.flatMap(({ name, endings }) =>
    name === "WAV" ? [...endings] : [],
  );
  it.each(endings)("is followed where their names end in .%s", (ending) => {
    copyFileSync(join(fixtures, "wav/int16-mono-44100.wav"), join(folder, `take.${ending}`));
    const { recordings, events } = follow().poll(0);
    expect(events).toEqual([{ kind: "began", file: join(folder, `take.${ending}`) }]);
    expect(recordings[0].info?.frames).toBe(128);
  });

  it("is told of FLAC, which cannot be followed while it is written", () => {
    const file = join(folder, "take.flac");
    copyFileSync(join(fixtures, "flac/ffmpeg-int16-mono-44100.flac"), file);
    const { recordings, events } = follow().poll(0);
    expect(events).toEqual([
      { kind: "began", file },
      {
        kind: "unusable",
        file,
        error: expect.objectContaining({
          code: "recording-unsupported",
          message: `${file}: FLAC cannot be followed while it is written.`,
        }),
      },
    ]);
    expect(recordings[0].info).toBeUndefined();
  });

  it("takes the samples of AIFF that its header promises", () => {
    copyFileSync(join(fixtures, "aiff/sox-int16-mono-44100.aiff"), join(folder, "take.aif"));
    expect(follow().poll(0).recordings[0].info?.frames).toBe(128);
  });

  it("passes over what is called otherwise", () => {
    writeFileSync(join(folder, "notes.txt"), "7 hums");
    expect(follow().poll(0)).toEqual({ recordings: [], events: [] });
  });
});

import { appendFileSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { listen } from "../../src/jobs/listen.js";
import { makeSignal } from "../../src/jobs/signal.js";
import type { SittingEvent } from "../../src/sitting/sitting-events.js";
import type { SittingCommand } from "../../src/sitting/types.js";
import { writeSoundPrograms } from "../audio/sound-programs.js";
import { slow } from "../helpers/slow.js";
import { newDesk } from "../jobs/recordings.js";

// A sitting that plays by itself, through programs of their own that are ten times faster than real
// time. Expected: a wire of gain 0.5, and what the programs do wrong.

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

describe("a sitting that plays on its own", () => {
  it(
    "asks for muted monitors first, outlives a device in use, and answers each path",
    slow,
    async () => {
      const programs = mkdtempSync(join(tmpdir(), "sound-"));
      const desk = newDesk(2);
      folders.push(programs, desk);
      const audio = writeSoundPrograms(programs, 10, { busy: true });
      appendFileSync(join(desk, "desk.yaml"), `audio: ${JSON.stringify(audio)}\n`);
      for (const profile of ["quick", "standard"] as const) {
        const signal = { desk, profile, sampleRate: 48_000, format: "int24" } as const;
        await makeSignal({ ...signal, write: "new", files: "all" });
      }
      const events: SittingEvent[] = [];
      const commands: SittingCommand[] = [{ do: "play" }];
      const tell = (event: SittingEvent) => {
        events.push(event);
        if (event.kind === "ask-muted") commands.push({ do: "muted" });
        if (event.kind === "refused") {
          writeSoundPrograms(programs, 10);
          commands.push({ do: "play" });
        }
        if (event.kind === "answer")
          commands.push({ do: event.answer.path === "2/mic" ? "end" : "play" });
      };
      const { round } = await listen(
        {
          desk,
          sound: "play",
          profile: "quick",
          date: "2031-03-14",
          calibration: "use",
          sitting: "new",
          already: "leave-alone",
          end: "by-command",
        },
        {
          tell,
          takeCommands: () => commands.splice(0),
          nowS: () => performance.now() / 1000,
          wait: (ms) => new Promise((resolve) => setTimeout(resolve, ms / 4)),
        },
        () => {},
      );
      const kinds = events.map(({ kind }) => kind);
      expect(kinds.indexOf("ask-muted")).toBeLessThan(kinds.indexOf("sound"));
      const [refused] = events.flatMap((event) => (event.kind === "refused" ? event.error : []));
      expect(refused.message).toContain("device or resource busy");
      const [chain] = events.flatMap((event) => (event.kind === "chain" ? event.chain : []));
      expect(chain.gainDb).toBeCloseTo(20 * Math.log10(0.5), 1);
      const answers = events.flatMap((event) => (event.kind === "answer" ? event.answer : []));
      expect(answers.map(({ path, standing }) => [path, standing])).toEqual([
        ["1/mic", "unjudged"],
        ["2/mic", "alike"],
      ]);
      expect(round?.captures.map(({ file }) => file)).toEqual([
        join(desk, "recordings", "2031-03-14", "1-mic.wav"),
        join(desk, "recordings", "2031-03-14", "2-mic.wav"),
      ]);
      expect(round?.signal.profile).toBe("quick");
    },
  );
});

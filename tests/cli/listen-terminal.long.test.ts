import { spawnSync } from "node:child_process";
import { rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { answer, joined, newDesk, pause } from "../jobs/recordings.js";
import { startRecorder } from "../sitting/recorder.js";
import { launcher } from "./run.js";

// A sitting at a real terminal of 80 columns and 24 rows, as tmux gives one; a recorder appends ten
// times faster than real time. Expected values: the recordings' own construction.

const isThere = spawnSync("tmux", ["-V"]).status === 0;
const rate = 48_000;

describe.runIf(isThere || process.env.CI_SOUND === "required")("a sitting at a terminal", () => {
  const desk = newDesk(4);
  const server = `sitting-${process.pid}`;
  const tmux = (...args: readonly string[]) =>
    spawnSync("tmux", ["-L", server, ...args], { encoding: "utf8", cwd: desk }).stdout;
  const screen = () => tmux("capture-pane", "-p", "-t", "desk").trimEnd().split("\n");
  afterAll(() => {
    tmux("kill-server");
    rmSync(desk, { recursive: true, force: true });
  });

  /** Writes on while it waits. */
  async function until(holds: () => boolean, meanwhile = () => {}) {
    for (let k = 0; k < 600; k++) {
      if (holds()) return;
      meanwhile();
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    expect(screen().join("\n")).toBe("what was waited for");
  }

  it("shows the next path, what is heard, an answer for each return, and the keys", async () => {
    const parts = [1, 2, 3, 4].map((seed) =>
      joined(pause(1.1, rate), answer(rate, { gain: seed === 3 ? 0.06 : 0.25, seed, noise: 1e-5 })),
    );
    const command = `${process.execPath} ${launcher} listen evening.wav --date 2021-03-14; sleep 99`;
    tmux("new-session", "-d", "-s", "desk", "-x", "80", "-y", "24", command);
    const has = (text: RegExp) => () => screen().some((line) => text.test(line));
    await until(has(/^Waiting for the recorder/));
    expect(screen().at(-1)).toMatch(/^a again {2}s skip/);
    const file = join(desk, "evening.wav");
    const recorder = startRecorder(file, joined(...parts, pause(1, rate)), rate);
    const write = () => {
      recorder.write(1);
    };
    // As far as the first sweep, and slowly on through it, until it has been shown: on a machine
    // that has other things to do, a sweep that is written in a moment may be over when it is drawn.
    recorder.write(1.1 + 1.8 + 0.6);
    await until(has(/^0:\d\d {2}#+\.+ {2}sweep, peak −\d+ dBFS$/), () => {
      recorder.write(0.005);
    });
    await until(has(/^1\/mic: /), write);
    await until(has(/^3\/mic: gain 12 dB below its siblings/), write);
    await until(has(/^4\/mic: like its 3 siblings so far$/), write);
    tmux("send-keys", "-t", "desk", "n");
    tmux("send-keys", "-t", "desk", "-l", "fader is stiff");
    await until(() => screen().at(-1) === "note: fader is stiff");
    tmux("send-keys", "-t", "desk", "Enter");
    await until(has(/^Noted: 4\/mic\.$/));
    // The panel stands once, and the last line is the keys.
    expect(screen().filter((line) => /^a again/.test(line))).toHaveLength(1);
    for (const line of screen()) expect(line.length).toBeLessThanOrEqual(80);
    recorder.close();
    tmux("send-keys", "-t", "desk", "e");
    // The round's report may be longer than the screen.
    const isStored = () =>
      /^Stored round 2021-03-14-01\.$/m.test(tmux("capture-pane", "-p", "-S", "-", "-t", "desk"));
    await until(isStored);
    expect(has(/^a again/)()).toBe(false);
  });
});

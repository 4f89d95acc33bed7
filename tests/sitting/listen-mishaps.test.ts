import {
  copyFileSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it, vi } from "vitest";
import { analyze } from "../../src/jobs/analyze.js";
import { listen } from "../../src/jobs/listen.js";
import { renderSittingEvent } from "../../src/report/sitting/format-sitting-event.js";
import { buildPassSignal } from "../../src/signal/pass-signal.js";
import { encodePassWav } from "../../src/signal/pass-wav.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeSignalWav } from "../../src/signal/signal-wav.js";
import type { SittingEvent } from "../../src/sitting/sitting-events.js";
import { addNoise, addReturn } from "../helpers/captures.js";
import { makeSamples } from "../helpers/samples.js";
import { slow } from "../helpers/slow.js";
import { answer, joined, newDesk, pause, quickS, writeCapture } from "../jobs/recordings.js";
import { ask, evening, rate, strip } from "./evening.js";
import { createWorld, startRecorder } from "./recorder.js";

// What goes wrong at a desk while somebody listens. Expected: the recordings' own construction.

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function freshDesk(strips: number): string {
  const folder = newDesk(strips);
  folders.push(folder);
  return folder;
}

const words = (event: SittingEvent | undefined) =>
  event === undefined
    ? ""
    : renderSittingEvent(event, { colour: "none", width: 100 }).replace(/\s+/g, " ");

describe("a recorder that fails", () => {
  it("is reported once when it stops without closing its file; a new file goes on", async () => {
    const desk = freshDesk(2);
    const killed = startRecorder(join(desk, "eve.wav"), evening([strip(1), strip(2)]), rate);
    let next: ReturnType<typeof startRecorder> | undefined;
    const seen = createWorld(() => {
      // Killed in the midst of the second return.
      if (seen.of("answer").length === 0) killed.write(0.5);
      if (seen.of("stalled").length === 0) return;
      next ??= startRecorder(join(desk, "eve2.wav"), evening([strip(2)]), rate);
      if (!next.write(1)) next.close();
    });
    const { round } = await listen(ask(desk, join(desk, "eve.wav")), seen.world, () => {});
    expect(seen.of("stalled")).toHaveLength(1);
    expect(words(seen.of("stalled")[0])).toContain("Is the recorder still running");
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("asks again for what a file that was cut short takes with it", async () => {
    const desk = freshDesk(2);
    const file = join(desk, "eve.wav");
    let recorder = startRecorder(file, evening([strip(1)]), rate);
    let step = 0;
    const seen = createWorld(() => {
      if (recorder.write(1)) return;
      if (step === 0 && seen.of("answer").length === 1) {
        recorder.close();
        truncateSync(file, 1000);
        step = 1;
      } else if (step === 1 && seen.of("lost").length === 1) {
        recorder = startRecorder(file, evening([strip(1), strip(2)]), rate);
        step = 2;
      } else if (step === 2) {
        recorder.close();
        step = 3;
      }
    });
    const { round } = await listen(ask(desk, file), seen.world, () => {});
    expect(seen.of("lost")[0].paths).toEqual(["1/mic"]);
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual([
      "1/mic",
      "1/mic",
      "2/mic",
    ]);
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("reports a folder that vanishes, and goes on when it is back", async () => {
    const desk = freshDesk(2);
    const takes = join(desk, "takes");
    mkdirSync(takes);
    let step = 0;
    const seen = createWorld((turn) => {
      if (turn === 2) writeCapture(join(takes, "1 mic.wav"), [evening([strip(1)])], rate);
      if (step === 0 && seen.of("answer").length === 1) {
        renameSync(takes, `${takes}-away`);
        step = 1;
      } else if (step === 1 && seen.of("recording").length > 1) {
        renameSync(`${takes}-away`, takes);
        writeCapture(join(takes, "2 mic.wav"), [evening([strip(2)])], rate);
        step = 2;
      }
    });
    const { round } = await listen(ask(desk, takes), seen.world, () => {});
    const gone = seen.of("recording").filter(({ event: { kind } }) => kind === "folder-gone");
    expect(gone).toHaveLength(1);
    expect(words(gone[0])).toContain("Is the disk still connected?");
    expect(seen.of("lost")).toEqual([]);
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("answers no return twice where a file is renamed, and searches nothing again", async () => {
    const desk = freshDesk(3);
    const first = join(desk, "eve.wav");
    const recorder = startRecorder(first, evening([strip(1), strip(2), strip(3)]), rate);
    let isRenamed = false;
    const seen = createWorld(() => {
      if (!isRenamed && seen.of("answer").length === 2) {
        renameSync(first, join(desk, "evening.wav"));
        isRenamed = true;
      }
      if (!recorder.write(1)) recorder.close();
    });
    const { round } = await listen(ask(desk, first), seen.world, () => {});
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual([
      "1/mic",
      "2/mic",
      "3/mic",
    ]);
    expect(round?.captures.map(({ file }) => file)).toEqual([join(desk, "evening.wav")]);
  });
});

describe("a clock that was set back", () => {
  afterAll(() => {
    vi.useRealTimers();
  });

  it("costs nothing: the round has the day on which the sitting began", async () => {
    const desk = freshDesk(2);
    const file = join(desk, "eve.wav");
    const recorder = startRecorder(file, evening([strip(1), strip(2)]), rate);
    vi.useFakeTimers({ toFake: ["Date"], now: new Date("2031-03-14T12:00:00Z") });
    const seen = createWorld(() => {
      if (seen.of("answer").length === 1) vi.setSystemTime(new Date("2001-01-01T00:00:00Z"));
      if (!recorder.write(1)) recorder.close();
    });
    const { date: _, ...request } = ask(desk, file);
    const { round } = await listen(request, seen.world, () => {});
    vi.useRealTimers();
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual(["1/mic", "2/mic"]);
    expect(round?.id).toBe("2031-03-14-01");
  });
});

describe("a signal that is not a return", () => {
  it.each([
    [
      "silence",
      pause(3, rate, 1e-6),
      /silence, nothing above −\d+ dBFS\. If nothing comes back from 1\/mic, press 0\./,
    ],
    ["something else", sine(3), /sound up to −6 dBFS, but not the signal's markers/],
  ])("says in one line what was heard: %s", async (_, samples, expected) => {
    const desk = freshDesk(1);
    const takes = join(desk, "takes");
    mkdirSync(takes);
    const seen = createWorld((turn, say) => {
      if (turn === 1) writeCapture(join(takes, "1 mic.wav"), [samples], rate);
      if (seen.of("nothing-came").length === 1) say({ do: "leave" });
    });
    await listen(ask(desk, takes), seen.world, () => {});
    expect(words(seen.of("nothing-came")[0])).toMatch(expected);
  });

  it("says once that something plays that is not the signal", async () => {
    const desk = freshDesk(1);
    const file = join(desk, "eve.wav");
    const recorder = startRecorder(file, joined(pause(1, rate), sine(20)), rate);
    const seen = createWorld((_, say) => {
      if (!recorder.write(1)) say({ do: "leave" });
    });
    await listen(ask(desk, file), seen.world, () => {});
    expect(seen.of("stray")).toHaveLength(1);
    expect(words(seen.of("stray")[0])).toContain("that is not the test signal");
  });

  it("does not count a return of another signal, and the sitting stays whole", async () => {
    const desk = freshDesk(2);
    const file = join(desk, "eve.wav");
    const wide = answer(rate, { gain: 0.25, seed: 9, band: "wide" });
    const recorder = startRecorder(file, evening([strip(1), wide, strip(2)]), rate);
    const seen = createWorld(() => {
      if (!recorder.write(1)) recorder.close();
    });
    const { round } = await listen(ask(desk, file), seen.world, () => {});
    expect(seen.of("unplaced")).toMatchObject([{ why: "other-signal" }]);
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual(["1/mic", "2/mic"]);
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("passes over a copy of a recording, also one in the making, and the round is whole", async () => {
    const desk = freshDesk(3);
    const takes = join(desk, "takes");
    mkdirSync(takes);
    const copy = join(takes, "3 mic.wav");
    const seen = createWorld((turn) => {
      if (turn === 1) writeCapture(join(takes, "1 mic.wav"), [evening([strip(1)])], rate);
      if (turn === 20) writeCapture(join(takes, "2 mic.wav"), [evening([strip(2)])], rate);
      if (turn === 40) {
        const bytes = readFileSync(join(takes, "2 mic.wav"));
        writeFileSync(copy, bytes.subarray(0, bytes.length / 2));
      }
      if (turn === 42) copyFileSync(join(takes, "2 mic.wav"), copy);
      if (turn === 60) writeCapture(join(takes, "3 mic b.wav"), [evening([strip(3)])], rate);
    });
    const { round } = await listen(ask(desk, takes), seen.world, () => {});
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual([
      "1/mic",
      "2/mic",
      "3/mic",
    ]);
    expect(seen.of("passed-over").map(({ passedOver }) => passedOver)).toEqual([
      { file: copy, why: "copy", of: join(takes, "2 mic.wav"), isWhole: true },
    ]);
    expect(words(seen.of("passed-over")[0])).toMatch(
      /3 mic\.wav is a copy of .*2 mic\.wav, the same to the last sample: ignored\./,
    );
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured", "measured"]);
    expect(round?.captures).toHaveLength(3);
  });

  it("hears the copy where the original is taken away", async () => {
    const desk = freshDesk(2);
    const takes = join(desk, "takes");
    mkdirSync(takes);
    const original = join(takes, "1 mic.wav");
    const seen = createWorld((turn) => {
      if (turn === 1) writeCapture(original, [evening([strip(1)])], rate);
      if (turn === 20) copyFileSync(original, join(takes, "1 mic copy.wav"));
      if (turn === 40) rmSync(original);
      if (turn === 60) writeCapture(join(takes, "2 mic.wav"), [evening([strip(2)])], rate);
    });
    const { round } = await listen(ask(desk, takes), seen.world, () => {});
    expect(seen.of("passed-over")).toHaveLength(1);
    expect(seen.of("lost")).toHaveLength(1);
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual([
      "1/mic",
      "1/mic",
      "2/mic",
    ]);
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("passes over the signal itself, and a pass's, and goes on with the recording", async () => {
    const desk = freshDesk(2);
    const takes = join(desk, "takes");
    mkdirSync(takes);
    let recorder: ReturnType<typeof startRecorder> | undefined;
    const signal = encodeSignalWav(buildSignalTable("quick", "base"), rate, "int24");
    const pass = buildPassSignal("quick", "base", [true, true], "turns");
    const seen = createWorld((turn) => {
      if (turn === 6) writeFileSync(join(takes, "signal.wav"), signal.subarray(0, 9000));
      if (turn === 8) writeFileSync(join(takes, "signal.wav"), signal);
      if (turn === 10) {
        writeFileSync(
          join(takes, "pass.wav"),
          Buffer.concat([...encodePassWav(pass, rate, "int24")]),
        );
      }
      recorder ??= startRecorder(join(takes, "eve.wav"), evening([strip(1), strip(2)]), rate);
      if (!recorder.write(1)) recorder.close();
    });
    const { round } = await listen(ask(desk, takes), seen.world, () => {});
    expect(seen.of("passed-over").map(({ passedOver }) => passedOver)).toEqual([
      { file: join(takes, "signal.wav"), why: "signal" },
      { file: join(takes, "pass.wav"), why: "signal" },
    ]);
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual(["1/mic", "2/mic"]);
    expect(seen.of("outputs-pass")).toEqual([]);
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("tells once, of a file with a pass of several outputs, that it is analyzed later", async () => {
    const desk = freshDesk(2);
    const file = join(desk, "eve.wav");
    const pass = buildPassSignal("quick", "base", [true, true], "turns");
    const channels = Math.ceil((pass.lengthS + 2) * rate);
    const mixed = new Float64Array(channels);
    for (const turn of pass.outputs) {
      if (turn) addReturn(mixed, turn.table, rate, (turn.startS + 1) * rate, 0, 0.25);
    }
    addNoise(mixed, 1e-5, 3);
    const recorder = startRecorder(file, mixed, rate);
    const seen = createWorld((_, say) => {
      if (!recorder.write(1)) say({ do: "leave" });
    });
    await listen(ask(desk, file), seen.world, () => {});
    expect(seen.of("outputs-pass")).toHaveLength(1);
    expect(seen.of("answer")).toEqual([]);
    expect(words(seen.of("outputs-pass")[0])).toContain("analyze all passes together");
  });

  it("reports a recording at another rate", async () => {
    const desk = freshDesk(2);
    const takes = join(desk, "takes");
    mkdirSync(takes);
    const seen = createWorld((turn, say) => {
      if (turn === 1) writeCapture(join(takes, "1 mic.wav"), [evening([strip(1)])], rate);
      if (turn === 30) {
        const other = joined(pause(1, 48_000), answer(48_000, { gain: 0.25 }), pause(1, 48_000));
        writeCapture(join(takes, "2 mic.wav"), [other], 48_000);
      }
      if (seen.of("answer").length === 2) say({ do: "leave" });
    });
    await listen(ask(desk, takes), seen.world, () => {});
    expect(seen.of("other-rate")).toHaveLength(1);
    expect(words(seen.of("other-rate")[0])).toMatch(/at 48 kHz, those before at 44\.1 kHz/);
  });
});

describe("a recording that does not appear", () => {
  it.each([
    ["evning.wav", "evening.wav", "evening.wav"],
    ["take", "take.wav", "take.wav"],
    ["take 2.wav", "take 1.wav", undefined],
    ["monday.wav", "evening.wav", undefined],
  ])("%s, beside %s: near is %s", async (asked, there, near) => {
    const desk = freshDesk(1);
    writeCapture(join(desk, there), [pause(1, rate, 1e-6)], rate);
    const seen = createWorld((turn, say) => {
      if (turn === 3) expect(seen.of("waiting")).toEqual([]);
      if (turn === 20) say({ do: "leave" });
    });
    await listen(ask(desk, join(desk, asked)), seen.world, () => {});
    expect(seen.of("waiting")).toHaveLength(1);
    expect(seen.of("waiting")[0].near).toBe(near);
    expect(words(seen.of("waiting")[0])).toContain(`${asked}, which does not exist yet.`);
  });
});

describe("a short morning", () => {
  it("compares the standard signal with a last round of the quick one", slow, async () => {
    const desk = freshDesk(5);
    const before = join(desk, "before.wav");
    writeCapture(before, [evening([1, 2, 3, 4, 5].map((k) => strip(k)))], rate);
    const request = { desk, captures: [before], keep: "store", date: "2031-03-01" } as const;
    await analyze({ ...request, silent: [] }, () => {});
    const table = buildSignalTable("standard", "base");
    const standard = (gain: number, seed: number) => {
      const out = new Float64Array(Math.ceil(table.lengthS * rate));
      addReturn(out, table, rate, 0, 0, gain);
      addNoise(out, 1e-5, seed);
      return out;
    };
    const file = join(desk, "morning.wav");
    const morning = evening([standard(0.25, 11), standard(0.25 * 10 ** (-9 / 20), 12)]);
    const recorder = startRecorder(file, morning, rate);
    const seen = createWorld(() => {
      if (!recorder.write(2)) recorder.close();
    });
    const asked = ask(desk, file, { only: ["1/mic", "2/mic"] });
    const { since } = await listen(asked, seen.world, () => {});
    const answers = seen.of("answer").map(({ answer: one }) => one);
    expect(answers.map(({ path, against, standing }) => [path, against, standing])).toEqual([
      ["1/mic", "last-round", "alike"],
      ["2/mic", "last-round", "setting"],
    ]);
    // Not 6 or 12 dB, which a leg of a balanced input costs.
    expect(since?.day).toBe("good");
    const changed = since?.comparison.paths.find(({ path }) => path === "2/mic");
    const level = changed?.readings.find(({ reading }) => reading === "level");
    expect(level?.own).toBeCloseTo(-9, 0);
  });
});

describe("paths that are passed over", () => {
  /** Each strip its own bass: what tells them apart from year to year. */
  const own = (k: number, seed: number) =>
    highPassed(answer(rate, { gain: 0.25, seed, noise: 1e-5 }), 8 * 1.7 ** k);

  it("is seen at once by the last round, and one key moves all that came after", slow, async () => {
    const desk = freshDesk(5);
    const before = join(desk, "before.wav");
    writeCapture(before, [evening([1, 2, 3, 4, 5].map((k) => own(k, k)))], rate);
    await analyze(
      { desk, captures: [before], keep: "store", date: "2031-03-01", silent: [] },
      () => {},
    );
    const file = join(desk, "eve.wav");
    // Strip 2 is skipped, then played.
    const recorder = startRecorder(file, evening([1, 3, 4, 2, 5].map((k) => own(k, 50 + k))), rate);
    let hasSaid = false;
    const seen = createWorld((_, say) => {
      if (!hasSaid && seen.of("shifted").length === 1) {
        hasSaid = true;
        say({ do: "accept" });
      }
      if (!recorder.write(1)) recorder.close();
    });
    const { round } = await listen(ask(desk, file), seen.world, () => {});
    const [second] = seen.of("answer").filter(({ answer: { path } }) => path === "2/mic");
    expect(second.answer.fits).toBe("3/mic");
    expect(seen.of("shifted")[0].moves).toEqual([
      { path: "2/mic", fits: "3/mic" },
      { path: "3/mic", fits: "4/mic" },
    ]);
    expect(words(seen.of("shifted")[0])).toContain("Was 2/mic skipped?");
    const starts = round?.paths.map(({ take }) =>
      Math.round((take?.startSample ?? 0) / rate / quickS),
    );
    // In the order 1, 3, 4, 2, 5 they lie behind one another.
    expect(starts?.map((at) => [...starts].sort((a, b) => a - b).indexOf(at))).toEqual([
      0, 3, 1, 2, 4,
    ]);
  });
});

function sine(seconds: number): Float64Array {
  return makeSamples(seconds * rate, (n) => 0.5 * Math.sin((2 * Math.PI * 330 * n) / rate));
}

/** A first-order high-pass. */
function highPassed(samples: Float64Array, hz: number): Float64Array {
  const pole = Math.exp((-2 * Math.PI * hz) / rate);
  const out = new Float64Array(samples.length);
  let [x1, y1] = [0, 0];
  samples.forEach((x, n) => {
    y1 = ((1 + pole) / 2) * (x - x1) + pole * y1;
    x1 = x;
    out[n] = y1;
  });
  return out;
}

import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { DeskroundError } from "../../src/errors.js";
import { analyze } from "../../src/jobs/analyze.js";
import { type ListenRequest, listen } from "../../src/jobs/listen.js";
import { readNotebook } from "../../src/service/notebook/read.js";
import { slow } from "../helpers/slow.js";
import { newDesk, quickS, writeCapture } from "../jobs/recordings.js";
import { ask, evening, rate, strip } from "./evening.js";
import { createWorld, type OpenHeader, startRecorder } from "./recorder.js";

// Expected values: the recordings' own construction; the round is what `analyze` makes of the same.

const folders: string[] = [];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function freshDesk(strips: number, inputs?: readonly string[]): string {
  const folder = newDesk(strips, inputs);
  folders.push(folder);
  return folder;
}

/** Writes a recording while a sitting listens, so much a look. */
async function listenTo(
  desk: string,
  samples: Float64Array,
  {
    header = "all-ones",
    aLook = 1.3,
    ...more
  }: Partial<ListenRequest> & { header?: OpenHeader; aLook?: number } = {},
) {
  const file = join(desk, "evening.wav");
  const recorder = startRecorder(file, samples, rate, header);
  let isClosed = false;
  const seen = createWorld(() => {
    if (isClosed || recorder.write(aLook)) return;
    recorder.close();
    isClosed = true;
  });
  const result = await listen(ask(desk, file, more), seen.world, () => {});
  return { ...seen, result, file };
}

/** The file of a round, which is taken away so that the next of the day gets its name. */
function storedBy(desk: string, round: { readonly id: string } | undefined): string {
  const file = join(desk, "rounds", `${round?.id}.json`);
  const text = readFileSync(file, "utf8");
  rmSync(file);
  return text;
}

/** What `analyze` is asked with, to hold a sitting's round against. */
const fixed = { keep: "store", date: "2031-03-14" } as const;

describe("a sitting with a recording that grows", () => {
  const answersAll = "answers every return, whatever length the header gives (%s)";
  it.each(["zero"] as const)(answersAll, tryHeader);
  it.each(["all-ones", "some-time-ago"] as const)(answersAll, slow, tryHeader);

  async function tryHeader(header: "zero" | "all-ones" | "some-time-ago"): Promise<void> {
    const desk = freshDesk(4);
    const { of, result } = await listenTo(desk, evening([1, 2, 3, 4].map((k) => strip(k))), {
      header,
    });
    expect(of("answer").map(({ answer: { path } }) => path)).toEqual([
      "1/mic",
      "2/mic",
      "3/mic",
      "4/mic",
    ]);
    expect(of("answer").map(({ answer: { standing } }) => standing)).toEqual([
      "unjudged",
      "alike",
      "alike",
      "alike",
    ]);
    // As siblings came in, the first was seen again.
    expect(of("revised").map(({ answer: { path, standing } }) => [path, standing])).toEqual([
      ["1/mic", "alike"],
    ]);
    expect(result.round?.paths.map(({ status }) => status)).toEqual(Array(4).fill("measured"));
  }

  it("stores the round that analyze makes of the recording with the same assignments", async () => {
    const desk = freshDesk(4);
    const { file, result } = await listenTo(
      desk,
      evening([1, 2, 3, 4].map((k) => strip(k, k === 3 ? 0.12 : 0.25))),
    );
    const map = join(desk, "sittings", `${result.sitting}.map`);
    expect(storedBy(desk, result.round)).toBe(
      storedBy(
        desk,
        await analyze({ ...fixed, desk, captures: [file], map, silent: [] }, () => {}),
      ),
    );
    const byOrder = await analyze({ ...fixed, desk, captures: [file], silent: [] }, () => {});
    expect(result.round?.paths).toEqual(byOrder.paths);
  });

  // 9 dB: 6 and 12 are what a leg of a balanced input costs.
  it("says at once which return is 9 dB low, and takes it again", async () => {
    const desk = freshDesk(5);
    const parts = [
      strip(1),
      strip(2),
      strip(3),
      strip(4, 0.25 * 10 ** (-9 / 20)),
      strip(4),
      strip(5),
    ];
    const samples = evening(parts);
    const file = join(desk, "evening.wav");
    const recorder = startRecorder(file, samples, rate);
    let isClosed = false;
    let asked = false;
    const seen = createWorld((_, say) => {
      const low = seen.of("answer").find(({ answer: a }) => a.path === "4/mic");
      if (low !== undefined && !asked) {
        asked = true;
        say({ do: "again" });
      }
      if (isClosed || recorder.write(1)) return;
      recorder.close();
      isClosed = true;
    });
    const { round } = await listen(ask(desk, file), seen.world, () => {});
    const [first, second] = seen.of("answer").filter(({ answer: { path } }) => path === "4/mic");
    expect(first.answer).toMatchObject({ standing: "setting", cause: { cause: "gain-off" } });
    const [level] = first.answer.findings.filter(
      ({ reading }) => reading === "gain" || reading === "level",
    );
    expect(level.deviation).toBeCloseTo(-9, 0);
    expect(second.answer).toMatchObject({ standing: "alike", take: 2 });
    expect(round?.paths.find(({ path }) => path === "4/mic")).toMatchObject({
      status: "measured",
      take: { number: 2 },
    });
    expect(round?.paths.every(({ rank }) => rank !== undefined)).toBe(true);
  });

  it("obeys skip, silent, next, drop and note", async () => {
    const desk = freshDesk(6);
    const file = join(desk, "evening.wav");
    // Strip 2 is left out, 3 passes nothing, 5 is played before 4; a false start does not count.
    const recorder = startRecorder(
      file,
      evening([strip(1), strip(5), strip(6), strip(4), strip(4)]),
      rate,
    );
    let isClosed = false;
    let heard = 0;
    const seen = createWorld((_, say) => {
      const now = seen.of("answer").length;
      if (now > heard) {
        heard = now;
        if (now === 1) {
          say({ do: "skip" });
          say({ do: "silent" });
          say({ do: "next", path: "5/mic" });
          say({ do: "note", text: "fader is stiff" });
        }
        if (now === 4) say({ do: "drop" });
      }
      if (isClosed || recorder.write(1)) return;
      recorder.close();
      isClosed = true;
    });
    const { round } = await listen(ask(desk, file), seen.world, () => {});
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual([
      "1/mic",
      "5/mic",
      "6/mic",
      "4/mic",
      "4/mic",
    ]);
    expect(round?.paths.map(({ path, status }) => `${path} ${status}`)).toEqual([
      "1/mic measured",
      "2/mic missing",
      "3/mic unusable",
      "4/mic measured",
      "5/mic measured",
      "6/mic measured",
    ]);
    expect(round?.paths[3].otherTakes ?? []).toEqual([]);
    const [note] = readNotebook(desk).entries;
    expect(note.line).toMatchObject({ text: "fader is stiff" });
  });

  it("goes on where it was killed, with the same round at the end", slow, async () => {
    const desk = freshDesk(4);
    const samples = evening([1, 2, 3, 4].map((k) => strip(k)));
    const file = join(desk, "evening.wav");
    const recorder = startRecorder(file, samples, rate);
    class Killed extends Error {}
    const first = createWorld(() => {
      recorder.write(1);
      if (first.of("answer").length === 2) throw new Killed();
    });
    await expect(listen(ask(desk, file), first.world, () => {})).rejects.toBeInstanceOf(Killed);
    // What was recorded while nobody listened belongs to it too.
    recorder.write(quickS + 2);
    let isClosed = false;
    const second = createWorld(() => {
      if (isClosed || recorder.write(1)) return;
      recorder.close();
      isClosed = true;
    });
    const { round, sitting } = await listen(ask(desk, file), second.world, () => {});
    expect(second.of("begun")[0]).toMatchObject({ sitting: "2031-03-14-01", resumed: 2 });
    expect(sitting).toBe("2031-03-14-01");
    const map = join(desk, "sittings", `${sitting}.map`);
    expect(round?.paths.every(({ status }) => status === "measured")).toBe(true);
    expect(storedBy(desk, round)).toBe(
      storedBy(
        desk,
        await analyze({ ...fixed, desk, captures: [file], map, silent: [] }, () => {}),
      ),
    );
  });

  it("refuses a second sitting at the same desk", async () => {
    const desk = freshDesk(2);
    const file = join(desk, "evening.wav");
    startRecorder(file, strip(1), rate);
    let refusal: unknown;
    let tried = false;
    const seen = createWorld((turn, say) => {
      if (!tried) {
        tried = true;
        void listen(ask(desk, file), createWorld(() => {}).world, () => {}).catch(
          (error: unknown) => {
            refusal = error;
          },
        );
      }
      if (turn > 5) say({ do: "leave" });
    });
    await listen(ask(desk, file), seen.world, () => {});
    expect(refusal).toBeInstanceOf(DeskroundError);
    expect(String(refusal)).toContain("already listening for this desk");
    expect(existsSync(join(desk, "sittings", "listening.pid"))).toBe(false);
  });
});

describe("a sitting with a folder of recordings", () => {
  it("takes recordings as they appear, by their names where these tell the path", async () => {
    const desk = freshDesk(4);
    const takes = join(desk, "takes");
    mkdirSync(takes);
    writeCapture(join(takes, "01-mic.wav"), [strip(1)], rate);
    const order = [3, 1, 2, 4];
    let k = 0;
    const seen = createWorld((turn) => {
      if (turn % 6 !== 0 || k >= order.length) return;
      const n = order[k++];
      writeCapture(join(takes, `take ${k}, strip ${n} mic.wav`), [evening([strip(n)])], rate);
    });
    const { round } = await listen(ask(desk, takes), seen.world, () => {});
    expect(seen.of("begun")[0].leftAlone).toBe(1);
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual([
      "3/mic",
      "1/mic",
      "2/mic",
      "4/mic",
    ]);
    expect(round?.captures).toHaveLength(4);
  });

  it("says what is lost when a recording is restarted, and asks for it again", async () => {
    const desk = freshDesk(2);
    const file = join(desk, "evening.wav");
    let recorder = startRecorder(file, evening([strip(1)]), rate);
    let isAnew = false;
    let isClosed = false;
    const seen = createWorld(() => {
      if (!isAnew && seen.of("answer").length === 1) {
        recorder.close();
        recorder = startRecorder(file, evening([strip(1), strip(2)]), rate);
        isAnew = true;
      }
      if (isClosed || recorder.write(1)) return;
      recorder.close();
      isClosed = isAnew;
    });
    const { round } = await listen(ask(desk, file), seen.world, () => {});
    expect(seen.of("lost")).toMatchObject([{ paths: ["1/mic"] }]);
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("follows a recording that is renamed, and one that is gone on with in a next file", async () => {
    const desk = freshDesk(3);
    const first = join(desk, "evening.wav");
    let recorder = startRecorder(first, evening([strip(1), strip(2)]), rate);
    let step = 0;
    const seen = createWorld(() => {
      if (recorder.write(1)) return;
      if (step === 0) {
        recorder.close();
        renameSync(first, join(desk, "evening_001.wav"));
        recorder = startRecorder(join(desk, "evening_002.wav"), evening([strip(3)]), rate);
        step = 1;
      } else if (step === 1) {
        recorder.close();
        step = 2;
      }
    });
    const { round } = await listen(ask(desk, first), seen.world, () => {});
    expect(seen.of("recording").map(({ event: { kind } }) => kind)).toContain("renamed");
    expect(round?.captures.map(({ file }) => file.replace(/^.*\//, ""))).toEqual([
      "evening_001.wav",
      "evening_002.wav",
    ]);
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured", "measured"]);
    expect(readdirSync(join(desk, "sittings")).sort()).toEqual([
      "2031-03-14-01.jsonl",
      "2031-03-14-01.map",
    ]);
  });

  it("hears a return that begins in one recording and ends in the next", async () => {
    const desk = freshDesk(3);
    const samples = evening([strip(1), strip(2), strip(3)]);
    // In the midst of the second return.
    const at = Math.round((2 * 1.1 + 1.5 * quickS) * rate);
    const names = ["evening_001.wav", "evening_002.wav"];
    const parts = [samples.subarray(0, at), samples.subarray(at)];
    let recorder = startRecorder(join(desk, names[0]), parts[0], rate);
    let step = 0;
    const seen = createWorld(() => {
      if (recorder.write(1)) return;
      if (step < 2) recorder.close();
      step++;
      if (step === 1) recorder = startRecorder(join(desk, names[1]), parts[1], rate);
    });
    const { round } = await listen(ask(desk, join(desk, names[0])), seen.world, () => {});
    expect(seen.of("answer").map(({ answer: { path } }) => path)).toEqual([
      "1/mic",
      "2/mic",
      "3/mic",
    ]);
    expect(seen.of("cut")).toEqual([]);
    expect(round?.paths[1].take).toMatchObject({
      file: join(desk, names[0]),
      endsIn: join(desk, names[1]),
    });
    expect(round?.paths.map(({ status }) => status)).toEqual(["measured", "measured", "measured"]);
  });
});

it("a sitting that is left does not wait once more", async () => {
  const desk = newDesk(2);
  let waits = 0;
  const world = {
    tell: () => {},
    takeCommands: () => (waits === 1 ? [{ do: "leave" } as const] : []),
    nowS: () => waits,
    wait: async () => {
      waits++;
      if (waits > 5) throw new Error("it waits on");
    },
  };
  await listen(ask(desk, join(desk, "never.wav")), world, () => {});
  expect(waits).toBe(1);
  rmSync(desk, { recursive: true, force: true });
});

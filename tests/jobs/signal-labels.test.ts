import assert from "node:assert/strict";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../src/capture/containers/inspect-recording.js";
import { readSignalFile } from "../../src/capture/signal-file.js";
import { maxControls } from "../../src/desk/controls.js";
import { DeskroundError } from "../../src/errors.js";
import { readReturns } from "../../src/jobs/read-returns.js";
import { formatHeading, formatSegment } from "../../src/signal/labels.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { computeSignalFrames, encodeSignalWav } from "../../src/signal/signal-wav.js";
import type { SignalTable } from "../../src/signal/types.js";
import { ascii, chunk, fmt, join8, scratchFolder, u32, wav } from "../capture/wav-bytes.js";
import { measureProcessorS } from "../helpers/processor-time.js";
import { slow } from "../helpers/slow.js";

const save = scratchFolder();

/** A moment of silence in which a program has kept a signal's labels. */
function labelled(labels: readonly string[], rate = 48_000): Uint8Array {
  const points = labels.map((_, k) => join8(u32(k + 1, k), ascii("data"), u32(0, 0, k)));
  const texts = labels.map((label, k) => chunk("labl", join8(u32(k + 1), ascii(`${label}\0`))));
  return wav(
    fmt({ rate }),
    chunk("data", new Uint8Array(rate / 10)),
    chunk("cue ", join8(u32(labels.length), ...points)),
    chunk("LIST", join8(ascii("adtl"), ...texts)),
  );
}

function labelsOf(table: SignalTable): string[] {
  return [formatHeading(table), ...table.segments.map(formatSegment)];
}

async function refusal(work: () => unknown): Promise<unknown> {
  try {
    await work();
  } catch (error) {
    return error;
  }
  return undefined;
}

/** What is said of such a file as a capture and as the signal that was played. */
async function told(labels: readonly string[]): Promise<readonly unknown[]> {
  const file = save("labelled.wav", labelled(labels));
  return [
    await refusal(() => readReturns([file], () => {})),
    await refusal(() => readSignalFile(inspectRecording(file))),
  ];
}

const spoilt = { code: "signal-version", message: expect.stringMatching(/corrupt/) };
const tables = [
  buildSignalTable("quick", "base"),
  buildSignalTable("standard", "wide"),
  buildSignalTable("controls", "base"),
];
const quick = labelsOf(tables[0]);
const pips = "pips-1 kind=pips start=4.61 length=0.03 frequency=440";

describe("labels that no signal has", () => {
  it.each([
    ["more pips than an hour has", [...quick, `${pips} count=1e9 spacing=1e-9 pip=0.1 level=-18`]],
    ["a length of twenty minutes", quick.with(0, quick[0].replace("length=5.65", "length=1199"))],
    ["a slow sweep", quick.map((label) => label.replace("rate=0.2", "rate=1e3"))],
    ["a sweep without end", quick.map((label) => label.replace("rate=0.2", "rate=1e9"))],
    ["a tone of no frequency", quick.map((label) => label.replace("=1000", "=0"))],
    ["a tone beyond all", quick.map((label) => label.replace("=1000", "=1e300"))],
    ["a tone turned round", quick.map((label) => label.replace("=1000", "=-5"))],
    ["no markers", quick.filter((label) => !label.startsWith("marker"))],
    [
      "more controls than a desk may have",
      labelsOf(
        buildSignalTable(
          "controls",
          "base",
          Array.from({ length: maxControls + 1 }, (_, k) => ({
            control: `knob ${k}`,
            hand: "turn",
          })),
        ),
      ),
    ],
  ])("are refused: %s", async (_, labels) => {
    expect(await told(labels)).toMatchObject([spoilt, spoilt]);
  });

  it("cost nothing where one of 200 kB stands at every cue", async () => {
    const long = `long ${"a=1 ".repeat(50_000)}`;
    const points = Array.from({ length: 4096 }, () =>
      join8(u32(1, 0), ascii("data"), u32(0, 0, 0)),
    );
    const bytes = wav(
      fmt(),
      chunk("data", new Uint8Array(9600)),
      chunk("cue ", join8(u32(points.length), ...points)),
      chunk("LIST", join8(ascii("adtl"), chunk("labl", join8(u32(1), ascii(`${long}\0`))))),
    );
    const info = inspectRecording(save("long.wav", bytes));
    const read = async () =>
      expect(await refusal(() => readSignalFile(info))).toMatchObject({ code: "signal-version" });
    expect(await measureProcessorS(read)).toBeLessThan(0.5);
  });
});

const numbers = [
  ..."0 -0 -1 -18 1 2 1199 1e3 1e9 4294967296 1e300 1e-9 1e-300 1e999 NaN Infinity -Infinity".split(
    " ",
  ),
  "",
  ",",
  "-6,-6",
];
const change = fc.record({
  kind: fc.constantFrom("number", "number", "number", "key", "drop", "double", "swap", "text"),
  label: fc.nat(),
  part: fc.nat(),
  value: fc.constantFrom(...numbers),
});

type Change = typeof change extends fc.Arbitrary<infer T> ? T : never;

function changed(labels: readonly string[], { kind, label, part, value }: Change) {
  if (labels.length === 0) return labels;
  const at = label % labels.length;
  const other = part % labels.length;
  if (kind === "drop") return labels.filter((_, k) => k !== at);
  if (kind === "double") return labels.toSpliced(other, 0, labels[at]);
  if (kind === "swap") return labels.with(at, labels[other]).with(other, labels[at]);
  const words = labels[at].split(" ");
  const word = 1 + (part % Math.max(1, words.length - 1));
  if (kind === "key") return labels.with(at, words.filter((_, k) => k !== word).join(" "));
  const [key] = (words[word] ?? "").split("=");
  const put = kind === "text" ? value : `${key}=${value}`;
  return labels.with(at, words.with(Math.min(word, words.length - 1), put).join(" "));
}

describe("any labels", () => {
  it(
    "give the table of a signal that can be made, or an error for the user, in a moment",
    slow,
    async () => {
      const cases = fc.tuple(
        fc.constantFrom(...tables),
        fc.array(change, { minLength: 1, maxLength: 4 }),
      );
      const before = process.memoryUsage().rss;
      let refused = 0;
      await fc.assert(
        fc.asyncProperty(cases, async ([table, changes]) => {
          const labels = changes.reduce<readonly string[]>(changed, labelsOf(table));
          const file = save("labels.wav", labelled(labels));
          const before = process.cpuUsage();
          const asCapture = await refusal(() => readReturns([file], () => {}));
          const asSignal = await refusal(() => {
            // The names of controls are all that a file may tell; every number is the table's own.
            const read = readSignalFile(inspectRecording(file)).table;
            const moves = read.segments.flatMap((s) => (s.kind === "tone" && s.move ? s.move : []));
            expect(read).toEqual(buildSignalTable(table.profile, table.band, moves));
          });
          assert(process.cpuUsage(before).user < 2e6, "takes too long");
          assert(asCapture instanceof DeskroundError, String(asCapture));
          assert(["no-return", "signal-version"].includes(asCapture.code), asCapture.code);
          if (asSignal === undefined) return;
          assert(asSignal instanceof DeskroundError, String(asSignal));
          assert.equal(asSignal.code, "signal-version");
          refused++;
        }),
        { numRuns: 400, seed: 1 },
      );
      expect(refused).toBeGreaterThan(200);
      expect(process.memoryUsage().rss - before).toBeLessThan(300e6);
    },
  );
});

describe("the labels of the signal itself", () => {
  it("leave it out at its own length alone", async () => {
    const bytes = encodeSignalWav(tables[0], 48_000, "int16");
    const file = save("signal.wav", bytes);
    expect(inspectRecording(file).frames).toBe(computeSignalFrames(tables[0], 48_000));
    const error = await refusal(() => readReturns([file], () => {}));
    expect(error).toMatchObject({ code: "no-return", message: /is the test signal itself/ });
  });

  it("may differ by the last digit of a logarithm, as files of another machine do", () => {
    const { sweepS } = tables[0].segments.flatMap((s) => (s.kind === "sweep" ? [s] : []))[0];
    const last = sweepS * (1 + 2 * Number.EPSILON);
    const labels = quick.map((label) => label.replace(`sweep=${sweepS}`, `sweep=${last}`));
    expect(labels).not.toEqual(quick);
    const info = inspectRecording(save("other.wav", labelled(labels)));
    expect(readSignalFile(info).table).toEqual(tables[0]);
  });
});

import { describe, expect, it } from "vitest";
import { measureControls } from "../../../src/measure/controls/controls.js";
import type { ControlReport } from "../../../src/measure/controls/types.js";
import { assertMade } from "../../helpers/made.js";
import { type Played, sine, smallReturn } from "../integrity/small-returns.js";

// Expected: what is put into a pass of one control of a few seconds, at its time and its size. Pieces of
// the level are 2 ms, a dropout begins up to three of them early, and crackle is told from −66 dB on.

const rate = 16_000;
type Hand = "turn" | "slide" | "press";

interface Given {
  readonly hand?: Hand;
  /** Of the moved tone, at seconds since it began. */
  readonly level?: (s: number) => number;
  /** Seconds of the signal at which there is a click of −20 dB. */
  readonly clicks?: readonly number[];
  /** Of the noise in the silence while the control is moved. */
  readonly rustle?: (s: number) => number;
  readonly without?: string;
  /** Pips in the last second, one of which ends the pass: two are a count-in as well. */
  readonly lastPips?: number;
}

/** Unmoved up to 2 s, counted in up to 3 s, moved under the tone to 5 s and in silence to 6 s. */
function passOf(given: Given = {}) {
  const { hand = "turn", level = () => 1, clicks = [], rustle, without, lastPips = 1 } = given;
  const tone = sine(1000, 0.3);
  let state = 1;
  const random = () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647 - 0.5;
  };
  const pip = { kind: "pips", pipS: 0.05, spacingS: 0.5 };
  const segments = [
    { kind: "silence", name: "silence", startS: 0, lengthS: 1 },
    { kind: "tone", name: "tone-1k", startS: 1, lengthS: 1, frequencyHz: 1000, sound: tone },
    { ...pip, name: "pips-1", startS: 2, lengthS: 1, count: 2 },
    {
      ...{ kind: "tone", name: "tone-1", startS: 3, lengthS: 2, frequencyHz: 1000 },
      move: { control: "gain", hand },
      sound: (s: number) => level(s) * tone(s),
    },
    {
      ...{ kind: "silence", name: "silence-1", startS: 5, lengthS: 1 },
      sound: (s: number) => (rustle?.(s) ?? 0) * random(),
    },
    { ...pip, name: "pips-end", startS: 6, lengthS: lastPips === 1 ? 0.05 : 1, count: lastPips },
    { kind: "marker", name: "marker-end", startS: 7, lengthS: 0.1 },
  ].filter(({ name }) => name !== without);
  const audio = smallReturn(segments as readonly Played[], { rate, noise: 1e-6, origin: 80 });
  for (const atS of clicks) audio.samples[80 + Math.round(atS * rate)] += 0.03;
  return audio;
}
function reportOf(given: Given): ControlReport {
  const reports = measureControls(passOf(given));
  assertMade(reports);
  expect(reports).toHaveLength(1);
  return reports[0];
}
const within =
  (from: number, until: number, inside: number, outside = 1) =>
  (s: number) =>
    s >= from && s < until ? inside : outside;

describe("a control that nothing is heard of", () => {
  it("is sound, and not seen to move", () => {
    expect(reportOf({})).toEqual({
      control: "gain",
      hand: "turn",
      fromS: 3,
      untilS: 6,
      moved: "not seen",
      rangeDb: expect.closeTo(0, 2),
      scratches: { tone: 0, silence: 0 },
      dropouts: 0,
      jumps: 0,
      expected: 0,
      events: [],
      verdicts: ["sound"],
    });
  });

  it("is seen to move by a decibel from the lowest to the highest", () => {
    // By hand: from 1 to the level over a second.
    const to = (db: number) => (s: number) => 10 ** ((db * Math.min(1, Math.max(0, s - 0.5))) / 20);
    expect(reportOf({ level: to(-0.9) })).toMatchObject({ moved: "not seen" });
    const seen = reportOf({ level: to(-6) });
    expect(seen).toMatchObject({ moved: "seen", verdicts: ["sound"] });
    expect(Math.abs(seen.rangeDb - 6)).toBeLessThan(0.1);
    // No more than down to −60 dB is counted.
    const off = reportOf({ level: to(-90) });
    expect(Math.abs(off.rangeDb - 60)).toBeLessThan(0.1);
  });
});

describe("the range of a control", () => {
  it("is that without the lowest and the highest fiftieth of the time", () => {
    const range = (lengthS: number, level: number) =>
      reportOf({ level: within(1, 1 + lengthS, level) }).rangeDb;
    // Of 1.9 s a fiftieth is 38 ms.
    for (const level of [0.1, 10 ** -0.5]) {
      expect(range(0.03, level)).toBeLessThan(0.1);
      expect(range(0.06, level) / (-20 * Math.log10(level))).toBeCloseTo(1, 1);
    }
    expect(range(0.03, 2)).toBeLessThan(0.1);
    expect(range(0.06, 2)).toBeCloseTo(6.02, 1);
  });
});

describe("a level that breaks while a control is moved", () => {
  it.each([
    ["turn", "track"],
    ["slide", "track"],
    ["press", "contact"],
  ] as const)("drops out where it comes back: %s, by its %s", (hand, wear) => {
    const found = reportOf({ hand, level: within(1, 1.03, 0.1) });
    expect(found).toMatchObject({ verdicts: ["drops out"], dropouts: 1, jumps: 0, wear });
    const [one, ...more] = found.events;
    expect(more).toEqual([]);
    expect(one).toMatchObject({ kind: "dropout", during: "tone" });
    expect(Math.abs(one.atS - 4)).toBeLessThan(0.009);
    expect(Math.abs(one.atS + one.lengthS - 4.03)).toBeLessThan(0.005);
    // Pieces are whole at a tenth.
    expect(one.levelDb).toBeCloseTo(-20, 0);
  });

  it("jumps where it does not, but for a switch", () => {
    const level = within(1, 9, 0.5);
    expect(reportOf({ level })).toMatchObject({
      verdicts: ["jumps"],
      jumps: 1,
      dropouts: 0,
      moved: "seen",
      wear: "track",
      events: [{ kind: "jump", during: "tone" }],
    });
    expect(reportOf({ level }).rangeDb).toBeCloseTo(6.02, 1);
    expect(reportOf({ hand: "press", level })).toMatchObject({ verdicts: ["sound"], jumps: 0 });
  });
});

describe("clicks while a control is moved", () => {
  const spread = (count: number, fromS: number) =>
    Array.from({ length: count }, (_, k) => fromS + 0.1 * k);

  it("are scratches from three on, each told with its time and size", () => {
    expect(reportOf({ clicks: spread(2, 3.5) })).toMatchObject({
      verdicts: ["sound"],
      scratches: { tone: 2, silence: 0 },
      events: [],
    });
    const found = reportOf({ clicks: spread(3, 3.5) });
    expect(found).toMatchObject({
      verdicts: ["scratchy"],
      scratches: { tone: 3, silence: 0 },
      wear: "track",
    });
    expect(found.events.map(({ atS }) => Number(atS.toFixed(2))).sort()).toEqual([3.5, 3.6, 3.7]);
    for (const { kind, during, lengthS, levelDb } of found.events) {
      expect({ kind, during, lengthS }).toEqual({ kind: "scratch", during: "tone", lengthS: 0 });
      // 0.03 against 0.3, less what the filter takes that it is heard through.
      expect(levelDb).toBeGreaterThan(-33);
      expect(levelDb).toBeLessThan(-19);
    }
  });

  it("are a leak in the silence, and up to the end after the last pip", () => {
    const found = reportOf({ clicks: [5.3, 5.6, 6.4] });
    expect(found).toMatchObject({
      verdicts: ["scratchy"],
      scratches: { tone: 0, silence: 3 },
      wear: "leak",
    });
    expect(found.events.map(({ atS }) => Number(atS.toFixed(2))).sort()).toEqual([5.3, 5.6, 6.4]);
    expect(found.events.every(({ during }) => during === "silence")).toBe(true);
    // Of both parts together: two under the tone and one in the silence are no leak.
    expect(reportOf({ clicks: [3.5, 4, 5.5] })).toMatchObject({
      verdicts: ["scratchy"],
      wear: "track",
    });
  });

  it("are one event where they are less than 40 ms apart", () => {
    const { events, scratches } = reportOf({ clicks: [3.5, 3.53, 3.56, 4, 4.5] });
    expect(scratches.tone).toBe(5);
    expect(
      events.map(({ atS, lengthS }) => [atS, lengthS].map((s) => Number(s.toFixed(2)))).sort(),
    ).toEqual([
      [3.5, 0.06],
      [4, 0],
      [4.5, 0],
    ]);
  });

  it("count for a switch from 20 ms on, and two of them make it dirty", () => {
    const at = (...timesS: readonly number[]) => reportOf({ hand: "press", clicks: timesS });
    expect(at(3.5, 3.7, 4, 4.3, 4.6)).toMatchObject({
      verdicts: ["sound"],
      scratches: { tone: 0, silence: 0 },
    });
    expect(at(3.5, 3.53, 4.2)).toMatchObject({ verdicts: ["sound"], scratches: { tone: 1 } });
    expect(at(3.5, 3.53, 4.2, 4.23)).toMatchObject({
      verdicts: ["scratchy"],
      scratches: { tone: 2 },
      wear: "contact",
    });
  });

  it("belong to a dropout within 40 ms of it", () => {
    const level = within(1, 1.03, 0.1);
    expect(reportOf({ level, clicks: [3.98, 4.05, 3.5] }).scratches.tone).toBe(1);
    expect(reportOf({ level, clicks: [3.9, 4.12, 3.5] }).scratches.tone).toBe(3);
  });

  it("are expected as often as they come where nothing is moved", () => {
    // Two in the unmoved parts: 0.85 and 0.92 s of them, and no count-in, as the one there is is left out.
    const { expected } = reportOf({ clicks: [0.5, 1.5] });
    const seconds = 0.85 + 0.92;
    // The moved parts: 1.92, 0.92 and what follows the pip, 0.86 s.
    expect(expected / ((2 / seconds) * (1.92 + 0.92 + 0.86))).toBeGreaterThan(0.98);
    expect(expected / ((2 / seconds) * (1.92 + 0.92 + 0.86))).toBeLessThan(1.02);
    // 3 + 4·4.2 are wanted then.
    expect(reportOf({ clicks: [0.5, 1.5, ...spread(15, 3.2)] }).verdicts).toEqual(["sound"]);
    expect(reportOf({ clicks: spread(15, 3.2) }).verdicts).toEqual(["scratchy"]);
    // Not those of a count-in, of which the loudest is left out.
    expect(reportOf({ clicks: [2.3, 2.8] }).expected).toBe(0);
  });

  it("are expected by all count-ins but that with the most", () => {
    // Between two pips 80 ms after one and 10 ms before the next: 0.36 s each.
    const expected = (clicks: readonly number[]) => reportOf({ clicks, lastPips: 2 }).expected;
    const moved = 1.92 + 0.92 + 0.86;
    const still = 0.85 + 0.92 + 2 * 0.36;
    for (const clicks of [
      [2.3, 6.3, 6.8],
      [2.3, 2.8, 6.3],
    ]) {
      expect(Math.abs(expected(clicks) / (moved / still) - 1)).toBeLessThan(0.02);
    }
    expect(expected([6.3, 6.8])).toBe(0);
    // What a pip rings for 80 ms, or begins 10 ms early, does not count.
    for (const atS of [2.12, 2.995]) {
      expect(expected([atS, 6.3, 6.8]), `${atS}`).toBe(0);
    }
    for (const atS of [2.14, 2.98]) {
      expect(expected([atS, 6.3, 6.8]), `${atS}`).toBeGreaterThan(1);
    }
  });

  it("belong to a switch's step of the level where that is more than 5 %", () => {
    // Three presses with crackle of 30 ms, one of them where the level steps, none of which breaks.
    const clicks = [3.5, 3.53, 3.99, 4.02, 4.5, 4.53];
    const of = (level: number, hand: Hand = "press") =>
      reportOf({ hand, clicks, level: within(1, 9, level) }).scratches.tone;
    expect([of(1), of(0.96), of(0.94), of(1.06), of(1.04)]).toEqual([3, 3, 2, 2, 3]);
    // For a knob all of them count, and what the step itself does.
    expect(of(0.94, "turn")).toBeGreaterThanOrEqual(6);
  });

  it("are shown up to twelve, breaks first, then the loudest", () => {
    const level = within(1.9, 1.93, 0.1);
    const { events } = reportOf({ level, clicks: spread(15, 3.1) });
    expect(events).toHaveLength(12);
    expect(events.map(({ kind }) => kind)).toEqual(["dropout", ...Array(11).fill("scratch")]);
  });
});

describe("noise that comes with moving", () => {
  it("rustles from 24 dB above the silence for a tenth of the time", () => {
    const found = reportOf({ rustle: within(0.4, 0.7, 0.01, 0) });
    expect(found).toMatchObject({ wear: "leak" });
    expect(found.verdicts).toContain("scratchy");
    expect(found.events[0]).toMatchObject({ kind: "rustle", during: "silence" });
    expect(found.events[0].atS).toBeCloseTo(5.08, 2);
    expect(found.events[0].lengthS).toBeCloseTo(0.92, 2);
    // A twentieth of the time, or 66 dB below the tone, is none.
    const rustles = (noise: (s: number) => number) =>
      reportOf({ rustle: noise }).events.some(({ kind }) => kind === "rustle");
    expect(rustles(within(0.4, 0.43, 0.01, 0))).toBe(false);
    expect(rustles(within(0.4, 0.7, 1e-5, 0))).toBe(false);
  });

  it("is no rustle where a gain turned up makes it louder", () => {
    // 24 dB and the level's rise of 40 dB, by hand in a second.
    const up = (s: number) => 10 ** ((40 * Math.min(1, Math.max(0, s - 0.3))) / 20) / 50;
    const of = (given: Given) => reportOf(given).events.some(({ kind }) => kind === "rustle");
    const rustle = within(0.4, 0.7, 1e-3, 0);
    expect(of({ rustle })).toBe(true);
    expect(of({ rustle, level: up })).toBe(true);
  });
});

describe("a pass that says nothing", () => {
  it("lacks its unmoved parts, or its moves", () => {
    const lacks = (part: string) => ({ absent: { code: "not-in-signal", part, profile: "quick" } });
    expect(measureControls(passOf({ without: "silence" }))).toMatchObject(lacks("unmoved"));
    expect(measureControls(passOf({ without: "tone-1k" }))).toEqual(lacks("unmoved"));
    expect(measureControls(passOf({ without: "tone-1" }))).toEqual(lacks("moves"));
  });

  it("ends too early, has clipped, or has no tone", () => {
    const audio = passOf();
    const until = (s: number) => ({ ...audio, samples: audio.samples.subarray(0, 80 + s * rate) });
    expect(measureControls(until(1.5))).toEqual({
      absent: { code: "not-in-capture", part: "beginning" },
    });
    expect(measureControls(until(4))).toEqual({
      absent: { code: "not-in-capture", part: "moves", control: "gain" },
    });
    expect(measureControls(until(5.5))).toEqual({
      absent: { code: "not-in-capture", part: "moves", control: "gain" },
    });
    const clipped = passOf();
    clipped.samples.fill(1, 80 + 1.5 * rate, 80 + 1.5 * rate + 2);
    expect(measureControls(clipped)).toEqual({ absent: { code: "converter-clipped" } });
    // Twenty times the noise of the silence: 0.3 against 0.02.
    const noisy = passOf();
    for (let n = 80; n < 80 + rate; n++) noisy.samples[n] = n % 2 === 0 ? 0.02 : -0.02;
    expect(measureControls(noisy)).toEqual({ absent: { code: "no-tone", hz: 1000 } });
  });
});

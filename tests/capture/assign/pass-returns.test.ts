import { describe, expect, it } from "vitest";
import { choosePassPlan, fitsOtherPlan } from "../../../src/capture/assign/choose-pass-plan.js";
import type { PassFile } from "../../../src/capture/assign/heard-passes.js";
import { assignPassReturns } from "../../../src/capture/assign/pass-returns.js";
import type { SignalReturn } from "../../../src/capture/types.js";
import { type PassForm, type PassPlan, pickPasses, planPasses } from "../../../src/desk/passes.js";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { computeTurnStartS } from "../../../src/signal/pass-signal.js";

// Expected values: the order in which returns are laid out below.

const rate = 48_000;
const lengthS = 6;

const deskOf = (more: string, strips: string) =>
  parseDesk(
    `name: D\nmains: 50\nstrips: ${strips}\ninputs:\n  tape: { nominal: 4 }\n${more}\n`,
    "desk.yaml",
  );
const planOf = (more: string, strips: string): PassPlan => planPasses(deskOf(more, strips));

function heard(
  form: PassForm,
  atS: number,
  outputs: readonly (readonly [output: number, channel: number])[],
  file = "a.wav",
): SignalReturn[] {
  return outputs.map(([output, channel]) => ({
    file,
    channel,
    startSample: (atS + computeTurnStartS(form, output, lengthS)) * rate,
    lengthSamples: lengthS * rate,
    driftPpm: 0,
    profile: "quick",
    band: "base",
    signalVersion: 1,
    inverted: false,
    likeness: 1,
    gain: 1,
    output,
  }));
}

const fileOf = (channels: number, file = "a.wav", seconds = 600): PassFile => ({
  file,
  sampleRate: rate,
  channels,
  frames: seconds * rate,
  emptyChannels: [],
});

const assign = (returns: readonly SignalReturn[], plan: PassPlan, files: readonly PassFile[]) =>
  assignPassReturns(returns, [], plan, files, () => lengthS);

const said = (found: ReturnType<typeof assign>) =>
  found.assignments.map(({ path, return: one }) => `${path} ${one.output}`).sort();

const straight = (count: number) => Array.from({ length: count }, (_, k) => [k + 1, k] as const);

describe("returns of passes", () => {
  const byHand = planOf("outputs: 3", "1-6");
  const planned = (pass: number) =>
    byHand.passes[pass].plays.map(({ path, output }) => `${path} ${output}`).sort();
  const mono = straight(3).map(([output]) => [output, 0] as const);

  it("belong to one pass until an output comes again", () => {
    const returns = [...heard("turns", 1, mono), ...heard("turns", 40, mono)];
    const found = assign(returns, byHand, [fileOf(1)]);
    expect(said(found)).toEqual([...planned(0), ...planned(1)].sort());
    expect(found.heard).toEqual([1, 2]);
    expect(found.doubts).toEqual([]);
  });

  it("are told apart where the first pass lost its last output and the second its first", () => {
    const returns = [...heard("turns", 1, mono.slice(0, 2)), ...heard("turns", 40, mono.slice(1))];
    const found = assign(returns, byHand, [fileOf(1)]);
    expect(found.heard).toEqual([1, 2]);
    expect(found.silent.map(({ path }) => path)).toHaveLength(2);
    expect(said(found)).toHaveLength(4);
  });

  it("are takes where the whole plan was played twice", () => {
    const returns = [1, 40, 80, 120].flatMap((at) => heard("turns", at, mono));
    const found = assign(returns, byHand, [fileOf(1)]);
    expect(found.heard).toEqual([1, 2, 1, 2]);
    expect(found.assignments).toHaveLength(12);
  });

  it("are left out beyond the plan", () => {
    const returns = [1, 40, 80].flatMap((at) => heard("turns", at, mono));
    const found = assign(returns, byHand, [fileOf(1)]);
    expect(found.unassigned).toHaveLength(3);
    expect(found.doubts).toEqual([{ code: "more-passes", passes: 1, planned: 2 }]);
  });

  it("of a turn that the recording does not hold say nothing of the path", () => {
    const found = assign(heard("turns", 1, mono.slice(0, 2)), byHand, [fileOf(1, "a.wav", 16)]);
    expect(found.silent).toEqual([]);
    expect([...found.spoilt.values()]).toContainEqual({ code: "turn-missing", output: 3, pass: 1 });
  });

  it("are all of the sum where strips are open together", () => {
    const found = assign(heard("turns", 1, mono), byHand, [fileOf(1)]);
    const paths = byHand.passes[0].plays.map(({ path }) => path);
    for (const path of paths) expect(found.open.get(path)).toEqual(paths);
  });

  const own = planOf("outputs: [1-4/tape]\nchannels: 1-4", "1-4");

  it.each(["turns", "together"] as const)("go to their channels (%s)", (form) => {
    const found = assign(heard(form, 1, straight(4)), own, [fileOf(4)]);
    expect(said(found)).toEqual(["1/tape 1", "2/tape 2", "3/tape 3", "4/tape 4"]);
    expect(found.open.get("2/tape")).toEqual(["2/tape"]);
  });

  it("of exchanged channels are nobody's", () => {
    const exchanged = [
      [1, 0],
      [2, 3],
      [3, 2],
      [4, 1],
    ] as const;
    const found = assign(heard("together", 1, exchanged), own, [fileOf(4)]);
    expect(said(found)).toEqual(["1/tape 1", "3/tape 3"]);
    expect([...found.spoilt.keys()].sort()).toEqual(["2/tape", "4/tape"]);
    expect(found.silent).toEqual([]);
    expect(found.doubts.map(({ code }) => code)).toEqual(["channels-exchanged"]);
  });

  it("go by their outputs where the recorder dropped a channel", () => {
    const shifted = [
      [1, 0],
      [3, 1],
      [4, 2],
    ] as const;
    const found = assign(heard("together", 1, shifted), own, [fileOf(3)]);
    expect(said(found)).toEqual(["1/tape 1", "3/tape 3", "4/tape 4"]);
    expect(found.doubts).toEqual([{ code: "channel-dropped", file: "a.wav", channel: 1 }]);
    // Its turn was there, its channel was not.
    expect(found.silent.map(({ path }) => path)).not.toContain("2/tape");
  });

  it("say between which channels one was dropped that no path of theirs uses", () => {
    const high = planOf("outputs: [5-8/tape]\nchannels: 1-8", "1-8");
    const shifted = [1, 2, 3, 4].map((output) => [output, output + 2] as const);
    const found = assign(heard("together", 1, shifted), high, [fileOf(7)]);
    expect(said(found)).toEqual(["5/tape 1", "6/tape 2", "7/tape 3", "8/tape 4"]);
    expect(found.doubts).toEqual([{ code: "channel-dropped", file: "a.wav", channel: 3, from: 0 }]);
  });

  it("know a dropped channel also where the desk has more than these passes use", () => {
    const few = planOf("outputs: [1-4/tape]\nchannels: 1-8", "1-8");
    const shifted = [
      [1, 0],
      [3, 1],
      [4, 2],
    ] as const;
    const returns = heard("together", 1, shifted);
    const found = assignPassReturns(returns, [], few, [fileOf(7)], () => lengthS, 8);
    expect(said(found)).toEqual(["1/tape 1", "3/tape 3", "4/tape 4"]);
    expect(found.doubts).toEqual([{ code: "channel-dropped", file: "a.wav", channel: 1 }]);
    expect(found.spoilt.get("2/tape")).toEqual({ code: "channel-dropped", channel: 1 });
  });

  it("take no leak of a neighbour for the path whose channel is missing", () => {
    // Channel 2 is not there; output 2 is heard 75 dB down in channel 1.
    const [one, two, three, four] = heard("turns", 1, [
      [1, 0],
      [2, 0],
      [3, 1],
      [4, 2],
    ]);
    const leak = { ...two, gain: 10 ** (-75 / 20) };
    const found = assign([one, leak, three, four], own, [fileOf(3)]);
    expect(said(found)).toEqual(["1/tape 1", "3/tape 3", "4/tape 4"]);
    expect(found.doubts).toEqual([{ code: "channel-dropped", file: "a.wav", channel: 1 }]);
    expect([...found.spoilt.keys()]).toEqual(["2/tape"]);
    expect(found.silent).toEqual([]);
    // One channel alone was recorded: it is no mixture, and the others are nobody's fault.
    const alone = assign([one, leak], own, [fileOf(1)]);
    expect(said(alone)).toEqual(["1/tape 1"]);
    expect([...alone.spoilt.keys()]).toEqual(["2/tape", "3/tape", "4/tape"]);
    expect(alone.silent).toEqual([]);
    expect(alone.doubts).toEqual([]);
  });

  it("condemn no strip whose channel is a copy of another, or carries another output", () => {
    const copied = { ...fileOf(4), copiedChannels: new Map([[1, 0]]) };
    // Both hold channel 1: output 2 was not recorded.
    const first = assign(
      heard("together", 1, [
        [1, 0],
        [3, 2],
        [4, 3],
      ]),
      own,
      [copied],
    );
    expect(first.silent).toEqual([]);
    expect([...first.spoilt]).toEqual([["2/tape", { code: "channel-copied", channel: 1, of: 0 }]]);
    expect(first.doubts.map(({ code }) => code)).toEqual(["channel-copied"]);
    // Both hold channel 2, which is found on the first of them: it is on its own channel all the same.
    const second = assign(
      heard("together", 1, [
        [2, 0],
        [3, 2],
        [4, 3],
      ]),
      own,
      [copied],
    );
    expect(said(second)).toEqual(["2/tape 2", "3/tape 3", "4/tape 4"]);
    expect([...second.spoilt.keys()]).toEqual(["1/tape"]);
    // Not to the sample, as by a cable that forks.
    const [one, ...others] = heard("together", 1, [
      [1, 0],
      [3, 2],
      [4, 3],
    ]);
    const forked = assign([{ ...one, legs: [{ ...one, channel: 1, gain: 0.9 }] }, ...others], own, [
      fileOf(4),
    ]);
    expect([...forked.spoilt.values()]).toEqual([
      { code: "channel-of-other", channel: 1, output: 1 },
    ]);
    const leaking = { ...one, legs: [{ ...one, channel: 1, gain: 0.01 }] };
    const dead = assign([leaking, ...others], own, [fileOf(4)]);
    expect(dead.silent.map(({ path }) => path)).toEqual(["2/tape"]);
  });

  it("condemn no strip while a channel of the plan is missing", () => {
    // Output 4 is heard where it should, so that nothing tells which channel is missing.
    const some = planOf("outputs: 4\nchannels: 1-8", "1-8");
    const low = straight(3).map(([output, channel]) => [output, channel] as const);
    const found = assign(heard("together", 1, low), some, [fileOf(7)]);
    expect(found.silent).toEqual([]);
    expect(found.spoilt.get("4/tape")).toEqual({
      code: "channel-missing",
      channels: 7,
      planned: 8,
    });
    const whole = assign(heard("together", 1, low), some, [fileOf(8)]);
    expect(whole.silent.map(({ path }) => path)).toEqual(["4/tape"]);
  });

  it("leave out a pass that was mixed down where others were not", () => {
    const two = planOf("outputs: 2\nbuses: group 1-2", "1-4");
    const mixed = heard("turns", 1, [
      [1, 0],
      [2, 0],
    ]);
    const apart = heard(
      "together",
      1,
      two.passes[1].plays.map(({ output, channel = 0 }) => [output, channel] as const),
      "b.wav",
    );
    const found = assign([...mixed, ...apart], two, [fileOf(1), fileOf(2, "b.wav")]);
    expect(said(found).map((text) => text.split("/")[0])).toEqual(["3", "4"]);
    expect([...found.spoilt.values()]).toEqual([
      { code: "mixed-down", pass: 1 },
      { code: "mixed-down", pass: 1 },
    ]);
    // Where all are mixed down they are alike.
    const again = mixed.map((one) => ({ ...one, file: "b.wav" }));
    const all = assign([...mixed, ...again], two, [fileOf(1), fileOf(1, "b.wav")]);
    expect(said(all)).toHaveLength(4);
  });

  it("of one output behind a splitter go to the paths of their channels", () => {
    const split = "outputs:\n  - { split: 1-4/tape, leg: 10000, source: 150 }\nchannels: 1-4";
    const plan = planOf(split, "1-4");
    expect(plan.passes).toHaveLength(1);
    const [main, ...legs] = heard("turns", 1, [
      [1, 0],
      [1, 2],
      [1, 3],
    ]);
    const found = assign([{ ...main, legs }], plan, [fileOf(4)]);
    expect(found.assignments.map(({ path, return: one }) => `${path} ${one.channel}`)).toEqual([
      "1/tape 0",
      "3/tape 2",
      "4/tape 3",
    ]);
    expect(found.silent.map(({ path }) => path)).toEqual(["2/tape"]);
    // Where an output feeds one path, what else holds it has leaked.
    const leaked = assign([{ ...main, legs }], own, [fileOf(4)]);
    expect(leaked.assignments.map(({ path }) => path)).toEqual(["1/tape"]);
  });

  it("say of outputs that were never heard that it is not the strips", () => {
    const wide = planOf("outputs: 4", "1-8");
    const two = mono.slice(0, 2);
    const found = assign([...heard("turns", 1, two), ...heard("turns", 60, two)], wide, [
      fileOf(1),
    ]);
    expect(found.silent).toEqual([]);
    expect(found.spoilt.size).toBe(4);
    expect(found.doubts).toEqual([{ code: "outputs-not-heard", outputs: [3, 4] }]);
    expect(said(found)).toEqual(["1/tape 1", "2/tape 2", "5/tape 1", "6/tape 2"]);
  });

  it("are of the next pass that plays their outputs, where one was not recorded", () => {
    const wide = planOf("outputs: 4", "1-8");
    // Strips 1 and 2 on outputs 1 and 2, strips 3 and 4 on 3 and 4, and again with 5 to 8.
    const [low, high] = [
      [1, 2],
      [3, 4],
    ].map((outputs) => outputs.map((output) => [output, 0] as const));
    const found = assign(
      [...heard("turns", 1, low), ...heard("turns", 60, high), ...heard("turns", 120, high)],
      wide,
      [fileOf(1)],
    );
    expect(said(found)).toEqual([
      "1/tape 1",
      "2/tape 2",
      "3/tape 3",
      "4/tape 4",
      "7/tape 3",
      "8/tape 4",
    ]);
    expect(found.doubts).toEqual([]);
    expect(found.spoilt.size).toBe(0);
    // A pass that follows at once begins just where the turn of its first output would have been.
    const close = assign([...heard("turns", 1, low), ...heard("turns", 1, high)], wide, [
      fileOf(1),
    ]);
    expect(said(close)).toEqual(["1/tape 1", "2/tape 2", "3/tape 3", "4/tape 4"]);
    const fewer = { code: "fewer-passes", passes: 2, planned: 4, taken: [1, 2] };
    expect(close.doubts).toEqual([fewer]);
  });
});

describe("passes recorded in another order than planned", () => {
  // Two strips in three passes over three buses: each pass has its own routes.
  const routed = planOf("outputs: 3\nbuses: group 1-3", "1-9");
  const laid = (passes: readonly number[]) =>
    passes.flatMap((number, k) =>
      heard(
        "together",
        1 + 60 * k,
        routed.passes[number - 1].plays.map(
          ({ output, channel = 0 }) => [output, channel] as const,
        ),
      ),
    );

  it("are known by the channels on which their outputs come back, where these tell", () => {
    const patterns = routed.passes.map(({ plays }) =>
      plays.map(({ output, channel }) => `${output} ${channel}`).join(),
    );
    expect(new Set(patterns).size).toBe(routed.passes.length);
    const found = assign(laid([2, 3, 1]), routed, [fileOf(3)]);
    expect(found.heard).toEqual([2, 3, 1]);
    expect(found.doubts[0].code).toBe("passes-out-of-order");
    expect(assign(laid([1, 2, 3]), routed, [fileOf(3)]).doubts).toEqual([]);
  });
});

describe("passes of two outputs each over four buses", () => {
  const routed = planOf("outputs: 4\nbuses: group 1-4", "1-8");
  const placesOf = (number: number) =>
    routed.passes[number - 1].plays.map(({ output, channel = 0 }) => [output, channel] as const);
  const laid = (passes: readonly (readonly (readonly [number, number])[])[]) =>
    passes.flatMap((places, k) => heard("together", 1 + 60 * k, places));

  it("are known in another order, unless two stand on each other's channels", () => {
    const found = assign(laid([1, 4, 3, 2].map(placesOf)), routed, [fileOf(4)]);
    expect(found.heard).toEqual([1, 4, 3, 2]);
    const [[a, on], [b, other]] = placesOf(1);
    const swapped = [[a, other] as const, [b, on] as const];
    const exchanged = assign(laid([swapped, ...[2, 3, 4].map(placesOf)]), routed, [fileOf(4)]);
    expect(exchanged.heard).toEqual([1, 2, 3, 4]);
    expect(exchanged.doubts.map(({ code }) => code)).toEqual(["channels-exchanged"]);
  });

  it("lack a dropped channel also where a pass does not use the last one", () => {
    const without = (places: readonly (readonly [number, number])[]) =>
      places.flatMap(([output, channel]) =>
        channel === 1 ? [] : [[output, channel > 1 ? channel - 1 : channel] as const],
      );
    const found = assign(laid([1, 2, 3, 4].map((k) => without(placesOf(k)))), routed, [fileOf(3)]);
    expect(new Set(found.doubts.map(({ code }) => code))).toEqual(new Set(["channel-dropped"]));
  });
});

describe("passes of some paths or of the whole desk", () => {
  const all = planOf("outputs: 3", "1-12");
  const mono = straight(3).map(([output]) => [output, 0] as const);
  const times = (count: number, outputs = mono) =>
    Array.from({ length: count }, (_, k) => heard("turns", 1 + 60 * k, outputs)).flat();
  const choose = (returns: readonly SignalReturn[], plan: PassPlan, file = "a.wav") =>
    choosePassPlan(returns, [fileOf(1, file)], [plan, all], () => lengthS);
  const some = pickPasses(all, ["4/tape", "9/tape"]);

  it("are of the plan all of whose passes were heard", () => {
    expect(some.passes.map(({ number }) => number)).toEqual([2, 3]);
    expect(choose(times(2), some)).toBe(some);
    expect(choose(times(4).slice(0, 12), pickPasses(all, ["4/tape"]))).toBe(all);
  });

  it("are nobody's where nothing tells, unless the file is named for its pass", () => {
    expect(choose(times(1), some)).toBeUndefined();
    expect(choose(times(3), some)).toBeUndefined();
    // The sheet of two passes played twice, or the whole desk once.
    expect(choose(times(4), some)).toBeUndefined();
    const named = times(1).map((one) => ({ ...one, file: "pass 3.wav" }));
    expect(choose(named, some, "pass 3.wav")?.passes.some(({ number }) => number === 3)).toBe(true);
    const other = times(1).map((one) => ({ ...one, file: "pass 1.wav" }));
    expect(choose(other, some, "pass 1.wav")).toBe(all);
  });

  it("may be of either, which is said, unless they are of the same paths by both", () => {
    const halves = [some, all];
    const files = [fileOf(1)];
    expect(fitsOtherPlan(times(2), files, some, halves, () => lengthS)).toBe(true);
    expect(fitsOtherPlan(times(4), files, all, [all], () => lengthS)).toBe(false);
    const first = pickPasses(all, ["1/tape", "4/tape"]);
    expect(fitsOtherPlan(times(2), files, first, [first, all], () => lengthS)).toBe(false);
  });

  it("are of the whole desk where outputs answer that some paths do not need", () => {
    const two = planPasses(
      { ...deskOf("outputs: 3", "1-12") },
      deskOf("outputs: 3", "1-12").paths.slice(3, 5),
    );
    expect(choose(times(4), two)).toBe(all);
    expect(choose(times(1), two)).toBeUndefined();
    expect(choose(times(1, mono.slice(0, 2)), two)).toBe(two);
  });
});

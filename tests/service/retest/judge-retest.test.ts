import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import type { Round, RoundPath, RoundShared } from "../../../src/history/types.js";
import type { JudgedSum } from "../../../src/rank/sums.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { judgeRetest } from "../../../src/service/retest/judge-retest.js";
import { listRetestPaths } from "../../../src/service/retest/retest-paths.js";
import type { Retest } from "../../../src/service/retest/types.js";
import { path, reading, round } from "../limits/rounds.js";

const notes = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(
      lines
        .map((line, k) =>
          JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-20T12:00:00Z", ...line }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );

/** Hiss of eight healthy strips: scattered by a few tenths of a decibel. */
const hiss = [-80.1, -79.9, -80.2, -79.8, -80, -80.1, -79.9, -80];

function strip(k: number, value: number, parts: Partial<RoundPath> = {}): RoundPath {
  const name = `${k + 1}/mic`;
  return path({ path: name, readings: { hiss: reading(value, "dBFS", 0.1) }, ...parts });
}

/** The round that found strip 7 noisy: 13 dB above its siblings. */
const base: Round = round(
  hiss.map((value, k) =>
    k === 6
      ? strip(k, -67, {
          oddness: 20,
          findings: [
            {
              reading: "hiss",
              against: "siblings",
              value: -67,
              expected: -80,
              deviation: 13,
              unit: "dBFS",
              score: 20,
              severity: "service",
              words: "hiss 13 dB above its siblings",
            },
          ],
          causes: [
            {
              cause: "noisy-device",
              name: "noisy input device or op amp",
              kind: "fault",
              probability: 0.9,
              evidence: [],
              confirmBy: "swap it",
            },
          ],
        })
      : strip(k, value),
  ),
);

/** Strips 3 to 8 again, all lower by what the interface was turned down. */
function again(values: readonly number[], lower = 0.8): Round {
  const paths = values.map((value, k) => strip(k + 2, value - lower));
  return {
    ...round(paths, "2031-06-01-01"),
    date: "2031-06-01T12:00:00.000Z",
    partial: { wanted: paths.map((one) => one.path) },
  };
}

/** Strip 7 was worked on; strips 3 to 8 are measured again. */
const chosen = {
  touched: ["7"],
  paths: ["3", "4", "5", "6", "7", "8"].map((name) => ({
    path: `${name}/mic`,
    strip: name,
    input: "mic",
    family: "mic",
  })),
};
const judge = (later: Round, notebook = notes()) => judgeRetest(base, later, { notebook, chosen });
const outcomes = (later: Round, notebook = notes()) =>
  judge(later, notebook).items.map(({ key, outcome }) => [key, outcome]);
const hissy = { kind: "fault", strip: "7", text: "hissy" };

describe("judgeRetest", () => {
  it("calls repaired what is one of the crowd again, whatever the interface did", () => {
    const found = judge(again([-80.2, -79.8, -80, -80.1, -80, -80]), notes(hissy));
    expect(found.items).toMatchObject([
      { key: "7 noisy-device", outcome: "mended", closes: ["n1"], staysOpen: [] },
    ]);
    expect(found.shared).toMatchObject([
      { reading: "hiss", families: ["mic"], bound: 3, standing: "within" },
    ]);
    expect(found.shared[0].change).toBeCloseTo(-0.8, 1);
  });

  it("calls unchanged what did not move, better and worse what did", () => {
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -67, -80]))).toStrictEqual([
      ["7 noisy-device", "unchanged"],
    ]);
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -72, -80]))).toStrictEqual([
      ["7 noisy-device", "better"],
    ]);
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -60, -80]))).toStrictEqual([
      ["7 noisy-device", "worse"],
    ]);
  });

  it("tells a new fault on a neighbour, and closes nothing for it", () => {
    expect(outcomes(again([-80.2, -79.8, -80, -80.1, -80, -68]))).toStrictEqual([
      ["8 new-mic", "new fault"],
      ["7 noisy-device", "mended"],
    ]);
  });

  it("takes what a repair changed for no change that all paths share", () => {
    // Strips 7 and 8 alone, both worked on: 13 dB less on one are not 6.5 dB less on both.
    const part = again([-80.2, -79.8, -80, -80.1, -80, -80], 0);
    const two = { ...part, paths: part.paths.filter(({ strip: name }) => name > "6") };
    const both = { ...chosen, touched: ["7", "8"] };
    const found = judgeRetest(base, two, { notebook: notes(hissy), chosen: both });
    expect(found.items).toMatchObject([{ key: "7 noisy-device", outcome: "mended" }]);
    expect(found.shared).toStrictEqual([]);
    expect(found.gate).toMatchObject({
      verdict: "cannot-tell",
      reasons: [{ code: "not-measured", strips: "neighbours" }],
    });
    // A floor that rose by 20 dB on both is told by the one that was in order.
    const raised = {
      ...two,
      paths: two.paths.map((one) => ({ ...one, readings: { hiss: reading(-60, "dBFS", 0.1) } })),
    };
    const worse = judgeRetest(base, raised, { notebook: notes(hissy), chosen: both });
    expect(worse.gate.verdict).toBe("do-not-close");
    expect(worse.items).toContainEqual(expect.objectContaining({ key: "8 new-mic" }));
  });

  it("leaves open what comes and goes, and what nothing shows", () => {
    const comesAndGoes = { kind: "fault", strip: "7", text: "hiss comes and goes" };
    const found = judge(
      again([-80.2, -79.8, -80, -80.1, -80, -80]),
      notes(comesAndGoes, { kind: "fault", strip: "5", text: "lamp is odd" }),
    );
    expect(found.items.flatMap(({ closes }) => closes)).toStrictEqual([]);
    expect(found.items.find(({ strip: name }) => name === "5")?.outcome).toBe("not shown");
  });

  it("judges a finding by its own reading, whatever else the path has got", () => {
    // The hiss is gone; 20 dB of distortion came.
    const thd = (value: number) => ({ thd: reading(value, "dB", 0.1) });
    const more = (of: Round, value: (strip: string) => number): Round => ({
      ...of,
      paths: of.paths.map((one) => ({
        ...one,
        readings: { ...one.readings, ...thd(value(one.strip)) },
      })),
    });
    const scatter = (name: string) => -90 + 0.1 * (Number(name) % 3);
    const later = more(again([-80.2, -79.8, -80, -80.1, -80, -80]), (name) =>
      name === "7" ? -60 : scatter(name),
    );
    const { items } = judgeRetest(more(base, scatter), later, { notebook: notes(), chosen });
    expect(items.find(({ key }) => key === "7 noisy-device")?.outcome).toBe("mended");
    expect(items.find(({ outcome }) => outcome === "new fault")?.strip).toBe("7");
  });

  it("takes a meter reading that is in order again for proof", () => {
    const phantom = (pin2: number) => ({
      kind: "meter",
      strip: "6",
      what: "phantom",
      values: [
        { at: "pin 2", value: pin2, unit: "V", nominal: 48 },
        { at: "pin 3", value: 47.8, unit: "V", nominal: 48 },
      ],
      text: "",
    });
    const later = again([-80.2, -79.8, -80, -80.1, -80, -80]);
    const of = (...lines: readonly object[]) =>
      judge(later, notes(...lines)).items.find(({ strip: name }) => name === "6");
    expect(of(phantom(31.2))).toMatchObject({ outcome: "not shown", closes: [] });
    expect(of(phantom(31.2), phantom(47.7))).toMatchObject({
      outcome: "mended",
      closes: ["n1", "n2"],
    });
    expect(of(phantom(31.2), phantom(40))).toMatchObject({ outcome: "better", closes: [] });
    expect(of(phantom(31.2), phantom(20))).toMatchObject({ outcome: "worse", closes: [] });
  });
});

describe("the gate", () => {
  const good = [-80.2, -79.8, -80, -80.1, -80, -80];
  const gateOf = (later: Round, notebook = notes()) => judge(later, notebook).gate;
  /** As a healthy round has them beside its hiss. */
  const withMore = (later: Round, readings: RoundPath["readings"]): Round => ({
    ...later,
    paths: later.paths.map((one) => ({ ...one, readings: { ...one.readings, ...readings } })),
  });

  it("opens where all is repaired and nothing changed in common", () => {
    expect(gateOf(again(good), notes(hissy))).toStrictEqual({ verdict: "close", reasons: [] });
  });

  it("stays shut where a strip got worse that nobody touched, and names its path", () => {
    // Strip 4 was 6 dB above its siblings before, and is 16 dB above them now.
    const finding = { ...base.paths[6].findings[0], value: -74, deviation: 6 };
    const odd = strip(3, -74, { oddness: 9, findings: [finding], causes: base.paths[6].causes });
    const before = { ...base, paths: base.paths.map((one, k) => (k === 3 ? odd : one)) };
    const later = again([-80.2, -64, -80, -80.1, -80, -80]);
    const { items, gate } = judgeRetest(before, later, { notebook: notes(hissy), chosen });
    expect(items.find(({ strip: name }) => name === "4")?.outcome).toBe("worse");
    expect(gate.verdict).toBe("do-not-close");
    expect(gate.reasons).toContainEqual(
      expect.objectContaining({ code: "neighbour-worse", path: "4/mic" }),
    );
  });

  it("stays shut under a floor that rose on all, whatever stands out then", () => {
    // 10·lg(10^−6.7 − 10^−8 + 10^−6) = −59.2: strip 7 is as noisy as before.
    const raised = [-60.2, -59.8, -60, -60.1, -59.2, -60];
    const found = judge(again(raised, 0), notes(hissy));
    expect(found.gate.verdict).toBe("do-not-close");
    expect(found.gate.reasons[0]).toMatchObject({
      code: "shared-worse",
      change: { reading: "hiss", bound: 3, standing: "beyond" },
    });
    expect(found.items).toMatchObject([{ key: "7 noisy-device", outcome: "cannot tell" }]);
    expect(found.items[0].closes).toStrictEqual([]);
  });

  it("tells neighbours that got worse first", () => {
    const { verdict, reasons } = gateOf(again([-80.2, -79.8, -80, -80.1, -67, -68]));
    expect(verdict).toBe("do-not-close");
    expect(reasons.map(({ code }) => code)).toStrictEqual(["neighbour-worse", "not-mended"]);
    expect(reasons[0]).toMatchObject({ path: "8/mic" });
  });

  it("does not stay shut for what was left alone on another strip", () => {
    const other = notes({ kind: "fault", strip: "5", text: "lamp is odd" });
    expect(gateOf(again(good), other).verdict).toBe("close");
  });

  it("cannot tell where a touched path, or a neighbour, was not measured", () => {
    const part = again(good);
    const without = (name: string) => ({
      ...part,
      paths: part.paths.filter(({ path: one }) => one !== name),
    });
    expect(gateOf(without("7/mic"))).toMatchObject({ verdict: "cannot-tell" });
    expect(gateOf(without("8/mic"))).toMatchObject({
      verdict: "cannot-tell",
      reasons: [{ code: "not-measured", strips: "neighbours", paths: ["8/mic"] }],
    });
  });

  it("cannot tell where a note of a touched strip is not answered", () => {
    const lamp = notes({ kind: "fault", strip: "7", text: "lamp is odd" });
    expect(gateOf(again(good), lamp)).toMatchObject({
      verdict: "cannot-tell",
      reasons: [{ code: "note-unanswered", note: "n1", strip: "7" }],
    });
  });

  it("takes a note for answered where all that was measured on its strip is repaired", () => {
    const noted = notes({ kind: "fault", strip: "7", input: "mic", symptom: "whistle", text: "" });
    const found = judge(again(good), noted);
    expect(found.gate.verdict).toBe("close");
    expect(found.items.flatMap(({ closes }) => closes)).toStrictEqual(["n1"]);
    // Of another input, and of what hiss does not show.
    const other = notes({ kind: "fault", strip: "7", input: "line", symptom: "whistle", text: "" });
    expect(gateOf(again(good), other).verdict).toBe("cannot-tell");
    const dull = notes({ kind: "fault", strip: "7", input: "mic", symptom: "dull", text: "" });
    expect(gateOf(again(good), dull).verdict).toBe("cannot-tell");
  });

  it("asks for what is open at a section that was worked on, and for no other's", () => {
    const sections = ["supply"];
    const at = (later: Round, ...lines: readonly object[]) =>
      judgeRetest(base, later, { notebook: notes(...lines), chosen: { ...chosen, sections } }).gate;
    const place = { section: "supply", sectionKind: "supply" };
    const fault = { kind: "fault", ...place, text: "drops out" };
    expect(at(again(good), fault)).toMatchObject({
      verdict: "cannot-tell",
      reasons: [{ code: "section-unanswered", note: "n1", section: "supply" }],
    });
    expect(at(again(good), { ...fault, section: "meters", sectionKind: "meters" })).toMatchObject({
      verdict: "close",
    });
    const rail = (value: number) => ({
      kind: "meter",
      ...place,
      what: "rail",
      values: [{ at: "minus", value, unit: "V", nominal: -17, tolerance: 0.85 }],
      text: "",
    });
    expect(at(again(good), rail(-12))).toMatchObject({
      verdict: "do-not-close",
      reasons: [{ code: "section-out", note: "n1", section: "supply" }],
    });
    expect(at(again(good), rail(-12), rail(-17.1)).verdict).toBe("close");
  });

  it("stays shut while something is noted as taken off", () => {
    const off = { kind: "off", strip: "7", what: "bottom cover", text: "" };
    expect(gateOf(again(good), notes(off))).toMatchObject({
      verdict: "do-not-close",
      reasons: [{ code: "taken-off", note: "n1", place: "7", what: "bottom cover" }],
    });
    const back = { kind: "close", closes: "n1", figures: [], text: "put back" };
    expect(gateOf(again(good), notes(off, back)).verdict).toBe("close");
  });

  it("cannot tell where levels are in other units and nothing brings them together", () => {
    const later = again(good);
    const inDbu = withMore(later, { hiss: reading(-58, "dBu", 0.1) });
    const { verdict, reasons } = gateOf(inDbu);
    expect(verdict).toBe("cannot-tell");
    expect(reasons).toContainEqual({
      code: "not-comparable",
      reading: "hiss",
      families: ["mic"],
      because: { code: "other-unit", earlier: "dBFS", later: "dBu" },
    });
  });
});

describe("the gate, dangers", () => {
  it("stays shut while a note of a danger is open, wherever it is, and tells it first", () => {
    const smoke = { kind: "fault", strip: "1", text: "smoke from the strip" };
    const later = again([-80.2, -79.8, -80, -80.1, -80, -80]);
    const { verdict, reasons } = judge(later, notes(smoke)).gate;
    expect(verdict).toBe("do-not-close");
    expect(reasons[0]).toMatchObject({ code: "danger-open", danger: { note: "n1", strip: "1" } });
    const closed = { kind: "close", closes: "n1", figures: [], text: "resistor replaced" };
    expect(judge(later, notes(smoke, closed)).gate.verdict).toBe("close");
  });
});

describe("the gate, shared parts", () => {
  const lines = (more: number) => ({ humEven: reading(-100 + more, "dBFS", 0.1) });
  /** Even mains lines, 30 dB up on strips 5 to 8. */
  const feed: RoundShared = {
    part: { kind: "supply", name: "supply feed 2", strips: ["5", "6", "7", "8"] },
    paths: ["5/mic", "6/mic", "7/mic", "8/mic"],
    findings: [{ reading: "humEven", deviation: 30, unit: "dBFS", value: -70, expected: -100 }],
    aspect: "hum-even",
    against: "siblings",
    severity: "service",
    probability: 0.99,
  };
  const withLines = (of: Round, isFed: (strip: number) => boolean): Round => ({
    ...of,
    paths: of.paths.map((one) => ({
      ...one,
      readings: { ...one.readings, ...lines(isFed(Number(one.strip)) ? 30 : 0) },
    })),
  });
  const rippling: Round = { ...withLines(base, (strip) => strip > 4), shared: [feed] };
  const good = again([-80.2, -79.8, -80, -80.1, -80, -80]);
  const judgeFeed = (later: Round) => judgeRetest(rippling, later, { notebook: notes(), chosen });

  it("opens where the part is repaired, and takes its share off the paths that were not touched", () => {
    const { gate, sharedFaults } = judgeFeed(withLines(good, () => false));
    expect(sharedFaults).toMatchObject([{ outcome: "mended", difference: 30 }]);
    expect(gate).toStrictEqual({ verdict: "close", reasons: [] });
  });

  it("takes no path for a sibling that could not be used then, whatever was read of it", () => {
    const spoilt = [9, 10, 11, 12, 13].map((k) =>
      path({
        path: `${k}/mic`,
        status: "unusable",
        readings: { humEven: reading(-40, "dBFS", 0.1) },
      }),
    );
    const before: Round = { ...rippling, paths: [...rippling.paths, ...spoilt] };
    const later = withLines(good, () => false);
    const { sharedFaults } = judgeRetest(before, later, { notebook: notes(), chosen });
    expect(sharedFaults).toMatchObject([{ outcome: "mended", difference: 30 }]);
  });

  it("stays shut where the part of a touched strip is as it was", () => {
    const { gate, items } = judgeFeed(withLines(good, (strip) => strip > 4));
    expect(gate.verdict).toBe("do-not-close");
    expect(gate.reasons).toMatchObject([
      { code: "shared-not-mended", shared: { outcome: "unchanged" } },
    ]);
    // The strip's own fault is repaired all the same.
    expect(items).toMatchObject([{ key: "7 noisy-device", outcome: "mended" }]);
  });

  it("calls better at most what such a desk would still be said to have", () => {
    // Held against what is expected of such a desk; the re-test's round shows it by that still.
    const expected: RoundShared = { ...feed, against: "expectation" };
    const of: Round = { ...rippling, shared: [expected] };
    const judgeIt = (shared: readonly RoundShared[]) =>
      judgeRetest(
        of,
        { ...withLines(good, () => false), shared },
        { notebook: notes(), chosen },
      ).sharedFaults?.map(({ outcome }) => outcome);
    expect([judgeIt([]), judgeIt([expected])]).toStrictEqual([["mended"], ["better"]]);
  });

  it("does not ask for a part that no touched strip shares", () => {
    const left: RoundShared = { ...feed, paths: ["1/mic", "2/mic", "3/mic", "4/mic"] };
    const of: Round = { ...withLines(base, (strip) => strip < 5), shared: [left] };
    const later = withLines(good, (strip) => strip < 5);
    expect(judgeRetest(of, later, { notebook: notes(), chosen }).gate.verdict).toBe("close");
  });

  it("stays shut for a shared fault that the earlier round did not have", () => {
    const later: Round = { ...withLines(good, (strip) => strip > 4), shared: [feed] };
    const { gate } = judgeRetest(
      withLines(base, () => false),
      later,
      { notebook: notes(), chosen },
    );
    expect(gate.verdict).toBe("do-not-close");
    expect(gate.reasons).toContainEqual({ code: "shared-fault", fault: feed });
  });

  it("opens for a part that was only to be watched, whatever became of it", () => {
    const watched: Round = { ...rippling, shared: [{ ...feed, severity: "watch" }] };
    const later = withLines(good, (strip) => strip > 4);
    const { gate } = judgeRetest(watched, later, { notebook: notes(), chosen });
    expect(gate.reasons.map(({ code }) => code)).not.toContain("shared-not-mended");
  });

  it("cannot tell where nothing of the part was measured again", () => {
    const { gate } = judgeFeed({
      ...good,
      paths: good.paths.map((one) => ({ ...one, readings: { hiss: one.readings.hiss } })),
    });
    expect(gate.reasons).toContainEqual(
      expect.objectContaining({
        code: "shared-unclear",
        shared: expect.objectContaining({ fault: feed }),
      }),
    );
    expect(gate.verdict).toBe("cannot-tell");
  });

  it("counts the paths that were measured, and names those that were not", () => {
    const [one, ...rest] = good.paths;
    const lost: Round = { ...good, paths: [{ ...one, status: "missing" }, ...rest] };
    const found = judge(lost);
    expect(found.measured).toBe(good.paths.length - 1);
    expect(judge(good).measured).toBe(good.paths.length);
    expect(found.unmeasured).toStrictEqual([one.path]);
    expect(judge(good).unmeasured).toStrictEqual([]);
    expect(found.gate.reasons).toContainEqual(
      expect.objectContaining({ code: "not-measured", paths: [one.path] }),
    );
  });

  it("says nothing about what paths have in common where only one was measured again", () => {
    const only = { ...good, paths: good.paths.filter(({ strip: name }) => name === "7") };
    const found = judge(only);
    expect(found.shared).toStrictEqual([]);
    expect(found.items).toMatchObject([{ key: "7 noisy-device", outcome: "mended" }]);
    expect(found.gate.verdict).toBe("cannot-tell");
  });

  it("holds the gain to a narrower bound where both rounds are calibrated", () => {
    const moved = (of: Round, db: number, more: Partial<Round> = {}): Round => ({
      ...of,
      ...more,
      paths: of.paths.map((one) => ({
        ...one,
        readings: { ...one.readings, gain: reading(db, "dB", 0.05) },
      })),
    });
    const same = { calibration: { sha256: "1", inputs: [] } as never };
    const bound = (more: Partial<Round>) => {
      const after = moved(good, 3, more);
      const { shared } = judgeRetest(moved(base, 0, more), after, { notebook: notes(), chosen });
      return shared.find((one) => one.reading === "gain")?.bound;
    };
    // Without a calibration the interface may have been set otherwise.
    expect(bound(same)).toBeLessThan(bound({}) ?? 0);
  });

  it("counts hum from where the hiss drowns it", () => {
    // Hiss at −80 drowns odd lines at −90: 10·lg(10^−9 + 10^−9.5) = −88.8, and −80.4 for −80.
    const hum = (of: Round, value: number): Round => ({
      ...of,
      paths: of.paths.map((one) => ({
        ...one,
        readings: { ...one.readings, hum: reading(value, "dBFS", 0.1) },
      })),
    });
    const quiet = judgeRetest(hum(base, -105), hum(good, -95), { notebook: notes(), chosen });
    expect(quiet.gate.verdict).toBe("close");
    const loud = judgeRetest(hum(base, -95), hum(good, -80), { notebook: notes(), chosen });
    expect(loud.gate.reasons[0]).toMatchObject({
      code: "shared-worse",
      change: { reading: "hum", bound: 6, standing: "beyond" },
    });
  });
});

describe("retestPaths", () => {
  const desk = parseDesk(
    "name: x\nmains: 50\nstrips: 8\ninputs: { mic: { nominal: -40 } }\nconstruction:\n  parts:\n    card: { strips: [2, 6], minutes: 5, kind: card }\n",
    "desk.yaml",
  );
  const done = (strip: string) => ({ kind: "repair", strip, text: "x", parts: [] });

  it("takes the strips worked on since the round, their neighbours and those on their card", () => {
    const found = listRetestPaths(desk, notes(done("2")), "2031-03-14", [{ strip: "8" }]);
    expect(found).toMatchObject({ touched: ["2"], neighbours: ["1", "3", "6"] });
    expect(found.paths.map((one) => one.path)).toStrictEqual(["1/mic", "2/mic", "3/mic", "6/mic"]);
  });

  it("adds strips that share a faulty part, and others, where the part was worked on", () => {
    const shared = [{ paths: ["1/mic", "2/mic", "3/mic", "4/mic"] }];
    const supply = { kind: "repair", text: "smoothing capacitor of the feed", parts: [] };
    const found = listRetestPaths(desk, notes(supply), "2031-03-14", [], shared);
    expect(found).toMatchObject({ touched: [], worksOnShared: true });
    expect(found.neighbours).toStrictEqual(["1", "3", "4", "5", "6"]);
    // Where the round found none, it may be on what all strips share: both ends and the middle.
    const anywhere = listRetestPaths(desk, notes(supply), "2031-03-14", []);
    expect(anywhere).toMatchObject({ neighbours: ["1", "5", "8"], worksOnShared: true });
    // A strip alone was worked on: the feed is left for another time.
    const strip = listRetestPaths(desk, notes(done("8")), "2031-03-14", [], shared);
    expect(strip.worksOnShared).toBe(false);
  });

  it("adds strips that a section worked on feeds or gathers, and others", () => {
    const fed = parseDesk(
      "name: x\nmains: 50\nstrips: 8\ninputs: { mic: { nominal: -40 } }\nplaces:\n  PSU A: { kind: supply, feeds: 1-4 }\n  rack: { kind: supply, feeds: [PSU A] }\n",
      "desk.yaml",
    );
    const at = (section: string, sectionKind: string) =>
      listRetestPaths(
        fed,
        notes({ kind: "repair", section, sectionKind, text: "x", parts: [] }),
        "2031-03-14",
        [],
      );
    for (const supply of ["PSU A", "rack"]) {
      expect(at(supply, "supply")).toMatchObject({
        touched: [],
        neighbours: ["1", "3", "4", "5", "6"],
        worksOnShared: true,
        sections: [supply],
      });
    }
    // All strips run into the master: its ends and one between.
    expect(at("master", "master").neighbours).toStrictEqual(["1", "5", "8"]);
    expect(at("meters", "meters")).toMatchObject({ paths: [], worksOnShared: false });
  });

  it("follows sections that feed each other in a ring", () => {
    const ring = parseDesk(
      "name: x\nmains: 50\nstrips: 8\ninputs: { mic: { nominal: -40 } }\nplaces:\n  A: { kind: supply, feeds: [B] }\n  B: { kind: supply, feeds: [A, 1-4] }\n",
      "desk.yaml",
    );
    const repaired = notes({
      kind: "repair",
      section: "A",
      sectionKind: "supply",
      text: "x",
      parts: [],
    });
    expect(listRetestPaths(ring, repaired, "2031-03-14", []).neighbours).toStrictEqual([
      ...["1", "3", "4", "5", "6"],
    ]);
  });

  it("takes what came off as touched, whether or not it was repaired", () => {
    const off = (place: object) => ({ kind: "off", what: "mic board", text: "", ...place });
    const found = listRetestPaths(desk, notes(off({ strip: "2" })), "2031-03-14", [{ strip: "8" }]);
    expect(found.touched).toStrictEqual(["2"]);
    const master = listRetestPaths(
      desk,
      notes(off({ section: "master", sectionKind: "master" })),
      "2031-03-14",
      [],
    );
    expect(master).toMatchObject({ sections: ["master"], neighbours: ["1", "5", "8"] });
    // A cover of the desk at large tells nothing of what lies under it.
    expect(listRetestPaths(desk, notes(off({})), "2031-03-14", []).paths).toStrictEqual([]);
  });

  it("takes the sections that the plan has work at where nothing was noted", () => {
    const planned = [{ section: "master", sectionKind: "master" as const }];
    const found = listRetestPaths(desk, notes(), "2031-03-14", planned);
    expect(found).toMatchObject({ sections: ["master"], worksOnShared: true });
    expect(found.neighbours).toStrictEqual(["1", "5", "8"]);
  });

  it("takes what the plan pulls where nothing was noted, and three untouched at least", () => {
    const found = listRetestPaths(desk, notes(done("2")), "2031-04-01", [{ strip: "8" }]);
    expect(found).toMatchObject({ touched: ["8"], neighbours: ["5", "6", "7"] });
  });
});

describe("a re-test of a desk recorded in stereo", () => {
  /** Each path with a right side whose hiss is as given; the left one is healthy. */
  const inStereo = (one: Round, right: readonly number[]): Round => ({
    ...one,
    paths: one.paths.map((each, k): RoundPath => {
      const readings = { hiss: reading(right[k], "dBFS", 0.1) };
      const partner = { side: "right" as const, readings, absent: {}, curves: {} };
      const findings = each.findings.map((finding) => ({ ...finding, side: "right" as const }));
      const own = { hiss: reading(-80, "dBFS", 0.1) };
      return { ...each, readings: own, partner, findings };
    }),
  });
  const before = inStereo(base, [...hiss.slice(0, 6), -67, -80]);
  const judgeRight = (right: readonly number[]) =>
    judgeRetest(before, inStereo(again([-80, -80, -80, -80, -80, -80], 0), right), {
      notebook: notes(hissy),
      chosen,
    });

  it("looks for a fault on the side that showed it", () => {
    const same = judgeRight([-80.2, -79.8, -80, -80.1, -67, -80]);
    expect(same.items).toMatchObject([{ key: "7 noisy-device", outcome: "unchanged" }]);
    expect(same.gate.verdict).toBe("do-not-close");
    const mended = judgeRight([-80.2, -79.8, -80, -80.1, -80, -80]);
    expect(mended.items).toMatchObject([{ key: "7 noisy-device", outcome: "mended" }]);
  });

  it("does not let through what one side of all paths got worse by", () => {
    const found = judgeRight([-68.2, -67.8, -68, -68.1, -68, -68]);
    expect(found.gate.verdict).toBe("do-not-close");
    expect(found.shared).toMatchObject([
      { reading: "hiss", families: ["mic (right side)"], standing: "beyond" },
    ]);
  });

  it("cannot tell where one side was not recorded again", () => {
    const left = again([-80, -80, -80, -80, -80, -80], 0);
    const found = judgeRetest(before, left, { notebook: notes(hissy), chosen });
    expect(found.gate.verdict).toBe("cannot-tell");
    expect(found.gate.reasons).toContainEqual({
      code: "not-measured",
      strips: "touched",
      paths: ["7/mic, right side"],
    });
  });

  it("takes a phase for the same a whole turn away", () => {
    // Sides that are opposite on all paths, at ±180°; strip 7, inverted on one side, was at 0°.
    const turned = (one: Round, degrees: readonly number[]): Round => ({
      ...one,
      paths: one.paths.map((each, k) => {
        const phase = { stereoPhase: reading(degrees[k], "°", 0.2) };
        const findings = each.findings.map((finding) => ({
          ...finding,
          ...{ reading: "stereoPhase", value: -0.1, expected: 180, deviation: 179.9, unit: "°" },
        }));
        return { ...each, readings: { ...each.readings, ...phase }, findings };
      }),
    });
    const then = turned(base, [179.9, -179.8, 180, -179.9, 179.8, -180, -0.1, 179.9]);
    const later = turned(
      again([-80.2, -79.8, -80, -80.1, -80, -80], 0),
      [-179.9, 179.8, -179.9, 180, -179.9, 179.9],
    );
    const found = judgeRetest(then, later, { notebook: notes(hissy), chosen });
    expect(found.items).toMatchObject([{ strip: "7", outcome: "mended" }]);
  });

  it("tells a new fault of a side that was sound", () => {
    const found = judgeRight([-80.2, -79.8, -80, -80.1, -80, -68]);
    expect(found.items.map(({ key, outcome }) => [key, outcome])).toContainEqual([
      "8 new-mic-second",
      "new fault",
    ]);
  });
});

// Expected values: powers added up. Six strips of −80 dBFS give −72.2, with a bus of −78 −71.2, with one
// of −67 among them −66.
describe("strips that were heard together", () => {
  const six = chosen.paths.map((one) => one.path);
  const sum = (value: number, parts: Partial<JudgedSum> = {}): JudgedSum => ({
    paths: six,
    reading: "hiss",
    unit: "dBFS",
    value,
    verdict: "cannot-tell",
    ...parts,
  });
  /** Strips 3 to 8 again, their hiss measured only together. */
  const together = (value: number): Round => {
    const later = again([-80, -80, -80, -80, -80, -80], 0);
    const paths = later.paths.map(
      (one): RoundPath => ({
        ...one,
        readings: {},
        absent: {},
      }),
    );
    return { ...later, paths, sums: [sum(value)] };
  };
  const codes = (retest: Retest) => retest.gate.reasons.map(({ code }) => code);

  it("stop the closing where they give more than they had one by one", () => {
    const found = judge(together(-66));
    expect(found.sums).toMatchObject([{ against: "alone", standing: "beyond" }]);
    expect(found.sums?.[0].expected).toBeCloseTo(-72.2, 1);
    expect(codes(found)).toContain("sum-worse");
    expect(found.gate.verdict).toBe("do-not-close");
    expect(found.items).toMatchObject([{ outcome: "cannot tell" }]);
  });

  it("clear nobody where one of them could be hidden", () => {
    const found = judge(together(-71.2));
    expect(found.sums).toMatchObject([{ standing: "unsure" }]);
    expect(codes(found)).toContain("sum-unsure");
    expect(codes(found)).not.toContain("not-comparable");
    expect(found.gate.verdict).toBe("cannot-tell");
    expect(found.items).toMatchObject([{ outcome: "cannot tell" }]);
  });

  it("are judged by what the same strips gave together before", () => {
    const before = { ...base, sums: [sum(-71.2, { verdict: "sound" })] };
    const judgeBy = (value: number) =>
      judgeRetest(before, together(value), { notebook: notes(), chosen });
    const good = judgeBy(-71);
    expect(good.sums).toMatchObject([{ against: "before", standing: "within" }]);
    // With −67 among them they would give −66: the strip's fault is gone.
    expect(good.items).toMatchObject([{ outcome: "mended" }]);
    expect(codes(good)).not.toContain("sum-unsure");
    const bad = judgeBy(-66);
    expect(bad.sums).toMatchObject([{ standing: "beyond" }]);
    expect(bad.items).toMatchObject([{ outcome: "cannot tell" }]);
  });

  it("are compared with what was expected where they were too loud before", () => {
    const loud = sum(-66, { verdict: "too-high", expected: -71.2, against: "siblings" });
    const before = { ...base, sums: [loud] };
    const standing = (value: number) =>
      judgeRetest(before, together(value), { notebook: notes(), chosen }).sums?.[0].standing;
    expect(standing(-71)).toBe("within");
    expect(standing(-66)).toBe("beyond");
  });
});

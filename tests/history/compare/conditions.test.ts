import { describe, expect, it } from "vitest";
import { assertBaseline, findConditions } from "../../../src/history/compare/conditions.js";
import { pairFirstSides, pairSecondSides } from "../../../src/history/compare/path-pairs.js";
import type { Round, RoundPath } from "../../../src/history/types.js";
import { path, round } from "../rounds-of.js";

// Expected: docs/year-on-year.md, what is not compared, and why.

const then = round("2030-04-02", []);
const now = (more: Partial<Round> = {}): Round => round("2031-04-02", [], more);
const signal = (more: Partial<Round["signal"]>) => now({ signal: { ...then.signal, ...more } });
const refusedOf = (later: Round, ids: readonly string[]) => {
  const { refused } = findConditions(then, later);
  return ids.filter((id) => refused(id) !== undefined);
};
const readings = ["gain", "hiss", "thd", "hum", "cornerLow", "cornerHigh", "polarity"];

describe("findConditions", () => {
  it("has nothing to say about two rounds made alike", () => {
    expect(findConditions(then, now())).toMatchObject({ differences: [], partial: [] });
    expect(refusedOf(now(), readings)).toEqual([]);
  });

  it("names another profile, version and rate, which refuse nothing by themselves", () => {
    const { sampleRate, version } = then.signal;
    for (const later of [
      signal({ profile: "another" }),
      signal({ version: version + 1 }),
      signal({ sampleRate: 2 * sampleRate }),
    ]) {
      expect(findConditions(then, later).differences).toHaveLength(1);
      expect(refusedOf(later, readings)).toEqual([]);
    }
  });

  it("refuses the high corner where the signals end elsewhere", () => {
    expect(refusedOf(signal({ band: "another" }), readings)).toEqual(["cornerHigh"]);
  });

  it("refuses what depends on level where the tones had another", () => {
    const later = signal({ nominalDbfs: then.signal.nominalDbfs - 6 });
    expect(refusedOf(later, readings)).toEqual(["hiss", "thd", "hum"]);
    expect(findConditions(then, later).differences).toHaveLength(1);
  });

  it("refuses hum where the mains have another frequency", () => {
    const later = now({ desk: { ...then.desk, mainsHz: then.desk.mainsHz === 50 ? 60 : 50 } });
    expect(refusedOf(later, readings)).toEqual(["hum"]);
  });

  it("says that a round was played in passes, and what of it is of several strips", () => {
    const take = (channel: number, output?: number) => ({
      take: {
        file: "pass 1.wav",
        channel,
        startSample: 0,
        driftPpm: 0,
        ...(output === undefined ? {} : { output }),
      },
    });
    const sum = { paths: ["1/mic", "2/mic"], reading: "hiss", unit: "dB", value: -80 };
    const of = (day: string, a: object, b: object, more: Partial<Round> = {}) =>
      round(day, [path("1/mic", a), path("2/mic", b)], more);
    const alone = of("2030-04-02", take(0), take(0));
    const passes = of("2031-04-02", take(0, 1), take(0, 2), {
      sums: [{ ...sum, verdict: "sound" }],
    });
    const oneEach = of("2032-04-02", take(0, 1), take(1, 2));
    const turned = of("2033-04-02", take(0, 1), take(0, 2));
    const said = (a: Round, b: Round) => findConditions(a, b).differences;
    expect(said(alone, of("2034-04-02", take(0), take(0)))).toEqual([]);
    expect(said(alone, passes)).toEqual([
      { code: "one-in-passes", round: "2031-04-02-01", together: 2 },
    ]);
    expect(said(alone, oneEach)).toEqual([
      { code: "one-in-passes", round: "2032-04-02-01", together: 0 },
    ]);
    expect(said(passes, oneEach)).toEqual([{ code: "both-in-passes", together: 2, otherWay: 1 }]);
    expect(said(passes, turned)).toEqual([{ code: "both-in-passes", together: 2, otherWay: 0 }]);
    expect(said(oneEach, of("2034-04-02", take(0, 1), take(1, 2)))).toEqual([]);
  });

  it("counts the paths that a partial round was asked for", () => {
    const partial = (wanted: readonly string[]) =>
      findConditions(then, now({ partial: { wanted } })).partial;
    expect(partial(["7/mic"])).toMatchObject([{ code: "partial", paths: 1 }]);
    expect(partial(["7/mic", "8/mic"])).toMatchObject([{ code: "partial", paths: 2 }]);
  });

  it("knows whether both rounds have the very same calibration", () => {
    const calibrated = (sha256: string) => ({ calibration: { sha256 } as Round["calibration"] });
    const of = (a: Partial<Round>, b: Partial<Round>) =>
      findConditions(round("2030-04-02", [], a), now(b)).calibration;
    const none = { calibration: null };
    expect(of(calibrated("a"), calibrated("a"))).toBe("same");
    expect(of(calibrated("a"), calibrated("b"))).toBe("other");
    expect(of(none, calibrated("a"))).toBe("none");
    expect(of(calibrated("a"), none)).toBe("none");
    expect(of(none, none)).toBe("none");
  });
});

describe("assertBaseline", () => {
  it("takes an earlier round, also one of the same day", () => {
    expect(() => assertBaseline(then, now())).not.toThrow();
    expect(() => assertBaseline(now(), now({ id: "2031-04-02-02" }))).not.toThrow();
  });

  it("refuses the same round, and a later one", () => {
    expect(() => assertBaseline(now(), now())).toThrow(/its own baseline/);
    expect(() => assertBaseline(now(), then)).toThrow(/later/);
    expect(() => assertBaseline(now({ id: "2031-04-02-02" }), now())).toThrow(/later/);
  });
});

describe("pairs of sides", () => {
  const side = (name: "left" | "right"): Partial<RoundPath> => ({
    partner: { side: name, channel: 1, readings: {}, absent: {}, curves: {} } as never,
  });
  const paths = (more: Partial<RoundPath>, status: RoundPath["status"] = "measured") => [
    path("1/mic", { ...more, status } as never),
  ];
  const earlier = (more: Partial<RoundPath>, status: RoundPath["status"] = "measured") =>
    new Map(paths(more, status).map((one) => [one.path, one]));

  it("are those that both rounds have measured", () => {
    expect(pairFirstSides(earlier({}), paths({}))).toMatchObject([
      { path: "1/mic", family: "mic" },
    ]);
    expect(pairFirstSides(earlier({}, "missing"), paths({}))).toEqual([]);
    expect(pairFirstSides(earlier({}), paths({}, "unusable"))).toEqual([]);
    expect(pairFirstSides(new Map(), paths({}))).toEqual([]);
  });

  it("second sides are siblings of second sides, the same one in both rounds", () => {
    expect(pairSecondSides(earlier(side("right")), paths(side("right")))).toMatchObject([
      { path: "1/mic", family: "mic (right side)" },
    ]);
    expect(pairSecondSides(earlier(side("left")), paths(side("right")))).toEqual([]);
    expect(pairSecondSides(earlier({}), paths(side("right")))).toEqual([]);
    expect(pairSecondSides(earlier(side("right")), paths({}))).toEqual([]);
  });
});

describe("rounds of which one is calibrated", () => {
  const noise = (value: number) => ({ noise: { value, unit: "dBFS", uncertainty: 0.1 } });
  const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
  const input = { channel: 0, returns: 1, readings: noise(-100), curves: {} };
  const calibration = { inputs: [input] } as unknown as Round["calibration"];
  /** Whose noise is 5 dB above the interface's own. */
  const paths = [path("1/mic", { take, readings: noise(-95) })];
  const refusal = (earlier: Round["calibration"], later: Round["calibration"]) =>
    findConditions(
      round("2030-04-02", paths, { calibration: earlier }),
      round("2031-04-02", paths, { calibration: later }),
    ).refused("noise");

  it("refuse what is near the interface's own in the other, whichever it is", () => {
    expect(refusal(null, calibration)).toEqual({ code: "interface-share" });
    expect(refusal(calibration, null)).toEqual({ code: "interface-share" });
  });

  it("refuse nothing for it where both are, or neither is", () => {
    expect(refusal(calibration, calibration)).toBeUndefined();
    expect(refusal(null, null)).toBeUndefined();
  });
});

it("refuses curves as well as readings where the tones had another level", () => {
  const later = signal({ nominalDbfs: then.signal.nominalDbfs - 6 });
  expect(refusedOf(later, ["response", "noise", "harmonic2", "unknown"])).toEqual([
    "noise",
    "harmonic2",
  ]);
  expect(refusedOf(now(), ["unknown"])).toEqual([]);
  expect(refusedOf(signal({ band: "another" }), ["unknown"])).toEqual([]);
});

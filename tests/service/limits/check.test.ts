import { describe, expect, it } from "vitest";
import type { Round } from "../../../src/history/types.js";
import { type WordedCheck, wordCheck } from "../../../src/report/check/word-check.js";
import { listBuiltInLimits } from "../../../src/service/limits/built-in.js";
import { type CheckInput, checkRound as judgeRound } from "../../../src/service/limits/check.js";
import type { LeftAlone } from "../../../src/service/notebook/left-alone.js";
import { limit, limits, path, reading, response, round } from "./rounds.js";

/** A check with its words: what it left out is told as it will be read. */
async function checkRound(input: CheckInput): Promise<WordedCheck> {
  return wordCheck(await judgeRound(input));
}

/** Paths 1/mic, 2/mic, … with the given gains, decibels. */
function gains(...values: readonly number[]) {
  return values.map((value, k) =>
    path({ path: `${k + 1}/mic`, readings: { gain: reading(value) } }),
  );
}

async function check(
  of: Round,
  lines: string,
  parts: { readonly baseline?: Round; readonly undecided?: "pass" | "fail" } = {},
): Promise<WordedCheck> {
  const { baseline, undecided = "fail" } = parts;
  return checkRound({
    round: of,
    limits: limits(lines, baseline === undefined ? "none" : "named"),
    undecided,
    ...(baseline === undefined ? {} : { baseline }),
  });
}

const verdicts = ({ paths }: WordedCheck) => paths.map(({ verdict }) => verdict);

describe("a check", () => {
  it("passes or fails every path, and the strips with them", async () => {
    const found = await check(round(gains(0, 3, 0.95)), "  a: gain <= 1 dB\n");
    expect(verdicts(found)).toStrictEqual(["pass", "fail", "undecided"]);
    expect(found.strips.map(({ counts }) => counts)).toStrictEqual(["pass", "fail", "fail"]);
    expect(found.verdict).toBe("fail");
    expect(found.paths[1].checks).toStrictEqual([
      {
        limit: "a",
        reading: "gain",
        verdict: "fail",
        quantity: "gain",
        judged: { code: "figure", name: "gain" },
        value: 3,
        relation: "<=",
        bound: 1,
        unit: "dB",
        uncertainty: 0.1,
        slack: -2,
      },
    ]);
  });

  it("is incomplete before it is undecided, unless what is undecided counts as failing", async () => {
    const lines = "  a: gain <= 1 dB\n  b: thd <= -60 dB\n";
    const of = round([
      path({ path: "1/mic", readings: { gain: reading(0.95) }, absent: { thd: "no tone" } }),
      path({ path: "2/mic", readings: { gain: reading(0), thd: reading(-70) } }),
    ]);
    expect(verdicts(await check(of, lines, { undecided: "pass" }))).toStrictEqual([
      "incomplete",
      "pass",
    ]);
    expect(verdicts(await check(of, lines, { undecided: "fail" }))).toStrictEqual([
      "undecided",
      "pass",
    ]);
  });

  it("passes no strip of several that gave too much together, until it is known which", async () => {
    const sum = { paths: ["1/mic", "2/mic"], unit: "dB", value: -70, expected: -88 };
    const high = { ...sum, reading: "hiss", verdict: "too-high" } as const;
    const of = (sums: Round["sums"]) => ({ ...round(gains(0, 0, 0)), ...(sums ? { sums } : {}) });
    const found = await check(of([high]), "  a: gain <= 1 dB\n");
    expect(verdicts(found)).toStrictEqual(["incomplete", "incomplete", "pass"]);
    expect(found.verdict).toBe("incomplete");
    expect(found.paths[0].reason).toBe(
      "hiss of 2 strips together is 18.0 dB too high (deskround halve)",
    );
    const sound = await check(of([{ ...high, verdict: "sound" }]), "  a: gain <= 1 dB\n");
    expect(sound.verdict).toBe("pass");
    const failing = await check({ ...round(gains(3, 0, 0)), sums: [high] }, "  a: gain <= 1 dB\n");
    expect(verdicts(failing)).toStrictEqual(["fail", "incomplete", "pass"]);
  });

  it("takes a limit in dBFS to dBu by the full scale of each path's own input", async () => {
    const take = { file: "a.wav", startSample: 0, driftPpm: 0 };
    const at = (name: string, channel: number) =>
      path({
        path: name,
        take: { ...take, channel },
        readings: { noiseA: reading(-72, "dBu") },
      });
    const inputs = [22, 18].map((value, channel) => ({
      channel,
      fullScale: reading(value, "dBu", 0.09),
    }));
    const calibration = { inputs } as unknown as NonNullable<Round["calibration"]>;
    const of = { ...round([at("1/mic", 0), at("2/mic", 1), at("3/mic", 2)]), calibration };
    const found = await check(of, "  a: noiseA <= -93 dBFS\n");
    // -93 dBFS is -71 dBu where 0 dBFS is 22 dBu, and -75 dBu where it is 18.
    expect(found.paths.map(({ checks: [one] }) => one?.bound)).toStrictEqual([-71, -75, undefined]);
    expect(verdicts(found).slice(0, 2)).toStrictEqual(["pass", "fail"]);
    // Full scale of the third input is not known; a round without a calibration knows none.
    expect(verdicts(found)[2]).not.toBe("pass");
    await expect(check(round([at("1/mic", 0)]), "  a: noiseA <= -93 dBFS\n")).rejects.toThrow(
      /cannot be compared/,
    );
  });

  it("names the path's own figure as what it judges, wherever it stands", async () => {
    const both = { gain: reading(0), thd: reading(-80) };
    const of = round([1, 2, 3].map((k) => path({ path: `${k}/mic`, readings: both })));
    const found = await check(of, "  a: siblings(thd) + 90 dB >= gain\n");
    expect(found.paths[0].checks[0]).toMatchObject({ reading: "gain", verdict: "pass" });
  });

  it("counts what is undecided as it is told to", async () => {
    const found = await check(round(gains(0, 0.95)), "  a: gain <= 1 dB\n", { undecided: "pass" });
    expect(verdicts(found)).toStrictEqual(["pass", "undecided"]);
    expect(found.verdict).toBe("pass");
  });

  it("counts a shared fault by its severity, or by the paths that fail with it", async () => {
    const fault = (severity: "watch" | "service", ...paths: string[]) =>
      ({ part: { kind: "mains" }, paths, findings: [], aspect: "hum-odd", severity }) as unknown;
    const shared = [
      fault("service", "1/mic", "2/mic"),
      fault("watch", "1/mic", "2/mic"),
      fault("watch", "2/mic", "3/mic", "4/mic"),
    ] as Round["shared"];
    const of = { ...round(gains(0, 3, 0, 0)), ...(shared === undefined ? {} : { shared }) };
    const counts = async (undecided: "pass" | "fail") =>
      (await check(of, "  a: gain <= 1 dB\n", { undecided })).shared?.map((one) => one.counts);
    // One of two fails, half of them; one of three does not make a fault of all.
    expect(await counts("pass")).toStrictEqual(["fail", "fail", "pass"]);
    expect(await counts("fail")).toStrictEqual(["fail", "fail", "fail"]);
    // Two of four are half; where none of its paths was judged none has failed.
    const more = [
      fault("watch", "1/mic", "2/mic", "3/mic", "4/mic"),
      fault("watch", "9/mic"),
    ] as NonNullable<Round["shared"]>;
    const two = await check({ ...round(gains(0, 3, 3, 0)), shared: more }, "  a: gain <= 1 dB\n", {
      undecided: "pass",
    });
    expect(two.shared?.map((one) => one.counts)).toStrictEqual(["fail", "pass"]);
  });

  it("calls a strip by the worst of its paths", async () => {
    const of = round([
      path({ path: "1/mic", readings: { gain: reading(0) } }),
      path({ path: "1/line", readings: { gain: reading(5) } }),
      path({ path: "2/mic", readings: { gain: reading(0) } }),
      path({ path: "2/line", status: "missing", reason: "no return was assigned to it" }),
    ]);
    const found = await check(of, "  a: gain <= 1 dB\n");
    expect(found.strips).toStrictEqual([
      { strip: "1", counts: "fail", paths: ["1/mic", "1/line"] },
      { strip: "2", counts: "incomplete", paths: ["2/mic", "2/line"] },
    ]);
  });

  it("judges by the limits that are for a path only", async () => {
    const of = round([...gains(0, 3), path({ path: "1/line", readings: { gain: reading(3) } })]);
    const text =
      "  a:\n    limit: gain <= 1 dB\n    for: mic\n    except: 2/MIC\n  b: gain <= 9 dB\n";
    const found = await check(of, text);
    expect(verdicts(found)).toStrictEqual(["pass", "pass", "pass"]);
    expect(found.limits.map(({ paths }) => paths)).toStrictEqual([1, 3]);
  });

  it("leaves out what no limit is for, and says so", async () => {
    const of = round([...gains(0), path({ path: "1/line", status: "missing" })]);
    const text =
      "  a:\n    limit: gain <= 1 dB\n    for: mic\n  b:\n    limit: gain <= 1 dB\n    for: mic\n    except: 1\n";
    const found = await check(of, text);
    expect(found.paths.map(({ path: name }) => name)).toStrictEqual(["1/mic"]);
    expect(found.verdict).toBe("pass");
    expect(found.notes).toStrictEqual([
      "The limit b applies to no path.",
      "No limit applies to 1/line.",
    ]);
  });

  it.each([
    [
      "13",
      '"13" is not a strip, an input, a family or a path of the round. | Inputs: mic; paths such as 1/mic.',
    ],
    ["1-13", '"1-13": the round has no strip "3".'],
    ["mik", "Did you mean mic?"],
    ["2/mik", "Did you mean 2/mic?"],
  ])("refuses a limit for %s, which the round has not", async (name, told) => {
    const text = `  a:\n    limit: gain <= 1 dB\n    for: ${name}\n`;
    await expect(
      check(round(gains(0, 0)), text).catch(({ message, hint }) => `${message} | ${hint}`),
    ).resolves.toContain(told);
  });

  it("refuses a name that is a strip and an input at once", async () => {
    const of = round([path({ path: "tape/mic" }), path({ path: "1/tape" })]);
    const text = "  a:\n    limit: gain <= 1 dB\n    for: tape\n";
    await expect(check(of, text)).rejects.toThrow('"tape" is both a strip and an input here.');
  });
});

describe("limits against siblings", () => {
  it("compare with the median of the measured family, as the reports do", async () => {
    const of = round(gains(0, 0.2, 0.4, 5));
    const found = await check(of, "  a: gain <= siblings(gain) + 1 dB\n");
    // Median of 0, 0.2, 0.4, 5: 0.3.
    expect(found.paths[3].checks[0]).toMatchObject({ verdict: "fail", value: 5, bound: 1.3 });
    // The median's own doubt is that of its two middle values: √(0.1² + 0.1²)/2.
    expect(found.paths[3].checks[0]?.uncertainty).toBeCloseTo(Math.hypot(0.1, 0.0707), 3);
  });

  it("leave a family alone to which they do not apply", async () => {
    const line = path({ path: "1/line", readings: { gain: reading(40) } });
    const found = await check(
      round([...gains(0, 0, 0), line]),
      "  a: gain <= siblings(gain) + 1 dB\n",
    );
    expect(verdicts(found)).toStrictEqual(["pass", "pass", "pass", "incomplete"]);
    expect(found.paths[3].reason).toBe("no siblings(gain): fewer than 3 siblings have it");
  });

  it("hold at every point of a curve, and tell the worst", async () => {
    const flat = [0, 0, 0, 0, 0];
    const curves = [flat, flat, flat, [-4, -1.2, 0, 0, 0]];
    const of = round(
      curves.map((y, k) => path({ path: `${k + 1}/mic`, curves: { response: response(y) } })),
    );
    const band = "response(20 Hz, 20 kHz)";
    const found = await check(of, `  a: abs(${band} - siblings(${band})) <= 1 dB\n`);
    expect(verdicts(found)).toStrictEqual(["pass", "pass", "pass", "fail"]);
    expect(found.paths[3].checks[0]).toMatchObject({ value: 4, bound: 1, atHz: 20 });
    const narrow = band.replace("20 Hz", "100 Hz");
    const inside = await check(of, `  a: abs(${narrow} - siblings(${narrow})) <= 1 dB\n`);
    expect(inside.paths[3].checks[0]).toMatchObject({ value: 1.2, atHz: 100 });
  });

  it("read a curve between its points on a logarithmic scale", async () => {
    const of = round([path({ path: "1/mic", curves: { response: response([-4, 0, 0, 0, 0]) } })]);
    const hz = Math.sqrt(20 * 100);
    const found = await check(of, `  a: response(${hz} Hz) >= -9 dB\n`);
    expect(found.paths[0].checks[0]?.value).toBeCloseTo(-2, 6);
    const beyond = await check(of, "  a: response(30 kHz) >= -9 dB\n");
    expect(beyond.paths[0].reason).toBe("no response: its curve runs from 20 to 20000 Hz only");
    const wide = await check(of, "  a: response(20 Hz, 40 kHz) >= -9 dB\n");
    expect(wide.paths[0].reason).toBe("its curve runs from 20 to 20000 Hz only");
  });
});

describe("limits against a baseline", () => {
  it("compare a path with itself", async () => {
    const before = round(gains(0, 3, 0), "2030-01-01-01");
    const found = await check(round(gains(0, 3, 3)), "  a: abs(gain - baseline(gain)) <= 1 dB\n", {
      baseline: before,
    });
    expect(verdicts(found)).toStrictEqual(["pass", "pass", "fail"]);
    expect(found.baseline).toBe("2030-01-01-01");
  });

  it("are incomplete where the baseline has no such path", async () => {
    const before = round(gains(0), "2030-01-01-01");
    const found = await check(round(gains(0, 0)), "  a: gain <= baseline(gain) + 1 dB\n", {
      baseline: before,
    });
    expect(found.paths[1]).toMatchObject({
      verdict: "incomplete",
      reason: "no baseline(gain): it is not in the baseline round",
    });
  });
});

describe("a path that was out of line in the baseline round", () => {
  const was = { thd: reading(-100), gain: reading(0), noiseA: reading(-90) };
  const is = { ...was, thd: reading(-80) };
  const ill = {
    reading: "gain",
    against: "siblings",
    value: -6,
    expected: 0,
    deviation: -6,
    unit: "dB",
    score: -20,
    severity: "service",
    words: "gain 6 dB below siblings",
  } as const;
  const now = round(["1/mic", "2/mic"].map((one) => path({ path: one, readings: is })));
  const before = round(
    [
      path({ path: "1/mic", readings: was, findings: [ill] }),
      path({ path: "2/mic", readings: was }),
    ],
    "2030-01-01-01",
  );

  it("is not held to what it read then by the built-in limits, and that is said", async () => {
    const limits = listBuiltInLimits("named");
    const found = await checkRound({ round: now, baseline: before, limits, undecided: "fail" });
    const kept = found.paths.map(({ checks }) => checks.some(({ limit }) => limit === "thd-kept"));
    expect(kept).toStrictEqual([false, true]);
    expect(found.notes).toContain(
      "1/mic was out of line in the baseline round: the built-in limits do not compare it with what it read then.",
    );
  });

  it("is held to it by a limit of one's own", async () => {
    const found = await check(now, "  a: thd <= baseline(thd) + 10 dB\n", { baseline: before });
    expect(verdicts(found)).toStrictEqual(["fail", "fail"]);
  });
});

describe("a baseline that is calibrated otherwise", () => {
  const before: Round = {
    ...round(gains(0, 0, 0), "2030-01-01-01"),
    calibration: {} as Round["calibration"],
  };

  it("has gains of another kind, and a limit on them is refused", async () => {
    const text = "  a: abs(gain - baseline(gain)) <= 1 dB\n";
    await expect(check(round(gains(0)), text, { baseline: before })).rejects.toThrow(
      "one of the rounds is calibrated and the other is not",
    );
  });

  it("is not a reason to refuse the built-in limits: those it spoils are named", async () => {
    const found = await checkRound({
      round: round(gains(0, 0, 0)),
      baseline: before,
      limits: listBuiltInLimits("named"),
      undecided: "fail",
    });
    expect(found.verdict).toBe("pass");
    expect(found.notes[0]).toMatch(/^Not judged: built-in limit noiseA-kept: /);
  });
});

describe("what was not measured", () => {
  it("is incomplete, with the reason", async () => {
    const of = round([
      path({ path: "1/mic", status: "missing", reason: "no return was assigned to it" }),
      path({ path: "2/mic", status: "unusable" }),
      path({ path: "3/mic", absent: { gain: "the tone did not come back" } }),
      path({ path: "4/mic" }),
    ]);
    const found = await check(of, "  a: gain <= 1 dB\n");
    expect(found.paths.map(({ verdict, reason }) => `${verdict}: ${reason}`)).toStrictEqual([
      "incomplete: missing: no return was assigned to it",
      "incomplete: unusable",
      "incomplete: no gain: the tone did not come back",
      "incomplete: no gain: the signal of this round does not provide it",
    ]);
    expect(found.verdict).toBe("incomplete");
  });

  it("does not hide a failure", async () => {
    const of = round([path({ path: "1/mic", readings: { gain: reading(9) } })]);
    const found = await check(of, "  a: gain <= 1 dB\n  b: hum <= -80 dBFS\n");
    expect(verdicts(found)).toStrictEqual(["fail"]);
  });

  it("is not a failure of a built-in limit that the whole round cannot answer", async () => {
    const found = await checkRound({
      round: round(gains(0, 0, 0)),
      limits: listBuiltInLimits("none"),
      undecided: "fail",
    });
    expect(verdicts(found)).toStrictEqual(["pass", "pass", "pass"]);
    expect(found.notes).toContainEqual(
      expect.stringMatching(
        /^Not judged for mic by .*thd-alike.*: the signal of this round does not provide it\.$/,
      ),
    );
  });

  it("is never a pass: a path without a single judged limit is incomplete", async () => {
    const found = await checkRound({
      round: round(gains(0, 0)),
      limits: listBuiltInLimits("none"),
      undecided: "fail",
    });
    expect(found.paths[0].reason).toBe("no limit could be judged");
    expect(found.verdict).toBe("incomplete");
    const nothing = await checkRound({
      round: round([]),
      limits: listBuiltInLimits("none"),
      undecided: "fail",
    });
    expect(nothing.verdict).toBe("incomplete");
  });
});

describe("a check of a desk recorded in stereo", () => {
  const stereo = (left: readonly number[], right: readonly number[]) =>
    gains(...left).map((one, k) => ({
      ...one,
      readings: { ...one.readings, balance: reading(0.2) },
      partner: {
        side: "right" as const,
        readings: { gain: reading(right[k]) },
        absent: {},
        curves: {},
      },
    }));

  it("fails a path by either side", async () => {
    const found = await check(round(stereo([0, 0, 0], [0, 3, 0])), "  a: gain <= 1 dB\n");
    expect(found.verdict).toBe("fail");
    expect(found.paths.map(({ path: name, verdict }) => [name, verdict])).toStrictEqual([
      ["1/mic", "pass"],
      ["1/mic, right side", "pass"],
      ["2/mic", "pass"],
      ["2/mic, right side", "fail"],
      ["3/mic", "pass"],
      ["3/mic, right side", "pass"],
    ]);
    expect(found.strips.map(({ counts }) => counts)).toStrictEqual(["pass", "fail", "pass"]);
  });

  it("asks one side alone for what belongs to both", async () => {
    const found = await check(round(stereo([0, 0, 0], [0, 0, 0])), "  b: balance <= 1 dB\n");
    expect(found.verdict).toBe("pass");
    expect(found.limits[0].paths).toBe(3);
  });

  it("holds a limit for a path to both of its sides", async () => {
    const found = await check(
      round(stereo([0, 0, 0], [0, 3, 0])),
      "  a: { limit: gain <= 1 dB, for: [2/mic] }\n",
    );
    expect(found.verdict).toBe("fail");
  });
});

describe("a check as data", () => {
  const judgeBy = (of: Round, lines: string, more: Partial<CheckInput> = {}) =>
    judgeRound({ round: of, limits: limits(lines), undecided: "fail", ...more });

  it("has no key of what there is nothing of", async () => {
    const found = await judgeBy(round(gains(0)), "  a: gain <= 1 dB\n");
    expect(found.notes).toStrictEqual([]);
    expect(found).not.toHaveProperty("shared");
    expect(found).not.toHaveProperty("baseline");
    expect(found.paths[0]).not.toHaveProperty("reason");
    expect(found.paths[0]).not.toHaveProperty("absences");
    expect(found.limits).toStrictEqual([
      { name: "a", expression: "gain <= 1 dB", from: "file", paths: 1 },
    ]);
    const [why] = (
      await judgeRound({
        round: round(gains(0)),
        limits: [limit("gain <= 1 dB", { why: "so it was sold" })],
        undecided: "fail",
      })
    ).limits;
    expect(why).toMatchObject({ why: "so it was sold" });
    const absences = { thd: { code: "no-tone" } } as never;
    const kept = await judgeBy(round([{ ...gains(0)[0], absences }]), "  a: gain <= 1 dB\n");
    expect(kept.paths[0].absences).toBe(absences);
  });

  it("judges nothing of a path that was not measured, whatever was read of it", async () => {
    const lost = { ...gains(0, 5)[1], status: "unusable" as const };
    const sums = [
      { paths: ["2/mic"], reading: "hiss", unit: "dB", value: -70, verdict: "too-high" as const },
    ];
    const found = await judgeBy({ ...round([gains(0)[0], lost]), sums }, "  a: gain <= 1 dB\n");
    expect(found.paths.map(({ checks }) => checks.length)).toStrictEqual([1, 0]);
    expect(found.paths[1].verdict).toBe("incomplete");
  });

  it("fails a shared fault that wants service where no path fails", async () => {
    const fault = (severity: string) =>
      ({ part: { kind: "mains" }, paths: ["1/mic"], findings: [], severity }) as never;
    const shared = [fault("service"), fault("watch")];
    const found = await judgeBy({ ...round(gains(0)), shared }, "  a: gain <= 1 dB\n");
    expect(found.shared?.map(({ verdict }) => verdict)).toStrictEqual(["fail", "undecided"]);
  });

  it("tells a limit of two sides by the one that is worse, or nearer", async () => {
    const worst = async (gain: number, text = "-1 dB <= gain <= 1 dB") => {
      const found = await judgeBy(round(gains(gain)), `  a: ${text}\n`);
      const [{ verdict, slack, bound }] = found.paths[0].checks;
      return [verdict, slack, bound];
    };
    expect(await worst(5)).toStrictEqual(["fail", -4, 1]);
    expect(await worst(-5)).toStrictEqual(["fail", -4, -1]);
    expect(await worst(0.5)).toStrictEqual(["pass", 0.5, 1]);
    expect(await worst(-0.5)).toStrictEqual(["pass", 0.5, -1]);
    expect(await worst(0)).toStrictEqual(["pass", 1, -1]);
    expect(await worst(0.95)).toStrictEqual(["undecided", 0.05, 1]);
    expect(await worst(-0.95)).toStrictEqual(["undecided", 0.05, -1]);
    // 0.95 ± 0.1 is at the one and beyond the other: what fails counts, whichever is first.
    expect(await worst(0.95, "1 dB <= gain <= 0.5 dB")).toStrictEqual(["fail", -0.45, 0.5]);
    expect(await worst(0.95, "1.5 dB <= gain <= 1 dB")).toStrictEqual(["fail", -0.55, 1.5]);
  });

  it("fails nothing that was accepted, of that path and reading, for as long as it was", async () => {
    const of = round(gains(0, 3, 0.95, 5));
    const accepted = (more: object = {}, finding: object = {}) =>
      ({
        path: "2/mic",
        note: "n1",
        state: "holds",
        line: { findings: [{ path: "2/mic", reading: "gain", ...finding }] },
        findings: [],
        ...more,
      }) as unknown as LeftAlone;
    const by = async (...leftAlone: readonly LeftAlone[]) => {
      const { paths } = await judgeBy(of, "  a: gain <= 1 dB\n", { leftAlone });
      return paths.map(({ verdict }) => verdict);
    };
    const usual = ["pass", "fail", "undecided", "fail"];
    expect(await by()).toStrictEqual(usual);
    expect(await by(accepted())).toStrictEqual(["pass", "pass", "undecided", "fail"]);
    expect(await by(accepted({ state: "more" }))).toStrictEqual([
      "pass",
      "pass",
      "undecided",
      "fail",
    ]);
    expect(await by(accepted({ path: "3/mic" }, { path: "3/mic" }))).toStrictEqual([
      ...["pass", "fail", "pass", "fail"],
    ]);
    expect(await by(accepted({ state: "over" }))).toStrictEqual(usual);
    expect(await by(accepted({}, { reading: "thd" }))).toStrictEqual(usual);
    expect(await by(accepted({}, { path: "4/mic" }))).toStrictEqual(usual);
    expect(await by(accepted({ path: "4/mic" }))).toStrictEqual(usual);
    // One of its findings is enough.
    const two = [
      { path: "2/mic", reading: "thd" },
      { path: "2/mic", reading: "gain" },
    ];
    expect(await by(accepted({ line: { findings: two } }))).toStrictEqual([
      ...["pass", "pass", "undecided", "fail"],
    ]);
    expect(
      (await judgeBy(of, "  a: gain <= 1 dB\n", { leftAlone: [accepted()] })).notes,
    ).toStrictEqual([{ code: "left-alone", oddity: accepted() }]);
  });
});

describe("the built-in limits", () => {
  const all = { gain: reading(0), thd: reading(-90), hum: reading(-90, "dBFS") };
  const { thd: _, ...less } = all;
  const strips = (...readings: readonly (typeof less)[]) =>
    readings.map((own, k) => path({ path: `${k + 1}/mic`, readings: own }));
  const judgeBy = (of: Round, baseline?: Round) =>
    judgeRound({
      round: of,
      limits: listBuiltInLimits(baseline === undefined ? "none" : "named"),
      undecided: "fail",
      ...(baseline && { baseline }),
    });

  it("are incomplete where one path lacks what others have", async () => {
    const found = await judgeBy(round(strips(less, all, all, all)));
    expect(found.paths.map(({ verdict }) => verdict)).toStrictEqual([
      ...["incomplete", "pass", "pass", "pass"],
    ]);
    expect(found.paths[0].checks.filter(({ verdict }) => verdict === "incomplete")).toMatchObject([
      { limit: "thd-alike", reading: "thd", lacking: "thd" },
    ]);
    expect(found.notes.flatMap((note) => ("limits" in note ? note.limits : []))).not.toContain(
      "thd-alike",
    );
    const curves = { response: response([0, 0, 0, 0, 0]) };
    const some = round(strips(all, all, all, all).map((one, k) => (k ? { ...one, curves } : one)));
    const lacking = (await judgeBy(some)).paths[0].checks.filter(({ lack }) => lack !== undefined);
    expect(lacking.map((one) => one.limit)).toStrictEqual(["response-alike", "band"]);
  });

  it("are left out for a family too small to have siblings, and named together", async () => {
    const { notes, paths } = await judgeBy(round(strips(all, all)));
    const lack = notes.find(
      (note) => note.code === "left-out" && note.limits.includes("gain-alike"),
    );
    expect(lack).toMatchObject({ families: ["mic"] });
    expect(lack && "limits" in lack && lack.limits).toStrictEqual([
      ...["gain-alike", "thd-alike", "hum-alike"],
    ]);
    expect(lack).not.toHaveProperty("lacking");
    expect(paths.flatMap(({ checks }) => checks)).toStrictEqual([]);
    // A limit that lacks something by itself says what.
    const alone = await judgeRound({
      round: round(strips(all, all)),
      limits: listBuiltInLimits("none").filter(({ name }) => name === "polarity-alike"),
      undecided: "fail",
    });
    expect(alone.notes).toMatchObject([{ limits: ["polarity-alike"], lacking: "polarity" }]);
  });

  it("hold a path to its baseline where that was only to be watched, and to its siblings always", async () => {
    const watched = (severity: string) =>
      round(
        strips(all, all, all).map((one, k) =>
          k === 0 ? { ...one, findings: [{ reading: "gain", severity }] as never } : one,
        ),
        "2030-01-01-01",
      );
    const kept = async (severity: string) => {
      const found = await judgeBy(round(strips(all, all, all)), watched(severity));
      const [{ checks }] = found.paths;
      const has = (name: string) => checks.some((one) => one.limit === name);
      return [has("thd-kept"), has("thd-alike"), found.notes.some(({ code }) => code === "spared")];
    };
    expect(await kept("service")).toStrictEqual([false, true, true]);
    expect(await kept("watch")).toStrictEqual([true, true, false]);
    expect(await kept("remark")).toStrictEqual([true, true, false]);
  });
});

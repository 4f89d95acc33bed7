import { describe, expect, it } from "vitest";
import type { CauseKind } from "../../../src/diagnose/cause-kind.js";
import { causeKinds, describeCause, findCause } from "../../../src/diagnose/causes.js";
import { applyChecks } from "../../../src/diagnose/checks/apply-checks.js";
import { checkKinds } from "../../../src/diagnose/checks/check-kinds.js";
import { chooseCheck, expectMinutes } from "../../../src/diagnose/checks/choose-check.js";
import { computeGoneShare } from "../../../src/diagnose/checks/compute-gone-share.js";
import type { Cause } from "../../../src/diagnose/types.js";
import { formatEvidence } from "../../../src/report/evidence/format-evidence.js";

// Expected values are worked out by hand from the definition of the expected cost of repair in
// D. Heckerman, J. S. Breese, K. Rommelse, "Decision-theoretic troubleshooting", Commun. ACM 38(3),
// 1995, and from the minutes and answers that the causes' own files state.

const cause = (id: string, probability: number): Cause => {
  const kind = findCause(id);
  if (!kind) throw new Error(`no cause ${id}`);
  return { ...describeCause(kind), probability, evidence: [] };
};
const suspect = (id: string, probability: number, minutes: number) => ({
  kind: findCause(id) as CauseKind,
  probability,
  minutes,
});
const desk = { pullMinutes: 20 };
const minutesOf = (id: string) => findCause(id)?.bench?.minutes;

describe("the expected minutes of a search", () => {
  it("tries what pays best first, and takes the strip out once", () => {
    // Order by p/c: 0.8/35 before 0.2/30. 20 + 35 = 55, then 85: 0.8 × 55 + 0.2 × 85 = 61.
    const two = [suspect("noisy-device", 0.2, 30), suspect("dried-coupling-capacitor", 0.8, 35)];
    expect(expectMinutes(two, 20)).toBeCloseTo(61, 9);
  });

  it("tries a setting before the strip is out where that is shorter", () => {
    // 3, then 3 + 20 + 35 = 58: 0.5 × 3 + 0.5 × 58 = 30.5; the other way round 56.5.
    const two = [suspect("low-cut-left-in", 0.5, 3), suspect("dried-coupling-capacitor", 0.5, 35)];
    expect(expectMinutes(two, 20)).toBeCloseTo(30.5, 9);
    const isLast = ({ kind }: { kind: CauseKind }) => kind.kind === "setting";
    expect(expectMinutes(two, 20, isLast)).toBeCloseTo(56.5, 9);
  });
});

describe("a control that changes nothing", () => {
  // The idle check names the cause of which it is a sign; 0.7 is the share that its file states.
  it.each([
    ["low-cut", "dirty-contact"],
    ["pad", "dirty-contact"],
    ["gain-down", "worn-gain-control"],
    ["bands", "equaliser-band-faulty"],
    ["pan", "send-or-pan-faulty"],
  ] as const)("of %s is %s itself", (check, id) => {
    const idle = { check, outcome: "idle", source: "n1" } as const;
    expect(applyChecks([], [idle])).toMatchObject([{ cause: id, probability: 0.7 }]);
    const others = applyChecks([cause("dried-coupling-capacitor", 0.6)], [idle]);
    expect(others.map((one) => one.cause)).toEqual([id, "dried-coupling-capacitor"]);
  });
});

describe("the check that pays best", () => {
  it("names of each outcome the likeliest cause first, in whatever order they come", () => {
    // Stays, of 0.6 and 0.4: 0.6 × 0.05 = 0.03 against 0.4 × 0.97 = 0.388, told from 0.05 on.
    const next = chooseCheck(
      [cause("low-cut-left-in", 0.6), cause("dried-coupling-capacitor", 0.4)],
      desk,
    );
    const turned = chooseCheck(
      [cause("dried-coupling-capacitor", 0.4), cause("low-cut-left-in", 0.6)],
      desk,
    );
    for (const one of [next, turned]) {
      expect(one?.outcomes.map(({ outcome, causes }) => [outcome, causes[0].cause])).toEqual([
        ["gone", "low-cut-left-in"],
        ["stays", "dried-coupling-capacitor"],
      ]);
    }
  });

  it("is the same where a cause is there that cannot be", () => {
    const two = [cause("low-cut-left-in", 0.5), cause("dried-coupling-capacitor", 0.5)];
    const next = chooseCheck([...two, cause("noisy-device", 0)], desk);
    expect(next?.check).toBe("low-cut");
    expect(next?.bits).toBeCloseTo(chooseCheck(two, desk)?.bits ?? Number.NaN, 9);
  });

  it("turns the low-cut where that or a capacitor is the reason, and says what it saves", () => {
    const next = chooseCheck(
      [cause("low-cut-left-in", 0.5), cause("dried-coupling-capacitor", 0.5)],
      desk,
    );
    expect(next).toMatchObject({ check: "low-cut", power: "in use", minutes: 2 });
    // Left undone: the capacitor first, 55, then the low-cut, 58: 56.5. Gone, P = 0.5 × 0.95 +
    // 0.5 × 0.03 = 0.49: 0.015/0.49 × 55 = 1.68. Stays, P = 0.51, low-cut 0.025/0.51 = 0.049:
    // capacitor first, 0.951 × 55 + 0.049 × 58 = 55.147. 56.5 − 0.49 × 1.684 − 0.51 × 55.147.
    expect(minutesOf("dried-coupling-capacitor")).toBe(35);
    expect(next?.savesMinutes).toBeCloseTo(27.55, 1);
    expect(next?.gainPerMinute).toBeCloseTo(13.77, 1);
    // Entropy 1 bit before; H(0.0306) = 0.198 and H(0.049) = 0.282 after: 1 − 0.241.
    expect(next?.bits).toBeCloseTo(0.76, 2);
    expect(next?.outcomes.map(({ outcome, probability }) => [outcome, probability])).toEqual([
      ["gone", 0.49],
      ["stays", 0.51],
    ]);
    expect(next?.outcomes[0].causes[0]).toMatchObject({ cause: "low-cut-left-in" });
    expect(next?.outcomes[1].causes[0]).toMatchObject({ cause: "dried-coupling-capacitor" });
  });

  it("turns the gain down where one of two capacitors may be dry, though both want the strip out", () => {
    const next = chooseCheck(
      [cause("dried-coupling-capacitor", 0.55), cause("dried-gain-leg-capacitor", 0.45)],
      desk,
    );
    expect(next?.check).toBe("gain-down");
  });

  it("asks for nothing where one fault is all but certain", () => {
    expect(chooseCheck([cause("dried-coupling-capacitor", 0.99)], desk)).toBeUndefined();
  });

  it("asks for nothing where two causes answer every check alike", () => {
    const both = [cause("supply-rail-off", 0.5), cause("shorted-decoupler", 0.5)];
    const next = chooseCheck(both, desk);
    // Their own settling checks need the desk open, which costs more than it saves or stands last.
    expect(next?.power ?? "powered and open").not.toBe("in use");
  });

  it("puts a check at the closed desk before any that needs it open", () => {
    for (const a of causeKinds) {
      for (const b of causeKinds) {
        if (a.id === b.id) continue;
        const next = chooseCheck([cause(a.id, 0.6), cause(b.id, 0.4)], desk);
        if (next === undefined || next.power === "in use") continue;
        // None of the others that pay is at the closed desk.
        expect(next.others.map(({ power }) => power)).not.toContain("in use");
      }
    }
  });

  it("never asks again for what was done, nor for a stage that the strip has not", () => {
    const two = [cause("low-cut-left-in", 0.5), cause("dried-coupling-capacitor", 0.5)];
    expect(chooseCheck(two, { ...desk, done: ["low-cut"] })?.check).not.toBe("low-cut");
    const stages = ["socket", "input stage", "fader"] as const;
    expect(chooseCheck(two, { ...desk, stages })?.check).not.toBe("low-cut");
  });

  it("asks for another input of the strip only where one was not recorded", () => {
    const two = [cause("dried-gain-leg-capacitor", 0.5), cause("slewing", 0.5)];
    const ids = (otherInput: boolean) => {
      const next = chooseCheck(two, { ...desk, otherInput, done: ["gain-down"] });
      return [next?.check, ...(next?.others ?? []).map(({ check }) => check)];
    };
    expect(ids(true)).toContain("other-input");
    expect(ids(false)).not.toContain("other-input");
  });

  it("reckons with nothing where no probability is known", () => {
    const { probability: _, ...bare } = cause("gain-off", 0.5);
    expect(chooseCheck([bare], desk)).toBeUndefined();
    expect(chooseCheck([], desk)).toBeUndefined();
  });

  it("never promises more than the whole search lasts, whatever the causes", () => {
    for (const a of causeKinds) {
      const next = chooseCheck([cause(a.id, 0.5), cause("gain-off", 0.3)], desk);
      if (next === undefined) continue;
      expect(next.savesMinutes).toBeGreaterThan(next.minutes);
      expect(next.savesMinutes).toBeLessThan(20 + 60 + 60 + 45);
      const sum = next.outcomes.reduce((total, one) => total + one.probability, 0);
      expect(sum).toBeCloseTo(1, 1);
    }
  });
});

describe("what a check showed", () => {
  const two = [cause("low-cut-left-in", 0.6), cause("dried-coupling-capacitor", 0.4)];
  const done = (outcome: "gone" | "stays" | "idle", check = "low-cut") =>
    applyChecks(two, [{ check, outcome, source: "n1" }]);

  it("weighs the causes again by Bayes", () => {
    // Gone: 0.6 × 0.95 against 0.4 × 0.03: 0.57 / 0.582. Stays: 0.4 × 0.97 against 0.6 × 0.05.
    expect(done("gone")[0]).toMatchObject({ cause: "low-cut-left-in", probability: 0.98 });
    expect(done("stays")[0]).toMatchObject({
      cause: "dried-coupling-capacitor",
      probability: 0.93,
    });
    expect(done("stays")[0].evidence.map(formatEvidence).join()).toMatch(/stays.*n1: low-cut/);
    expect(done("stays")[1].against?.map(formatEvidence).join()).toMatch(/n1: low-cut/);
  });

  it("names the control that changes nothing, and leaves the others as they were", () => {
    const idle = done("idle", "bands");
    expect(idle[0]).toMatchObject({ cause: "equaliser-band-faulty", probability: 0.7 });
    expect(idle.slice(1).map(({ probability }) => probability)).toEqual([0.6, 0.4]);
  });

  it("names what no round shows once the check for it has cleared what was seen", () => {
    const bent = [cause("crossover-distortion", 0.8), cause("dirty-contact", 0.2)];
    const of = (check: string, outcome: "gone" | "stays") =>
      applyChecks(bent, [{ check, outcome, source: "n1" }]);
    // 0.1 × 0.6 against 0.9 × 1 × 0.03, the share that any untouched cause is found gone: 0.06 / 0.087.
    expect(of("mute-worked", "gone")[0]).toMatchObject({
      cause: "mute-element",
      probability: 0.69,
    });
    // 0.1 × 0.95 against 0.9 × (0.8 × 0.03 + 0.2 × 0.3): 0.095 / 0.1706.
    expect(of("insert", "gone")[0]).toMatchObject({
      cause: "dirty-insert-normal",
      probability: 0.56,
    });
    for (const { cause: id } of of("mute-worked", "stays")) expect(id).not.toBe("mute-element");
  });

  it("changes nothing by a check of another version, or none", () => {
    expect(done("gone", "moon-phase")).toEqual(two);
    expect(applyChecks(two, [])).toBe(two);
  });
});

describe("the checks", () => {
  it("are all at the closed desk, and each has its own id", () => {
    expect(new Set(checkKinds.map(({ id }) => id)).size).toBe(checkKinds.length);
    for (const { step, minutes } of checkKinds) {
      expect(step.power).toBe("in use");
      expect(minutes).toBeGreaterThan(0);
      expect(minutes).toBeLessThan(10);
      expect(step.text).toMatch(/^[a-z].*[^.]$/);
    }
  });

  it("are answered by shares, and every check by some cause", () => {
    const ids = new Set<string>(checkKinds.map(({ id }) => id));
    const answered = new Set<string>();
    for (const { answers = {}, idles = [] } of causeKinds as readonly CauseKind[]) {
      for (const [id, share] of Object.entries(answers)) {
        expect(ids).toContain(id);
        expect(share).toBeGreaterThan(0);
        expect(share).toBeLessThan(1);
        if (share > 0.5) answered.add(id);
      }
      for (const id of idles) answered.add(id);
    }
    expect([...ids].filter((id) => !answered.has(id))).toEqual([]);
  });
});

// Bayes by hand: each cause's probability times how often it answers so, over the sum of all, what none
// of these holds among them. How often is what the causes' files state.
describe("the outcome of a check", () => {
  const ids = ["low-cut-left-in", "dried-coupling-capacitor"] as const;
  const shareOf = (id: string, outcome: "gone" | "stays") => {
    const gone = computeGoneShare(findCause(id) as CauseKind, "low-cut");
    return outcome === "gone" ? gone : 1 - gone;
  };
  const weighed = (first: number, second: number, outcome: "gone" | "stays") =>
    new Map(
      applyChecks(
        [cause(ids[0], first), cause(ids[1], second)],
        [{ check: "low-cut", outcome, source: "n1" }],
      ).map((one) => [one.cause, one]),
    );

  it.each(["gone", "stays"] as const)("weighs each cause by how often it answers %s", (outcome) => {
    const found = weighed(0.5, 0.3, outcome);
    const weights = [
      0.5 * shareOf(ids[0], outcome),
      0.3 * shareOf(ids[1], outcome),
      0.2 * shareOf("none-of-these", outcome),
    ];
    const total = weights.reduce((sum, one) => sum + one, 0);
    ids.forEach((id, k) => {
      // In hundredths.
      expect(found.get(id)?.probability).toBe(Math.round((100 * weights[k]) / total) / 100);
    });
    const speaks = outcome === "gone" ? ids[0] : ids[1];
    for (const id of ids) {
      expect(found.get(id)?.evidence).toHaveLength(id === speaks ? 1 : 0);
      expect(found.get(id)?.against ?? []).toHaveLength(id === speaks ? 0 : 1);
    }
  });

  it("leaves causes that stand side by side as many as they were", () => {
    const found = weighed(0.9, 0.6, "stays");
    const sum = [...found.values()].reduce((all, { probability = 0 }) => all + probability, 0);
    // 0.9·0.05 and 0.6·0.97 or so, times 1.5 over their sum: the second is all but sure.
    expect(found.get(ids[1])?.probability).toBeGreaterThan(0.95);
    expect(sum).toBeLessThanOrEqual(1.5);
  });

  it("says nothing of a check that is not known, and drops what is hardly possible any more", () => {
    const one = [cause(ids[0], 0.5)];
    expect(applyChecks(one, [{ check: "moon", outcome: "gone", source: "n1" } as never])).toBe(one);
    const gone = Array.from({ length: 4 }, () => ({
      check: "low-cut",
      outcome: "stays" as const,
      source: "n1",
    }));
    const left = applyChecks([cause(ids[0], 0.5), cause(ids[1], 0.5)], gone);
    expect(left.map((other) => other.cause)).toEqual([ids[1]]);
    // Most certain is what no check makes surer.
    expect(left[0].probability).toBeLessThan(1);
  });

  it("leaves a cause without a probability as it is", () => {
    const { probability: _, ...unknown } = cause(ids[0], 0.5);
    const [found] = applyChecks([unknown], [{ check: "low-cut", outcome: "gone", source: "n1" }]);
    expect(found).toEqual(unknown);
  });
});

describe("the share that no cause holds", () => {
  it("is that of none of these, whether that is listed or not", () => {
    const two = [cause("low-cut-left-in", 0.4), cause("dried-coupling-capacitor", 0.4)];
    const listed = chooseCheck([...two, cause("none-of-these", 0.15)], desk);
    const whole = chooseCheck([...two, cause("none-of-these", 0.2)], desk);
    expect(chooseCheck(two, desk)).toEqual(whole);
    expect(listed).toEqual(whole);
  });

  it("is not to be told where a probability is missing, or there are no causes", () => {
    const { probability: _, ...unknown } = cause("noisy-device", 0.5);
    expect(chooseCheck([cause("low-cut-left-in", 0.5), unknown], desk)).toBeUndefined();
    expect(chooseCheck([], desk)).toBeUndefined();
  });
});

describe("a check that cannot be made", () => {
  const two = [cause("low-cut-left-in", 0.5), cause("dried-coupling-capacitor", 0.5)];
  const ids = (situation: Partial<Parameters<typeof chooseCheck>[1]>) => {
    const next = chooseCheck(two, { ...desk, ...situation });
    return [next?.check, ...(next?.others.map(({ check }) => check) ?? [])];
  };

  it("is none of the list: a stage that the strip lacks, no other input, one that was made", () => {
    expect(ids({})[0]).toBe("low-cut");
    expect(ids({ stages: ["fader"] })).not.toContain("low-cut");
    expect(ids({ stages: ["low-cut"] })).toContain("low-cut");
    expect(ids({ done: ["low-cut"] })).not.toContain("low-cut");
    expect(ids({ otherInput: false })).not.toContain("other-input");
    expect(ids({})).not.toContain("other-input");
  });

  it("goes by what is saved for each minute, those at the closed desk first, three others at most", () => {
    const next = chooseCheck(two, { ...desk, otherInput: true });
    const all = next ? [next, ...next.others] : [];
    expect(all.length).toBeLessThanOrEqual(4);
    const open = all.map(({ power }) => power !== "in use");
    expect(open).toEqual([...open].sort());
    for (const own of [all.filter((_, k) => open[k]), all.filter((_, k) => !open[k])]) {
      const gains = own.map(({ gainPerMinute }) => gainPerMinute);
      expect(gains).toEqual([...gains].sort((a, b) => b - a));
    }
    for (const { savesMinutes, minutes, gainPerMinute } of all) {
      expect(savesMinutes).toBeGreaterThan(minutes);
      expect(gainPerMinute).toBeCloseTo(savesMinutes / minutes, 1);
    }
  });
});

import { describe, expect, it } from "vitest";
import { describeCause, findCause } from "../../../src/diagnose/causes.js";
import type { RoundFinding } from "../../../src/history/types.js";
import {
  type CheckedDesk,
  listNotedChecks,
  weighPath,
} from "../../../src/service/checks/weigh-checks.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { path, round } from "../limits/rounds.js";

// Expected: by Bayes' rule from the answers that the causes' own files state; the check that pays
// best of these two is worked out in tests/diagnose/checks/choose-check.test.ts.

const cause = (id: string) => {
  const kind = findCause(id);
  if (kind === undefined) throw new Error(`no cause ${id}`);
  return { ...describeCause(kind), probability: 0.5, evidence: [] };
};
const finding = (severity: RoundFinding["severity"]): RoundFinding => ({
  reading: "response",
  against: "siblings",
  value: -6,
  expected: 0,
  deviation: -6,
  unit: "dB",
  score: 20,
  severity,
  words: "response 6 dB below its siblings at 20 Hz",
});
const causes = ["low-cut-left-in", "dried-coupling-capacitor"].map(cause);
const odd = path({ path: "7/mic", rank: 1, findings: [finding("service")], causes });
const all = round([odd]);
const none = new Map();

describe("the next check of a path", () => {
  it("is named where something stands out on a path that is ranked", () => {
    expect(weighPath(odd, all, none).next?.check).toBe("low-cut");
    const { rank: _, ...unranked } = odd;
    expect(weighPath(unranked, all, none)).not.toHaveProperty("next");
    const remarked = { ...odd, findings: [finding("remark")] };
    expect(weighPath(remarked, all, none)).not.toHaveProperty("next");
  });

  it("is another once one was made, and what that showed is weighed in", () => {
    const results = new Map([
      ["7/mic", [{ check: "low-cut", outcome: "gone", source: "n1" } as const]],
    ]);
    const weighed = weighPath(odd, all, results);
    expect(weighed.causes[0]).toMatchObject({ cause: "low-cut-left-in" });
    // 0.95 against 0.03 of gone: 0.97.
    expect(weighed.causes[0].probability).toBeCloseTo(0.95 / 0.98, 1);
    expect(weighed.next?.check).not.toBe("low-cut");
  });
});

it("checks are those of the round that the notebook has, not taken back", () => {
  const line = (id: string, more: object) =>
    JSON.stringify({
      note: 1,
      id,
      date: "2031-03-14T12:00:00Z",
      kind: "check",
      strip: "7",
      input: "mic",
      round: "2031-03-14-01",
      check: "low-cut",
      outcome: "gone",
      figures: [],
      text: "",
      ...more,
    });
  const { entries } = parseNotebook(
    Buffer.from([line("n1", {}), line("n2", { round: "2030-01-01-01" })].join("\n")),
    "notebook.jsonl",
  );
  expect([...listNotedChecks(all, entries)]).toStrictEqual([
    ["7/mic", [{ check: "low-cut", outcome: "gone", source: "n1" }]],
  ]);
});

it("a check that was closed counts no longer, and a path without one is left as it is", () => {
  const entry = (id: string, more: object = {}) => ({
    id,
    line: {
      kind: "check",
      strip: "7",
      input: "mic",
      round: "2031-03-14-01",
      check: "low-cut",
      outcome: "gone",
    },
    ...more,
  });
  const fault = { id: "n3", line: { kind: "fault", strip: "7", round: "2031-03-14-01" } };
  const entries = [entry("n1", { closed: {} }), entry("n2"), fault, entry("n4")] as never;
  const noted = listNotedChecks(all, entries).get("7/mic");
  expect(noted?.map(({ source }) => source)).toStrictEqual(["n2", "n4"]);
  const { rank: _, ...unranked } = odd;
  expect(weighPath(unranked, all, none)).toBe(unranked);
});

// Of these two the other input tells most where the strip has one that was not measured; without one
// the insert does, unless the desk file says that there is none.
describe("what the desk can do", () => {
  const silent = { ...odd, causes: ["no-signal", "supply-rail-off"].map(cause) };
  const deskOf = (names: readonly string[], stages: readonly string[] = []) =>
    ({
      paths: names.map((name) => ({ path: name, strip: name.split("/")[0] })),
      flow: { stages: { mic: stages } },
      construction: { pullMinutes: 20 },
    }) as unknown as CheckedDesk;
  const next = (desk?: CheckedDesk, others: readonly Parameters<typeof path>[0][] = []) =>
    weighPath(silent, round([silent, ...others.map(path)]), none, desk).next?.check;

  it("is trying another input of the strip that was not measured yet", () => {
    const two = deskOf(["7/mic", "7/line"]);
    expect(next(two)).toBe("other-input");
    expect(next(two, [{ path: "7/line", status: "missing" }])).toBe("other-input");
    expect(next(two, [{ path: "8/mic" }, { path: "8/line" }])).toBe("other-input");
    expect(next(two, [{ path: "7/line" }])).toBe("insert");
    // A second input that was measured has told already.
    expect(next(deskOf(["7/mic", "7/line", "7/tape"]), [{ path: "7/line" }])).toBe("insert");
  });

  it("is not trying an input of another strip, or of a desk that nobody knows", () => {
    expect(next(deskOf(["7/mic", "8/line"]))).toBe("insert");
    expect(next(deskOf(["7/mic"]))).toBe("insert");
    expect(next()).toBe("insert");
  });

  it("is what its stages allow", () => {
    expect(next(deskOf(["7/mic"], ["mic socket", "insert", "fader"]))).toBe("insert");
    expect(next(deskOf(["7/mic"], ["mic socket", "fader"]))).not.toBe("insert");
  });
});

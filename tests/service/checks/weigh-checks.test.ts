import { describe, expect, it } from "vitest";
import { describeCause, findCause } from "../../../src/diagnose/causes.js";
import type { RoundFinding } from "../../../src/history/types.js";
import { listNotedChecks, weighPath } from "../../../src/service/checks/weigh-checks.js";
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
  expect([...listNotedChecks(all, entries)]).toEqual([
    ["7/mic", [{ check: "low-cut", outcome: "gone", source: "n1" }]],
  ]);
});

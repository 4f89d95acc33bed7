import { describe, expect, it } from "vitest";
import type { RoundFinding } from "../../../src/history/types.js";
import { leaveAlone } from "../../../src/service/notebook/left-alone.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { path, round } from "../limits/rounds.js";

// Expected: what was accepted holds for that path, reading and side, up to half as far out again.

const finding = (reading: string, deviation: number): RoundFinding => ({
  reading,
  against: "siblings",
  value: deviation,
  expected: 0,
  deviation,
  unit: "dB",
  score: 20,
  severity: "service",
  words: `${reading} ${deviation} dB`,
});
const accepted = (until?: string) =>
  parseNotebook(
    Buffer.from(
      JSON.stringify({
        note: 1,
        id: "n1",
        date: "2031-03-14T12:00:00Z",
        kind: "accept",
        strip: "7",
        input: "mic",
        round: "2031-03-14-01",
        findings: [{ path: "7/mic", reading: "gain", against: "siblings", deviation: -4 }],
        text: "",
        ...(until === undefined ? {} : { until }),
      }),
    ),
    "notebook.jsonl",
  ).entries;

function left(findings: readonly RoundFinding[], name = "7/mic", until?: string) {
  const found = leaveAlone(round([path({ path: name, findings })]), accepted(until), "2031-06-01");
  return {
    state: found.leftAlone[0]?.state,
    severities: found.round.paths[0].findings.map(({ severity }) => severity),
  };
}

describe("a finding that was accepted", () => {
  it("is a remark, as long as it lies no more than half as far out again", () => {
    for (const deviation of [-4, -2, -6]) {
      expect(left([finding("gain", deviation)])).toStrictEqual({
        state: "holds",
        severities: ["remark"],
      });
    }
    expect(left([finding("gain", -6.1)])).toStrictEqual({
      state: undefined,
      severities: ["service"],
    });
  });

  it("counts again on the other side, in another reading and on another path", () => {
    const counts = { state: undefined, severities: ["service"] };
    expect(left([finding("gain", 4)])).toStrictEqual(counts);
    expect(left([finding("hiss", -4)])).toStrictEqual(counts);
    expect(left([finding("gain", -4)], "8/mic")).toStrictEqual(counts);
  });

  it("does not hide what is there beside it", () => {
    expect(left([finding("gain", -4), finding("hiss", 9)])).toStrictEqual({
      state: "more",
      severities: ["remark", "service"],
    });
  });

  it("counts again after its last day, which still holds", () => {
    expect(left([finding("gain", -4)], "7/mic", "2031-06-01").state).toBe("holds");
    expect(left([finding("gain", -4)], "7/mic", "2031-05-31")).toStrictEqual({
      state: "over",
      severities: ["service"],
    });
  });
});

it("what was accepted is told with its note, and the rest of the round stays as it was", () => {
  const gain = finding("gain", -4);
  const made = round([
    path({ path: "7/mic", findings: [gain, finding("hiss", 9)] }),
    path({ path: "8/mic", findings: [gain] }),
  ]);
  const [entry] = accepted();
  expect(leaveAlone(made, [entry], "2031-06-01")).toStrictEqual({
    round: {
      ...made,
      paths: [
        { ...made.paths[0], findings: [{ ...gain, severity: "remark" }, finding("hiss", 9)] },
        made.paths[1],
      ],
    },
    leftAlone: [{ path: "7/mic", note: "n1", line: entry.line, state: "more", findings: [gain] }],
  });
  // Nothing accepted, or no longer: the round itself
  expect(leaveAlone(made, [], "2031-06-01")).toStrictEqual({ round: made, leftAlone: [] });
  const closed = { ...entry, closed: {} as never };
  expect(leaveAlone(made, [closed], "2031-06-01").round).toBe(made);
  // A finding against something else, and one that is but a remark
  const against = { ...gain, against: "baseline" } as never;
  expect(left([against]).state).toBeUndefined();
  expect(left([{ ...gain, severity: "remark" }]).state).toBeUndefined();
});

it("the latest of two notes about a path counts", () => {
  const later = { ...accepted("2031-05-31")[0], id: "n2" };
  const state = (...entries: ReturnType<typeof accepted>) =>
    leaveAlone(
      round([path({ path: "7/mic", findings: [finding("gain", -4)] })]),
      entries,
      "2031-06-01",
    ).leftAlone.map(({ note, state: how }) => [note, how]);
  expect(state(...accepted(), later)).toStrictEqual([["n2", "over"]]);
  expect(state(later, ...accepted())).toStrictEqual([["n1", "holds"]]);
});

it("a note may accept several findings of several paths, among other notes", () => {
  const [one] = accepted();
  const of = (name: string, reading: string) => ({
    path: name,
    reading,
    against: "siblings" as const,
    deviation: -4,
  });
  const line = { ...one.line, findings: [of("7/mic", "gain"), of("8/mic", "hiss")] } as never;
  const fault = { ...one, id: "n2", line: { ...one.line, kind: "fault", findings: undefined } };
  const made = round([
    path({ path: "7/mic", findings: [finding("gain", -4), finding("hiss", -4)] }),
    path({ path: "8/mic", findings: [finding("gain", -4), finding("hiss", -4)] }),
    path({ path: "9/mic", findings: [finding("gain", -4)] }),
  ]);
  const { leftAlone } = leaveAlone(made, [{ ...one, line }, fault as never], "2031-06-01");
  expect(
    leftAlone.map(({ path: name, state, findings }) => [name, state, findings[0].reading]),
  ).toStrictEqual([
    ["7/mic", "more", "gain"],
    ["8/mic", "more", "hiss"],
  ]);
});

import { describe, expect, it } from "vitest";
import type { RoundFinding } from "../../../src/history/types.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { listNotPlanned } from "../../../src/service/plan/list-not-planned.js";
import { path, round } from "../limits/rounds.js";

const finding: RoundFinding = {
  reading: "hiss",
  against: "siblings",
  value: -67,
  expected: -80,
  deviation: 13,
  unit: "dBFS",
  score: 20,
  severity: "service",
  words: "hiss 13 dB above its siblings",
};
const odd = (name: string) => path({ path: name, oddness: 20, findings: [finding] });
const sound = (name: string) => path({ path: name });
const notebook = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(lines.map((line) => JSON.stringify(line)).join("\n")),
    "notebook.jsonl",
  );
const family = ["1/mic", "2/mic", "3/mic", "4/mic"].map(sound);
const base = round([...family, odd("7/mic")], "2031-03-14-01");
const some = (id: string, ...paths: readonly ReturnType<typeof path>[]) => ({
  ...round([...family, ...paths], id),
  date: `${id.slice(0, 10)}T12:00:00.000Z`,
  partial: { wanted: paths.map((one) => one.path) },
});

describe("what a plan on whole rounds does not hold", () => {
  it("is what stands out in rounds of some paths since, and did not before", () => {
    const later = [some("2031-05-01-01", odd("7/mic"), odd("9/mic"))];
    expect(listNotPlanned(base, later, notebook())).toStrictEqual([
      { round: "2031-05-01-01", paths: ["9/mic"], shared: [] },
    ]);
    expect(listNotPlanned(undefined, later, notebook())[0].paths).toStrictEqual(["7/mic", "9/mic"]);
  });

  it("is what a shared part wants service for in the newest of them, and not what is to be watched", () => {
    const shared = (severity: string) => ({
      part: { kind: "ribbon", name: "A" },
      paths: ["9/mic"],
      findings: [],
      aspect: "level",
      against: "siblings",
      severity,
    });
    const all = [shared("service"), shared("watch")] as never;
    const newer = { ...some("2031-06-01-01", sound("9/mic")), shared: all };
    const older = { ...some("2031-05-01-01", sound("8/mic")), shared: all };
    expect(listNotPlanned(base, [newer, older], notebook())).toStrictEqual([
      { round: "2031-06-01-01", paths: [], shared: [shared("service")] },
    ]);
  });

  it("is gone where a newer round shows the path sound, or its strip was worked on", () => {
    const later = [some("2031-05-01-01", odd("9/mic"))];
    const newer = some("2031-06-01-01", sound("9/mic"));
    expect(listNotPlanned(base, [newer, ...later], notebook())).toStrictEqual([]);
    const worked = {
      note: 1,
      id: "n1",
      date: "2031-05-20T12:00:00Z",
      kind: "repair",
      strip: "9",
      text: "new op amp",
      parts: [],
    };
    expect(listNotPlanned(base, later, notebook(worked))).toStrictEqual([]);
  });

  it("is not gone by work before the round, on another strip or at a section, or by another note", () => {
    const later = [some("2031-05-01-01", odd("9/mic"))];
    const told = [{ round: "2031-05-01-01", paths: ["9/mic"], shared: [] }];
    const line = (more: object) =>
      notebook({
        note: 1,
        id: "n1",
        date: "2031-05-20T12:00:00Z",
        kind: "repair",
        strip: "9",
        text: "new op amp",
        parts: [],
        ...more,
      });
    for (const more of [
      { date: "2031-04-20T12:00:00Z" },
      // At the very time of the round nobody can have worked on what it shows.
      { date: later[0].date },
      { strip: "8" },
      { strip: undefined, section: "group 1", sectionKind: "group" },
      { kind: "fault", parts: undefined },
    ]) {
      expect(listNotPlanned(base, later, line(more)), JSON.stringify(more)).toStrictEqual(told);
    }
  });

  it("stays where a newer round did not measure the path, and stands beside a shared part", () => {
    const missing = path({ path: "9/mic", status: "missing", reason: "not recorded" });
    const later = [some("2031-06-01-01", missing), some("2031-05-01-01", odd("9/mic"))];
    expect(listNotPlanned(base, later, notebook()).map(({ round: id }) => id)).toStrictEqual([
      "2031-05-01-01",
    ]);
    const shared = [{ part: { kind: "ribbon", name: "A" }, severity: "service" }] as never;
    const both = [{ ...some("2031-06-01-01", odd("9/mic")), shared }];
    expect(listNotPlanned(base, both, notebook())).toStrictEqual([
      { round: "2031-06-01-01", paths: ["9/mic"], shared },
    ]);
  });
});

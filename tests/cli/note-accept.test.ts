import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import type { RoundPath } from "../../src/history/types.js";
import { aRound } from "../history/a-round.js";
import { path } from "../history/rounds-of.js";
import { newFolder, run } from "./run.js";

const finding = (deviation: number, reading = "noise") => ({
  reading,
  against: "siblings" as const,
  value: -80 + deviation,
  expected: -80,
  deviation,
  unit: "dB",
  score: 9,
  severity: "service" as const,
  words: `${reading} ${deviation} dB above siblings`,
});

const paths = (found: RoundPath["findings"]) =>
  Array.from({ length: 6 }, (_, k) => {
    const readings = { noise: { value: k === 1 ? -70 : -80, unit: "dB", uncertainty: 0.1 } };
    return path(`${k + 1}/mic`, k === 1 ? { readings, findings: found, oddness: 9 } : { readings });
  });

function desk() {
  const folder = newFolder();
  writeFileSync(
    join(folder, "desk.yaml"),
    "name: Desk\nmains: 50\nstrips: 6\ninputs:\n  mic: { nominal: 4 }\n",
  );
  writeFileSync(join(folder, "limits.yaml"), "built-in: none\nlimits:\n  quiet: noise <= -75 dB\n");
  storeRound(folder, { ...aRound("2031-01-31"), paths: paths([finding(10)]) });
  const said = (...args: readonly string[]) => run(...args, "--desk", folder);
  return { folder, said };
}

describe("a known oddity", () => {
  it("counts nowhere once it is accepted, and stays visible with who, when and until when", () => {
    const { said } = desk();
    expect(said("show").out).toMatch(/1 path needs service: 2\/mic/);
    expect(said("check").code).toBe(1);
    const { code, err } = said(
      ...["note", "accept", "2mic", "modified", "in", "2031", "--until", "2999", "--who", "M."],
      ...["--date", "2031-03-14"],
    );
    expect(code, err).toBe(0);
    expect(err).toMatch(/^Noted as n1: 2mic left alone until 2999-12-31: modified in 2031/);
    const { out } = said("show");
    expect(out).not.toContain("needs service");
    expect(out.replace(/\s+/g, " ")).toContain(
      "2/mic left alone: noise 10 dB above siblings: modified in 2031 (n1, M., 2031-03-14, until 2999-12-31).",
    );
    expect(said("show", "2/mic").out).toMatch(/remark +noise 10 dB[\s\S]*modified in 2031/);
    const checked = said("check");
    expect(checked.code, checked.out).toBe(0);
    expect(checked.out).toContain("2/mic is left alone: modified in 2031 (n1");
    const plan = said("plan");
    expect(plan.out).not.toContain("Pull strip 2");
    expect(plan.err).toContain("2/mic left alone");
    expect(said("note", "list").out).toContain("left alone until 2999-12-31: modified in 2031");
  });

  it("counts again when the note is closed, when it is over, and when there is more", () => {
    const { folder, said } = desk();
    said("note", "accept", "2/mic", "modified", "--date", "2025-03-14", "--until", "2025");
    const over = said("show").out.replace(/\s+/g, " ");
    expect(over).toMatch(
      /1 path needs service: 2\/mic.*was left alone until 2025-12-31 and counts/,
    );
    said("note", "accept", "2/mic", "modified");
    expect(said("show").out).not.toContain("needs service");
    // 14.9 dB is within half as much again of 10 dB, 15.1 is not.
    storeRound(folder, { ...aRound("2032-01-31"), paths: paths([finding(14.9)]) });
    expect(said("show").out).not.toContain("needs service");
    storeRound(folder, { ...aRound("2033-01-31"), paths: paths([finding(15.1)]) });
    expect(said("show").out).toContain("1 path needs service: 2/mic");
    storeRound(folder, { ...aRound("2034-01-31"), paths: paths([finding(-10)]) });
    expect(said("show").out).toContain("1 path needs service: 2/mic");
    storeRound(folder, { ...aRound("2035-01-31"), paths: paths([finding(10), finding(9, "thd")]) });
    const more = said("show").out.replace(/\s+/g, " ");
    expect(more).toMatch(/1 path needs service: 2\/mic.*more stands out than was accepted/);
    said("note", "close", "n2", "n1");
    expect(said("show", "2031").out).toContain("1 path needs service: 2/mic");
  });

  it.each([
    [["1/mic", "x"], /Nothing stands out on 1\/mic in round/],
    [["2/mic"], /No reason is given why 2\/mic is left alone/],
    [["master", "x"], /neither a strip nor a path/],
    [["2/mic", "x", "--until", "2020"], /--until 2020-12-31 is over/],
  ])("cannot be accepted as %j", (args, words) => {
    const { code, err } = desk().said("note", "accept", ...args);
    expect(code).toBe(2);
    expect(err).toMatch(words);
  });
});

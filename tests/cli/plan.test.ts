import { appendFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import { path, round } from "../service/limits/rounds.js";
import { newFolder, run } from "./run.js";

function desk(): string {
  const folder = newFolder();
  run("init", "--desk", folder, "--strips", "8", "--inputs", "mic,line");
  return folder;
}

describe("plan", () => {
  it("makes a list from the notebook alone, in every form", () => {
    const folder = desk();
    run("note", "add", "6", "phantom comes and goes", "--desk", folder);
    const { code, out, err } = run("plan", "--desk", folder, "--date", "2031-06-01");
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toMatch(/^Worklist, Desk, 2031-06-01\nfrom {3}the notebook alone: 1 open note\n/);
    expect(out).toContain("Pull strip 6; 1 check to do before opening.");
    for (const format of ["markdown", "html", "csv", "json"]) {
      expect(run("plan", "--desk", folder, "--format", format).code).toBe(0);
    }
    expect(JSON.parse(run("plan", "--desk", folder, "--json").out).format).toBe("deskround-plan");
  });

  it("cannot tell whether to open a desk without a round", () => {
    const { code, out } = run("plan", "--desk", desk());
    expect(code).toBe(0);
    expect(out.replace(/\s+/g, " ")).toContain(
      "Whether the desk has to be opened cannot be told: there is no round of the whole desk",
    );
  });

  it("skips a damaged note and reports it", () => {
    const folder = desk();
    writeFileSync(join(folder, "notebook.jsonl"), "{ torn\n");
    const { code, err } = run("plan", "--desk", folder);
    expect(code).toBe(0);
    expect(err).toMatch(/notebook\.jsonl line 1 was skipped/);
  });

  it("refuses invalid hours and construction that is wrong, with the line", () => {
    const folder = desk();
    expect(run("plan", "--desk", folder, "--hours", "0")).toMatchObject({ code: 2, out: "" });
    appendFileSync(join(folder, "desk.yaml"), "construction:\n  parts:\n    lid: { strips: 9 }\n");
    const { code, err } = run("plan", "--desk", folder);
    expect(code).toBe(2);
    expect(err).toMatch(/desk\.yaml line \d+: .*minutes.* is missing/);
  });
});

describe("show", () => {
  it("weighs what the meter showed into the causes of a path", () => {
    const folder = desk();
    const { id: _, ...rest } = round([path({ path: "6/mic" }), path({ path: "6/line" })]);
    storeRound(folder, { ...rest, date: "2031-03-14T10:00:00Z" });
    run("note", "meter", "6", "phantom", "--pin2", "31.2", "--desk", folder);
    const causes = (name: string) =>
      JSON.parse(run("show", name, "--json", "--desk", folder).out).causes;
    expect(causes("6/mic")).toMatchObject([{ cause: "phantom-supply-off", kind: "fault" }]);
    expect(causes("6/line")).toEqual([]);
  });
});

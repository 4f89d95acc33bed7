import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import type { Round } from "../../src/history/types.js";
import { path, reading, round } from "../service/limits/rounds.js";
import { newFolder, run, runShell } from "./run.js";

/** Three healthy paths and one with the gain given; missing when none is. */
function paths(gain?: number): Round["paths"] {
  const healthy = [0, 0.1, 0.2].map((value, k) =>
    path({ path: `${k + 1}/mic`, readings: { gain: reading(value) } }),
  );
  const last =
    gain === undefined
      ? path({ path: "4/mic", status: "missing", reason: "no return was assigned to it" })
      : path({ path: "4/mic", readings: { gain: reading(gain) } });
  return [...healthy, last];
}

function store(folder: string, paths: Round["paths"], parts: Partial<Round> = {}): void {
  const { id: _, ...rest } = round(paths);
  storeRound(folder, { ...rest, date: "2031-03-14T10:00:00Z", ...parts });
}

function deskWith(...rounds: readonly Round["paths"][]): string {
  const folder = newFolder();
  for (const each of rounds) store(folder, each);
  return folder;
}

/** Runs a check and makes sure that it wrote nothing. */
function check(folder: string, ...args: readonly string[]) {
  const state = () =>
    readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .map((file) => [file, readFileSync(file, "utf8")]);
  const before = state();
  const ran = run("check", ...args, "--desk", folder);
  expect(state()).toEqual(before);
  return ran;
}

function withLimits(folder: string, lines: string): string {
  writeFileSync(join(folder, "limits.yaml"), `built-in: none\nlimits:\n${lines}`);
  return folder;
}

describe("check", () => {
  it("ends with 0 when all strips pass", () => {
    const { code, out, err } = check(deskWith(paths(0.3)));
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toMatch(/^Pass: all 4 strips\.\n/);
  });

  it("ends with 1 when a strip fails, also when another is missing", () => {
    const { code, out, err } = check(deskWith(paths(9)));
    expect({ code, err }).toEqual({ code: 1, err: "" });
    expect(out).toMatch(/^Fail: 1 of 4 strips: 4\.\n/);
    const both = deskWith([
      ...paths(9),
      ...paths(undefined)
        .slice(3)
        .map((p) => ({ ...p, path: "5/mic", strip: "5" })),
    ]);
    expect(check(both).code).toBe(1);
  });

  it("ends with 3 when none fails and a path is missing", () => {
    const { code, out, err } = check(deskWith(paths()));
    expect({ code, err }).toEqual({ code: 3, err: "" });
    expect(out).toMatch(/^Incomplete: 1 of 4 strips: 4\.\n/);
    expect(out).toContain("4/mic  missing: no return was assigned to it\n");
  });

  it("fails what is undecided unless told otherwise", () => {
    const folder = withLimits(deskWith(paths(0.95)), "  a: gain <= 1 dB\n");
    expect(check(folder).code).toBe(1);
    expect(check(folder, "--undecided", "pass").code).toBe(0);
  });

  it("judges the round named, by the limits named", () => {
    const folder = deskWith(paths(9), paths(0));
    expect(check(folder).code).toBe(0);
    expect(check(folder, "2031-03-14-01").code).toBe(1);
    const strict = join(newFolder(), "strict.yaml");
    writeFileSync(strict, "built-in: none\nlimits:\n  a: gain <= -20 dB\n");
    expect(check(folder, "--limits", strict).code).toBe(1);
  });

  it("compares with the baseline named", () => {
    const folder = withLimits(
      deskWith(paths(0), paths(3)),
      "  a: abs(gain - baseline(gain)) <= 1 dB\n",
    );
    const { code, out } = check(folder, "--with", "2031-03-14-01");
    expect(code).toBe(1);
    expect(out).toContain("gain against its baseline 3.00 ± 0.14 dB, at most 1 dB");
  });

  it.each([
    ["json", /^\{\n {2}"format": "deskround-check"/],
    ["csv", /^path,strip,input,family,status,reading,value,unit/],
    ["junit", /^<\?xml version="1\.0" encoding="UTF-8"\?>\n<testsuites>/],
    ["tap", /^TAP version 14\n1\.\.4\n/],
    ["markdown", /^## Fail: 1 of 4 strips: 4\.\n/],
    ["text", /^Fail: 1 of 4 strips: 4\.\n/],
  ])("prints %s with the same exit code", (format, first) => {
    const { code, out, err } = check(deskWith(paths(9)), "--format", format);
    expect({ code, err }).toEqual({ code: 1, err: "" });
    expect(out).toMatch(first);
  });

  it("takes --json for --format json", () => {
    const folder = deskWith(paths(9));
    expect(check(folder, "--json").out).toBe(check(folder, "--format", "json").out);
    expect(check(folder, "--json", "--format", "csv").code).toBe(2);
  });

  it("stays a failure for a reader that takes one line only", () => {
    const folder = deskWith(paths(9));
    const { code } = runShell(
      `deskround check --desk ${folder} | head -n 1; exit \${PIPESTATUS[0]}`,
    );
    expect(code).toBe(1);
  });
});

describe("check refuses, with exit code 2 and nothing on stdout,", () => {
  const other = round(paths(0));
  const folder = newFolder();
  const desk = { id: "desk-big", name: "Big desk", mainsHz: 50 };
  for (const each of [paths(0), paths(0)]) store(folder, each, { desk });
  store(folder, other.paths, {
    date: "2030-01-01T10:00:00Z",
    desk: { id: "desk-little", name: "Little desk", mainsHz: 50 },
  });
  writeFileSync(
    join(folder, "rounds", "2029-01-01-01.json"),
    JSON.stringify({ ...other, id: "2029-01-01-01", version: 2 }),
  );
  const file = join(newFolder(), "limits.yaml");
  const refused = (lines: string, ...args: readonly string[]) => {
    writeFileSync(file, `limits:\n${lines}`);
    return check(folder, "--limits", file, ...args);
  };

  it.each([
    [
      "a round that is not there",
      ["2031-03-14-09"],
      'No round "2031-03-14-09" is stored in',
      "Did you mean 2031-03-14-0",
    ],
    [
      "a baseline that is not there",
      ["--with", "2028"],
      "No round of 2028 is stored in",
      "deskround show --list",
    ],
    [
      "a round of a newer program",
      ["2029-01-01-01"],
      "was written by a newer deskround (round version 2, known up to 1).",
      "Use that deskround",
    ],
    [
      "a baseline of a newer program",
      ["--with", "2029-01-01-01"],
      "was written by a newer deskround",
      "Use that deskround",
    ],
    [
      "a baseline of another desk",
      ["--with", "2030-01-01-01"],
      'Round 2030-01-01-01 is of the desk "Little desk" (id desk-little), not of "Big desk"',
      "Name a round of the same desk",
    ],
    [
      "a round as its own baseline",
      ["--with", "2031-03-14-02"],
      "Round 2031-03-14-02 cannot be its own baseline",
      "Name an earlier round",
    ],
    [
      "a limits file that is not there",
      ["--limits", "nowhere.yaml"],
      "No limits file can be read at nowhere.yaml.",
      "Name another with --limits",
    ],
    [
      "a format that is not known",
      ["--format", "xml"],
      '--format "xml" is not one of text, json, csv, junit, tap',
      "deskround check --help",
    ],
  ])("%s", (_, args, told, hint) => {
    const { code, out, err } = check(folder, ...args);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toContain(told);
    expect(err).toContain(hint);
    expect(err.trim().split("\n").length).toBeLessThanOrEqual(2);
  });

  it.each([
    [
      "units that are mixed",
      "  a: noiseA <= -82 dBu\n",
      "noiseA is in dBFS and the value -82 is in dBu in round 2031-03-14-02",
    ],
    [
      "a reading that does not exist",
      "  a: gian <= 1 dB\n",
      '"gian" is not a reading.\n  Did you mean gain?',
    ],
    [
      "a strip that does not exist",
      "  a:\n    limit: gain <= 1 dB\n    for: 12\n",
      '"12" is not a strip, an input, a family or a path of the round.',
    ],
    [
      "a limit against a baseline without one",
      "  a: gain <= baseline(gain)\n",
      "compares with a baseline round, but none was named.\n  Name one: --with",
    ],
    [
      "a key that does not belong there",
      "  a:\n    limits: gain <= 1 dB\n",
      '"limits" is not a key here.\n  Did you mean limit?',
    ],
    ["a text that is no YAML", "  a: [\n", "not readable as YAML"],
  ])("%s, naming file and line", (_, lines, told) => {
    const { code, out, err } = refused(lines);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toMatch(new RegExp(`^deskround: ${file} line \\d: `));
    expect(err).toContain(told);
    expect(err).not.toMatch(/\bat .*\.js/);
  });
});

describe("show --format csv", () => {
  it("prints a row for each path and reading of a round, or of one path", () => {
    const folder = deskWith(paths(9));
    const { code, out, err } = run("show", "--format", "csv", "--desk", folder);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out.split("\r\n")).toHaveLength(6);
    expect(run("show", "4/mic", "--format", "csv", "--desk", folder).out).toBe(
      "path,strip,input,family,status,reading,value,unit,uncertainty,limited_by,reason\r\n" +
        "4/mic,4,mic,mic,measured,gain,9,dB,0.1,,\r\n",
    );
  });

  it("has no list of rounds to give", () => {
    const { code, out, err } = run("show", "--list", "--format", "csv", "--desk", newFolder());
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toContain("The list of rounds is not available as CSV.");
  });
});

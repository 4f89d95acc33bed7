import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import { reading } from "../helpers/families.js";
import { family, round } from "../history/rounds-of.js";
import { newFolder, run } from "./run.js";

/** A desk of six paths in four springs: 3/mic grows noisy, 5/mic is new in the second. */
function aDesk(): string {
  const folder = newFolder();
  writeFileSync(
    join(folder, "desk.yaml"),
    "name: Big desk\nmains: 50\nstrips: 6\ninputs:\n  mic: { nominal: 4 }\n",
  );
  for (const year of [2030, 2031, 2032, 2033]) {
    const paths = family(6, (k) => ({
      readings: { noise: reading(-90 + (k === 2 ? 3 * (year - 2030) : 0) + 0.01 * k, "dBFS", 0.1) },
    })).filter((_, k) => year > 2030 || k !== 4);
    const { id: _, ...rest } = round(`${year}-04-02`, paths);
    storeRound(folder, rest);
  }
  return folder;
}

const desk = aDesk();
const compare = (...args: readonly string[]) => run("compare", ...args, "--desk", desk);

describe("deskround compare", () => {
  it("begins with what changed since the round before, and ends with 0", () => {
    const { code, out, err } = compare();
    expect([code, err]).toEqual([0, ""]);
    const lines = out.split("\n");
    expect(lines[0]).toBe("Big desk, round 2033-04-02-01 against 2032-04-02-01, 1 year earlier");
    expect(lines[1]).toBe("1 path drifted, none of them out of line: 3/mic.");
    expect(lines[2]).toBe("5 paths of 6 are as before.");
  });

  it("takes a date, the oldest and an id, and names paths of one round only", () => {
    const { out } = compare("2032", "--with", "oldest");
    expect(out).toContain("round 2032-04-02-01 against 2030-04-02-01, 2 years earlier");
    expect(out).toContain("1 path in one round only: 5/mic.");
    expect(compare("--with", "2031").out).toContain("against 2031-04-02-01");
    expect(compare("--with", "2031-04-02-01").code).toBe(0);
  });

  it("fits 80 columns and cuts nothing of its summary", () => {
    const { out } = compare("--with", "oldest");
    expect(out.split("\n").filter((line) => line.length > 80)).toEqual([]);
    expect(out).not.toMatch(/…|--json has all/);
  });

  it("gives every reading of one path", () => {
    const { code, out } = compare("--path", "3/mic");
    expect(code).toBe(0);
    expect(out).toMatch(/noise +−83\.98 +−80\.98 /);
  });

  it("prints all of it as JSON", () => {
    const { out } = compare("--json");
    const { format, paths } = JSON.parse(out);
    expect(format).toBe("deskround-comparison");
    expect(paths.map(({ state }: { state: string }) => state)).toContain("drift");
  });

  it("follows the years", () => {
    const { code, out } = compare("--trend");
    expect(code).toBe(0);
    expect(out).toContain("Big desk, 4 rounds from 2030-04-02 to 2033-04-02");
    expect(JSON.parse(compare("--trend", "--json").out).format).toBe("deskround-trends");
  });

  it.each([
    [["2040"], "No round of 2040 is stored"],
    [["2033-04-02-02"], 'No round "2033-04-02-02" is stored', "Did you mean 2033-04-02-01?"],
    [["--with", "oldset"], 'No round "oldset" is stored', "Did you mean oldest?"],
    [["2030"], "No round is stored before 2030-04-02-01"],
    [["2031", "--with", "2033"], "Round 2033-04-02-01 is later than round 2031-04-02-01"],
    [["2031", "--with", "2031"], "cannot be its own baseline"],
    [["--path", "9/mic"], 'has no strip "9"'],
    [["--trend", "--with", "last"], "cannot be used with"],
    [["2031", "--trend"], "A trend needs 3 rounds; there are 2."],
  ])("refuses %j with 2, and nothing is written", (args, ...messages) => {
    const before = readdirSync(join(desk, "rounds"));
    const { code, out, err } = compare(...args);
    expect([code, out]).toEqual([2, ""]);
    for (const message of messages) expect(err).toContain(message);
    expect(readdirSync(join(desk, "rounds"))).toEqual(before);
  });

  it("passes over a damaged round and one of a newer program, and names them", () => {
    const folder = aDesk();
    const file = (year: number) => join(folder, "rounds", `${year}-04-02-01.json`);
    writeFileSync(file(2032), readFileSync(file(2032), "utf8").slice(0, 400));
    writeFileSync(
      file(2031),
      readFileSync(file(2031), "utf8").replace('"version": 1,', '"version": 7,'),
    );
    const { code, out, err } = run("compare", "--desk", folder);
    expect(code).toBe(0);
    expect(out).toContain("against 2030-04-02-01, 3 years earlier");
    expect(err).toMatch(/Skipped: .*2032-04-02-01\.json is damaged/);
    expect(err).toMatch(/Skipped: .*2031-04-02-01\.json was written by a newer deskround/);
    expect(run("compare", "--desk", folder, "--with", "2032").code).toBe(2);
    const list = run("show", "--list", "--desk", folder);
    expect(list.code).toBe(0);
    expect(list.out).toMatch(/2030-04-02-01 +all 5 +all alike/);
    expect(list.out).toMatch(/2032-04-02-01 +cannot be read/);
    expect(list.out.replace(/\s+/g, " ")).toContain("is damaged: it is not complete JSON.");
    const check = run("check", "--desk", folder, "--with", "last");
    expect(check.out.replace(/\s+/g, " ")).toContain("Not used as a baseline: ");
    // A trend is of all rounds: without some it is incomplete, and too few may be left.
    const short = run("compare", "--trend", "--desk", folder);
    expect([short.code, short.out]).toEqual([2, ""]);
    expect(short.err).toMatch(/A trend needs 3 rounds; there are 2\. Skipped: .*2031-04-02/);
    const { id: _, ...more } = round(
      "2033-06-02",
      family(6, () => ({})),
    );
    storeRound(folder, more);
    const trend = run("compare", "--trend", "--desk", folder);
    expect(trend.code, trend.err).toBe(3);
    expect(trend.out).toContain("3 rounds from 2030-04-02 to 2033-06-02");
    expect(trend.err).toMatch(/2032-04-02-01\.json is damaged: .* Put back a copy of it/);
  });

  it("refuses the round of another desk, and a folder without rounds", () => {
    const folder = aDesk();
    const other = round(
      "2029-04-02",
      family(6, () => ({})),
      { desk: { id: "desk-small", name: "Small desk", mainsHz: 50 } },
    );
    const last = round("2034-04-02", other.paths, {
      desk: { id: "desk-big", name: "Big desk", mainsHz: 50 },
    });
    for (const { id: _, ...rest } of [other, last]) storeRound(folder, rest);
    const refused = run("compare", "--desk", folder, "--with", "oldest");
    expect([refused.code, refused.err]).toEqual([
      2,
      expect.stringContaining('of the desk "Small desk"'),
    ]);
    const empty = newFolder();
    mkdirSync(join(empty, "rounds"));
    expect(run("compare", "--desk", empty).err).toContain("No round is stored in");
  });
});

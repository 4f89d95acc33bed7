import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import type { Round } from "../../src/history/types.js";
import { aPath, aRound } from "../history/a-round.js";
import { newFolder, run, runIn } from "./run.js";

// What an unlucky or a hostile user does; expected: said in one line, nothing lost.

const desk = (inputs = "  mic: { nominal: 4 }\n", more = "") => {
  const folder = newFolder();
  const text = `name: Desk\nmains: 50\nstrips: 4\ninputs:\n${inputs}${more}`;
  writeFileSync(join(folder, "desk.yaml"), text);
  return folder;
};

describe("one damaged round", () => {
  const folder = desk();
  storeRound(folder, aRound("2030-01-31"));
  storeRound(folder, aRound("2031-01-31"));
  writeFileSync(join(folder, "rounds", "2032-01-31-01.json"), "{");
  writeFileSync(
    join(folder, "strip-down.yaml"),
    "boards:\n  channel board:\n    strips: 1-4\n    steps: lift it out\n    capacitors: [6x 10 µF 35 V]\n",
  );
  const passedOver = /Skipped: The round \S+2032-01-31-01\.json is damaged: it is not complete/;

  it.each([
    ["plan", ["plan"]],
    ["plan --history", ["plan", "--history", "1"]],
    ["plan --recap", ["plan", "--recap"]],
    ["note add", ["note", "add", "1", "hum"]],
  ])("is passed over by %s, and that is said", (_, args) => {
    const { code, err } = run(...args, "--desk", folder);
    expect(code).toBe(0);
    expect(err).toMatch(passedOver);
  });

  it("lets no plan say that nothing calls for opening the desk", () => {
    const alone = desk();
    mkdirSync(join(alone, "rounds"));
    writeFileSync(join(alone, "rounds", "2032-01-31-01.json"), "{");
    const { out } = run("plan", "--desk", alone);
    expect(out.replace(/\s+/g, " ")).toContain(
      "Whether the desk has to be opened cannot be told: there is no round of the whole desk to go by; round 2032-01-31-01 is damaged",
    );
  });

  it("between a round and its baseline is passed over by compare, check and report", () => {
    storeRound(folder, aRound("2033-01-31"));
    const args = ["--desk", folder];
    for (const command of [
      ["compare"],
      ["report", "--with", "last", "--out", join(folder, "page.html")],
    ]) {
      const { code, err } = run(...command, ...args);
      expect(code, err).toBe(0);
      expect(err).toMatch(passedOver);
    }
    const { out } = run("check", "--with", "last", ...args);
    expect(out.replace(/\s+/g, " ")).toMatch(/Not used as a baseline: The round/);
  });

  it("that is named is an error", () => {
    const { code, err } = run("show", "2032-01-31-01", "--desk", folder);
    expect(code).toBe(2);
    expect(err).toMatch(/is damaged: it is not complete JSON/);
  });
});

describe("names", () => {
  it("that no object can have, or that differ in capitals only, are refused in one line", () => {
    for (const [inputs, words] of [
      ["  __proto__: { nominal: 4 }\n", "`__proto__` cannot be a name here"],
      ["  mic: { nominal: 4 }\n  Mic: { nominal: 4 }\n", "differ only in capitals"],
    ]) {
      const { code, err } = run("plan", "--desk", desk(inputs));
      expect(code).toBe(2);
      expect(err).toContain(words);
      expect(err.trim().split("\n")).toHaveLength(2);
    }
  });

  it("of what every object inherits are names like others", () => {
    const folder = desk("  constructor: { nominal: 4 }\n  toString: { nominal: 4 }\n");
    expect(run("plan", "--desk", folder).code).toBe(0);
    const base = aRound("2030-01-31");
    const [one] = base.paths;
    const reading = { value: 1, unit: "dB", uncertainty: 1 };
    const paths = ["1/constructor", "2/constructor", "3/constructor", "1/toString"].map((path) => {
      const [strip, input] = path.split("/");
      const readings = { ...one.readings, constructor: reading, valueOf: reading };
      return { ...one, path, strip, input, family: input, readings };
    });
    for (const day of ["2030-01-31", "2031-01-31", "2032-01-31"]) {
      storeRound(folder, { ...base, date: `${day}T10:00:00Z`, paths });
    }
    for (const command of [
      ["show"],
      ["show", "--list"],
      ["show", "1/constructor"],
      ["show", "--format", "csv"],
      ["compare"],
      ["compare", "--trend"],
      ["check"],
      ["plan"],
      ["plan", "--history", "1"],
      ["report"],
    ]) {
      const { code, err } = run(...command, "--desk", folder);
      expect(err, command.join(" ")).not.toContain("fault in deskround");
      expect(code, `${command.join(" ")}: ${err}`).toBeLessThan(2);
    }
  });

  it("of strips that share a part may be plain numbers", () => {
    const folder = desk(undefined, "flow:\n  shared:\n    card: [1, 2]\n");
    expect(run("plan", "--desk", folder)).toMatchObject({ code: 0 });
  });
});

it("a negative reading with a unit needs no --", () => {
  const folder = desk();
  const { code, out } = run("note", "meter", "1", "direct", "-120mV", "--desk", folder);
  expect(code).toBe(0);
  expect(out).toContain("−120 mV");
  expect(readFileSync(join(folder, "notebook.jsonl"), "utf8")).toContain('"value":-0.12');
});

it("more parts than can be noted at once are said to be that", () => {
  const { code, err } = run("note", "done", "1", "x", "--part", "1000x cap", "--desk", desk());
  expect(code).toBe(2);
  expect(err).toContain('"1000x cap" says 1000 parts: 1 to 999 can be noted at once.');
});

describe("a day in the future", () => {
  const folder = desk();
  const ask = (...args: string[]) =>
    runIn({ env: { DESKROUND_FUTURE: null } }, ...args, "--desk", folder);

  it.each([
    ["note", "add", "1", "hum"],
    ["note", "done", "1", "recapped"],
    ["opening", "start"],
    ["stores", "add", "fuse", "--count", "2"],
    ["withdraw", "2030-01-31-01", "wrong desk"],
    ["analyze", "x.wav"],
    ["calibrate", "x.wav", "--output-volts", "1.2"],
  ])("is refused away from a terminal: %s %s", (...args) => {
    const { code, err } = ask(...args, "--date", "2931-01-31");
    expect(code).toBe(2);
    expect(err).toContain(
      "2931-01-31 is in the future according to this computer's clock. Nothing was done.",
    );
    expect(err).toContain("add --future");
  });

  it("is refused in a file of notes too, and nothing of it is imported", () => {
    const file = join(folder, "pad.txt");
    writeFileSync(file, "2025-01-02 1: hum\n2931-01-31 2: buzz\n");
    const { code, err } = ask("note", "import", file);
    expect(code).toBe(2);
    expect(err).toContain("days in the future, by this computer's clock: 2931-01-31. Nothing was");
    expect(ask("note", "import", file, "--future").err).toContain("Imported 2 notes");
  });

  it("is taken where it is said to be meant, and for a plan", () => {
    expect(ask("note", "add", "1", "hum", "--date", "2931-01-31", "--future").code).toBe(0);
    expect(ask("plan", "--date", "2931-01-31").code).toBe(0);
  });
});

it("a round from the future is named with a way to set it aside", () => {
  const folder = desk();
  storeRound(folder, aRound("2999-01-31"));
  const { code, err } = run("analyze", "no.wav", "--desk", folder);
  expect(code).toBe(2);
  expect(err).toContain("but round 2999-01-31-01 lies in its future.");
  expect(err).toContain('deskround withdraw 2999-01-31-01 "wrong clock"');
  expect(run("withdraw", "2999-01-31-01", "wrong clock", "--desk", folder).code).toBe(0);
  expect(run("analyze", "no.wav", "--desk", folder).err).toContain("there is no such file");
});

/** Everything of C0 and C1 but tabs and line ends, and what turns text round (Unicode TR 9). */
const listControls = (text: string) =>
  (text.match(/[\p{Cc}\u202a-\u202e\u2066-\u2069]/gu) ?? []).filter((one) => !/[\t\r\n]/.test(one));

it("escape sequences of the user's come out of no command", () => {
  const folder = desk();
  const evil = "\u001b[31mred\u001b]0;title\u0007\u009b2J\u202etxet";
  const line = {
    note: 1,
    id: "n1",
    key: "0123456789ab",
    date: "2031-01-02T10:00:00Z",
    kind: "fault",
    strip: "1",
    text: evil,
    who: "M.",
  };
  writeFileSync(join(folder, "notebook.jsonl"), `${JSON.stringify(line)}\n`);
  const base = aRound("2030-01-31");
  const spoil = (path: string) => {
    const own = aPath(path);
    return {
      ...own,
      findings: own.findings.map((one) => ({ ...one, words: evil })),
      causes: own.causes.map((one) => ({ ...one, name: evil, evidence: [evil], confirmBy: evil })),
    };
  };
  const round: Omit<Round, "id"> = {
    ...base,
    desk: { ...base.desk, name: evil },
    warnings: [evil],
    remarks: [evil],
    captures: base.captures.map((one) => ({ ...one, file: evil })),
    paths: ["1/mic", "2/mic", "3/mic"].map(spoil),
  };
  for (const day of ["2030-01-31", "2031-01-31", "2032-01-31"]) {
    storeRound(folder, { ...round, date: `${day}T10:00:00Z` });
  }
  const page = join(folder, "page.html");
  mkdirSync(join(folder, "plots"));
  for (const command of [
    ["show"],
    ["show", "1/mic"],
    ["show", "--why", "1/mic"],
    ["show", "--list"],
    ["show", "--json"],
    ["show", "--format", "csv"],
    ["compare"],
    ["compare", "--json"],
    ["compare", "--trend"],
    ...["text", "json", "csv", "junit", "markdown", "tap"].map((one) => ["check", "--format", one]),
    ["note", "list"],
    ["note", "list", "--json"],
    ["note", "show", "n1"],
    ...["text", "markdown", "html", "csv", "json"].map((one) => ["plan", "--format", one]),
    ["plan", "--history", "1"],
    ["report", "--out", page],
    ["show", evil],
    ["note", "add", evil, "hum"],
    ["analyze", evil],
    ["withdraw", evil, "x"],
  ]) {
    const { out, err } = run(...command, "--desk", folder);
    expect(listControls(out + err), command.join(" ")).toEqual([]);
    expect(err, command.join(" ")).not.toContain("fault in deskround");
  }
  expect(listControls(readFileSync(page, "utf8"))).toEqual([]);
  // What scripts read is the text itself.
  expect(JSON.parse(run("note", "list", "--json", "--desk", folder).out).notes[0].text).toBe(evil);
});

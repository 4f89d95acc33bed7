import { execFile } from "node:child_process";
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { describe, expect, it } from "vitest";
import {
  assertHeld,
  assertStorable,
  holdFolder,
  listAllRounds,
  listRounds,
  readRound,
  storeRound,
} from "../../src/history/store.js";
import { aPath, aRound } from "./a-round.js";

function newFolder(): string {
  return mkdtempSync(join(tmpdir(), "rounds-"));
}

describe("storing a round", () => {
  it("numbers the rounds of a day from 01 and gives back what is on disk", async () => {
    const folder = newFolder();
    const first = storeRound(folder, aRound("2030-01-31"));
    expect(first.id).toBe("2030-01-31-01");
    expect(storeRound(folder, aRound("2030-01-31")).id).toBe("2030-01-31-02");
    expect(await readRound(folder, "2030-01-31-01")).toEqual(first);
    expect(readdirSync(join(folder, "rounds"))).toEqual([
      "2030-01-31-01.json",
      "2030-01-31-02.json",
    ]);
  });

  it("takes the number after the highest, so that a removed round's id is not used for another", () => {
    const folder = newFolder();
    storeRound(folder, aRound("2030-01-31"));
    storeRound(folder, aRound("2030-01-31"));
    const rounds = join(folder, "rounds");
    renameSync(join(rounds, "2030-01-31-01.json"), join(rounds, "old.json"));
    expect(storeRound(folder, aRound("2030-01-31")).id).toBe("2030-01-31-03");
  });

  it("counts only files of rounds, whatever else a file's name says", () => {
    const folder = newFolder();
    const { id } = storeRound(folder, aRound("2030-01-31"));
    const rounds = join(folder, "rounds");
    for (const name of ["2030-02-01-01.html", "2030-02-01-01.json.tmp", "notes.json", "x"]) {
      writeFileSync(join(rounds, name), "");
    }
    expect(listAllRounds(folder)).toEqual([id]);
  });

  it("keeps the figures that the uncertainty is worth, and no more", () => {
    const [path] = storeRound(newFolder(), aRound("2030-01-31")).paths;
    expect(path?.readings.noise).toEqual({ value: -86.12346, unit: "dB", uncertainty: 0.123 });
    expect(path?.curves.response?.y).toEqual([-0.12346, 0, 0.000012346]);
    expect(path?.take?.startSample).toBe(12345.679);
    expect(path?.causes[0]?.probability).toBe(0.8765);
  });

  it("lays a list of numbers on one line and each reading on a line of its own", () => {
    const folder = newFolder();
    storeRound(folder, aRound("2030-01-31"));
    const lines = readFileSync(join(folder, "rounds", "2030-01-31-01.json"), "utf8").split("\n");
    expect(lines).toContain('          "y": [-0.12346, 0, 0.000012346],');
    expect(lines).toContain(
      '        "noise": { "value": -86.12346, "unit": "dB", "uncertainty": 0.123 }',
    );
  });

  it("refuses NaN instead of writing null", () => {
    const folder = newFolder();
    const round = aRound("2030-01-31");
    const path = aPath("1/mic");
    const readings = { noise: { value: Number.NaN, unit: "dB", uncertainty: 1 } };
    expect(() => storeRound(folder, { ...round, paths: [{ ...path, readings }] })).toThrow("NaN");
    expect(listRounds(folder)).toEqual([]);
  });

  it("leaves nothing behind when the folder cannot be written", () => {
    const folder = newFolder();
    const file = join(folder, "desk.yaml");
    writeFileSync(file, "");
    expect(() => storeRound(file, aRound("2030-01-31"))).toThrow(
      `Cannot write ${file}/rounds/2030-01-31-01.json: a part of its folder is a file.`,
    );
    expect(readdirSync(folder)).toEqual(["desk.yaml"]);
  });

  it("gives every one of several programs that store at once a number of its own", async () => {
    const folder = newFolder();
    const store = new URL("../../dist/history/store.js", import.meta.url).href;
    const script = `const { storeRound } = await import(${JSON.stringify(store)});
      const round = ${JSON.stringify(aRound("2030-01-31", ["1/mic"]))};
      for (let i = 0; i < 10; i++) storeRound(${JSON.stringify(folder)}, round);`;
    const run = promisify(execFile);
    const all = Array.from({ length: 4 }, () =>
      run(process.execPath, ["--input-type=module", "-e", script]),
    );
    await Promise.all(all);
    const ids = listRounds(folder);
    expect(ids).toHaveLength(40);
    for (const id of ids) expect((await readRound(folder, id)).id).toBe(id);
    expect(readdirSync(join(folder, "rounds"))).toHaveLength(40);
  });
});

describe("reading a round", () => {
  const folder = newFolder();
  storeRound(folder, aRound("2031-02-01"));
  storeRound(folder, aRound("2030-01-31"));
  const file = join(folder, "rounds", "2031-02-01-01.json");
  const text = readFileSync(file, "utf8");

  it("finds the latest by day", async () => {
    expect((await readRound(folder, "last")).id).toBe("2031-02-01-01");
  });

  it("orders numbers past 99 as numbers", () => {
    const many = newFolder();
    storeRound(many, aRound("2030-01-31"));
    const rounds = join(many, "rounds");
    for (const number of ["99", "100"]) {
      writeFileSync(join(rounds, `2030-01-31-${number}.json`), "{}");
    }
    expect(listRounds(many)).toEqual(["2030-01-31-01", "2030-01-31-99", "2030-01-31-100"]);
  });

  it.each([
    ["2031-02-10-01", `No round "2031-02-10-01" is stored in ${folder}.`],
    ["../../etc/passwd", `No round "../../etc/passwd" is stored in ${folder}.`],
  ])("refuses the unknown id %s", async (id, message) => {
    await expect(readRound(folder, id)).rejects.toMatchObject({ code: "round-file", message });
  });

  it("says that there is none yet", async () => {
    await expect(readRound(newFolder(), "last")).rejects.toThrow("No round is stored in");
  });

  it.each([
    ["cut off", text.slice(0, -20), "is damaged: it is not complete JSON."],
    ["empty", "", "is damaged: it is not complete JSON."],
    ["of another kind", "[]", "is damaged: it is not marked as a round."],
    [
      "with a word for a number",
      text.replace('"value": -86.12346', '"value": "-86"'),
      "is damaged: paths[0].readings.noise.value: should be a number.",
    ],
    [
      "with a shortened curve",
      text.replace('"x": [20, ', '"x": ['),
      "is damaged: paths[0].curves.response: the lists of a curve should be of equal length.",
    ],
    [
      "with a curve that runs backwards",
      text.replace('"x": [20, 1000, 20000]', '"x": [20000, 1000, 20]'),
      "is damaged: paths[0].curves.response: a curve should run from low to high frequencies.",
    ],
    [
      "with a date that is none",
      text.replace("2031-02-01T10:00:00+01:00", "2031-02-30T10:00:00+01:00"),
      "is damaged: date: should be a date with time, such as 2031-03-14T10:00:00Z.",
    ],
    [
      "with a word for a date",
      text.replace("2031-02-01T10:00:00+01:00", "last spring"),
      "is damaged: date: should be a date with time, such as 2031-03-14T10:00:00Z.",
    ],
    [
      "with one path twice",
      text.replace('"path": "2/mic"', '"path": "1/mic"'),
      "is damaged: paths: the path 1/mic is in it twice.",
    ],
    [
      "of a newer program",
      text.replace('"version": 1,', '"version": 2,'),
      "was written by a newer deskround (round version 2, known up to 1).",
    ],
    [
      "under another's name",
      text.replace("2031-02-01-01", "2031-02-01-02"),
      "holds the round 2031-02-01-02, not 2031-02-01-01.",
    ],
  ])("names the file of a round %s", async (_, damaged, message) => {
    writeFileSync(file, damaged);
    const failed = expect(readRound(folder, "2031-02-01-01")).rejects;
    await failed.toMatchObject({ code: "round-file" });
    await expect(readRound(folder, "last")).rejects.toThrow(`${file} ${message}`);
    expect((await readRound(folder, "2030-01-31-01")).id).toBe("2030-01-31-01");
  });
});

describe("a folder for rounds", () => {
  it("is refused before anything is measured where it is a link that leads nowhere", () => {
    const folder = newFolder();
    symlinkSync(join(folder, "disk that is not there"), join(folder, "rounds"));
    expect(() => assertStorable(folder)).toThrow("it is a link to something that does not exist");
    expect(() => listRounds(folder)).toThrow("it is a link to something that does not exist");
  });

  it("is not made again when its disk was taken away in the meantime", () => {
    const folder = newFolder();
    const held = holdFolder(folder);
    assertHeld(held);
    renameSync(folder, `${folder}-away`);
    expect(() => assertHeld(held)).toThrow(`The desk's folder ${folder} is no longer there.`);
    mkdirSync(folder);
    expect(() => assertHeld(held)).toThrow("is not the one that it was when the work began");
  });
});

describe("a folder in which rounds can be stored", () => {
  it("has a folder of rounds, or none yet", () => {
    const folder = newFolder();
    expect(() => assertStorable(folder)).not.toThrow();
    mkdirSync(join(folder, "rounds"));
    expect(() => assertStorable(folder)).not.toThrow();
  });

  it("has neither a file nor a link to nowhere in its place", () => {
    const withFile = newFolder();
    writeFileSync(join(withFile, "rounds"), "");
    expect(() => assertStorable(withFile)).toThrow(/it is a file/);
    const withLink = newFolder();
    symlinkSync(join(withLink, "gone"), join(withLink, "rounds"));
    expect(() => assertStorable(withLink)).toThrow(/does not exist/);
  });
});

describe("a round that cannot be read or stored", () => {
  const roundsOf = (folder: string) => {
    const rounds = join(folder, "rounds");
    mkdirSync(rounds);
    return rounds;
  };

  it("has no number beyond 9999 of its day", () => {
    const folder = newFolder();
    const rounds = roundsOf(folder);
    writeFileSync(join(rounds, "2030-01-31-9999.json"), "{}");
    expect(() => storeRound(folder, aRound("2030-01-31"))).toThrow(
      '"2030-01-31-10000" cannot name a round',
    );
    expect(storeRound(folder, aRound("2030-02-01")).id).toBe("2030-02-01-01");
  });

  it("names no version that ever was", async () => {
    const folder = newFolder();
    const file = join(roundsOf(folder), "2030-01-31-01.json");
    for (const [version, told] of [
      ["0", "0"],
      ['"1"', "1"],
      ["0.5", "0.5"],
    ]) {
      writeFileSync(file, `{"format":"deskround-round","version":${version}}`);
      await expect(readRound(folder, "2030-01-31-01")).rejects.toMatchObject({
        code: "round-file",
        message: `The round ${file} is damaged: it names no version that ever was (${told}).`,
      });
    }
  });

  it("lies in a folder that leads in a circle, or is a folder itself", async () => {
    const folder = newFolder();
    symlinkSync("rounds", join(folder, "rounds"));
    expect(() => listRounds(folder)).toThrow(
      `Cannot read the folder ${join(folder, "rounds")} (ELOOP).`,
    );
    const other = newFolder();
    mkdirSync(join(roundsOf(other), "2030-01-31-01.json"));
    await expect(readRound(other, "2030-01-31-01")).rejects.toMatchObject({
      code: "round-file",
      message: expect.stringMatching(/^Cannot read .*2030-01-31-01\.json \([^()]+\)\.$/),
    });
  });

  it("has no folder any more where that is of another disk, whatever its number", () => {
    const held = holdFolder(newFolder());
    expect(() => assertHeld({ ...held, device: held.device + 1n })).toThrow(/is not the one/);
    expect(() => assertHeld({ ...held, inode: held.inode + 1n })).toThrow(/is not the one/);
    expect(() => assertHeld(held)).not.toThrow();
  });
});

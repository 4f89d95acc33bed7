import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { storeRound } from "../../src/history/store.js";
import { slow } from "../helpers/slow.js";
import { aRound } from "../history/a-round.js";
import { newFolder, run, runShell } from "./run.js";

// A limit on the length of files, in kB, stands in for a full disk: a write takes what fits, or
// fails.

/** A desk with a round, and a notebook of which a further note fits into 1 kB in part only. */
function aDesk(): string {
  const folder = newFolder();
  const text = "name: Desk\nmains: 50\nstrips: 4\ninputs:\n  mic: { nominal: 4 }\n";
  writeFileSync(join(folder, "desk.yaml"), text);
  storeRound(folder, aRound("2030-01-31"));
  const file = join(folder, "notebook.jsonl");
  for (let k = 1; !existsSync(file) || readFileSync(file).length < 850; k++) {
    expect(run("note", "add", "1", `hum ${k}`, "--desk", folder).code).toBe(0);
  }
  return folder;
}

describe("a disk that is full", () => {
  it(
    "costs no note that was acknowledged, and says that the last one was not written",
    slow,
    () => {
      const folder = aDesk();
      const file = join(folder, "notebook.jsonl");
      const before = readFileSync(file);
      expect(before.length).toBeLessThan(1024);
      const add = `note add 2 "${"dull ".repeat(60)}" --desk ${folder}`;
      const { code, out, err } = runShell(`ulimit -f 1; deskround ${add}`);
      expect([code, out]).toEqual([2, ""]);
      expect(err).toMatch(/Cannot write \S+notebook\.jsonl: /);
      expect(readFileSync(file)).toEqual(before);
      // Once there is space again, everything goes on.
      expect(run("note", "add", "2", "dull", "--desk", folder).code).toBe(0);
      const { notes } = JSON.parse(run("note", "list", "--json", "--desk", folder).out);
      const texts = notes.map(({ text }: { text: string }) => text);
      const earlier = before.toString().trim().split("\n");
      expect(texts).toEqual([...earlier.map((line) => JSON.parse(line).text), "dull"]);
    },
  );

  it("leaves none of an import's lines where not all of them fit", slow, () => {
    const folder = aDesk();
    const file = join(folder, "notebook.jsonl");
    const before = readFileSync(file);
    writeFileSync(join(folder, "old.txt"), `2: hum\n3: ${"buzz ".repeat(60)}\n`);
    const text = `ulimit -f 1; deskround note import ${folder}/old.txt --desk ${folder}`;
    expect(runShell(text).code).toBe(2);
    expect(readFileSync(file)).toEqual(before);
  });

  it(
    "leaves no half of a file that is written whole, and those that are there as they were",
    slow,
    () => {
      const folder = aDesk();
      const rounds = join(folder, "rounds");
      const [name] = readdirSync(rounds);
      const round = readFileSync(join(rounds, name));
      const empty = join(folder, "new");
      mkdirSync(empty);
      for (const [command, place] of [
        [`withdraw 2030-01-31-01 "wrong desk" --desk ${folder}`, rounds],
        [`report --out ${join(empty, "page.html")} --desk ${folder}`, empty],
        [`init --desk ${empty} --strips 4`, empty],
        [`signal --out ${join(empty, "x.wav")} --desk ${folder}`, empty],
      ]) {
        const before = readdirSync(place).filter((one) => one !== ".index");
        const { code, err } = runShell(`ulimit -f 0; deskround ${command}`);
        expect(code, `${command}: ${err}`).toBe(2);
        expect(err, command).toMatch(/Cannot write/);
        expect(err).not.toContain("fault in deskround");
        const after = readdirSync(place).filter((one) => one !== ".index");
        expect(after, command).toEqual(before);
      }
      expect(readFileSync(join(rounds, name))).toEqual(round);
    },
  );

  it("stores no round in part", () => {
    const folder = aDesk();
    const store = new URL("../../dist/history/store.js", import.meta.url).href;
    const script = join(folder, "store.mjs");
    writeFileSync(
      script,
      `import { storeRound } from ${JSON.stringify(store)};
      storeRound(${JSON.stringify(folder)}, ${JSON.stringify(aRound("2031-01-31"))});`,
    );
    const rounds = join(folder, "rounds");
    const before = readdirSync(rounds);
    const { code, err } = runShell(`ulimit -f 1; "${process.execPath}" "${script}"`);
    expect(code).toBe(1);
    expect(err).toMatch(/Cannot write|Cannot store/);
    expect(readdirSync(rounds)).toEqual(before);
  });
});

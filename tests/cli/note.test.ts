import { spawn } from "node:child_process";
import { appendFileSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { launcher, newFolder, run, runShell } from "./run.js";

function desk(): { folder: string; note: (...args: string[]) => ReturnType<typeof run> } {
  const folder = newFolder();
  run("init", "--desk", folder, "--strips", "8", "--inputs", "mic,line");
  return { folder, note: (verb, ...args) => run("note", verb, "--desk", folder, ...args) };
}

const json = (text: string) => JSON.parse(text);

describe("note", () => {
  it("notes a fault in the words of the person at the desk", () => {
    const { note } = desk();
    const noted = note("add", "6", "phantom comes  and goes ", "--date", "2031-03-14");
    expect(noted).toMatchObject({ code: 0, err: "" });
    expect(noted.out).toMatch(/^Noted as n1: strip 6: phantom comes and goes\n/);
    note("add", "7/mic", "--control", "Gain", "--symptom", "scratch", "--who", "Mo");
    const { notes } = json(note("list", "--json").out);
    expect(notes).toMatchObject([
      { id: "n1", kind: "fault", strip: "6", text: "phantom comes  and goes " },
      { id: "n2", strip: "7", input: "mic", control: "gain", symptom: "scratch", who: "Mo" },
    ]);
  });

  it("takes the text from stdin to the letter", () => {
    const { folder, note } = desk();
    const { code } = runShell(
      `printf 'two\\n "lines"  \\n' | deskround note add 6 --desk ${folder}`,
    );
    expect(code).toBe(0);
    expect(json(note("show", "n1", "--json").out).text).toBe('two\n "lines"  ');
  });

  it("suggests the strip, input or word that was meant, and notes nothing", () => {
    const { note } = desk();
    expect(note("add", "66", "x")).toMatchObject({ code: 2, out: "" });
    expect(note("add", "66", "x").err).toMatch(/no strip "66".\n {2}Its strips run from 1 to 8\./);
    expect(note("add", "6/mik", "x").err).toMatch(/Did you mean 6\/mic\?/);
    expect(note("add", "6", "--symptom", "scrach").err).toMatch(/Did you mean scratch\?/);
    expect(note("show", "n1").err).toMatch(/holds no note yet/);
  });

  it("judges a phantom supply as it is noted", () => {
    const { note } = desk();
    const { code, out } = note("meter", "6", "phantom", "--pin2", "31.2", "--pin3", "47.8");
    expect(code).toBe(0);
    expect(out).toMatch(/Out of range\.\n {2}pin 2 31\.2 V, 48 V ± 4 V expected \(IEC 61938\)/);
    expect(note("meter", "6", "resistor", "6790")).toMatchObject({ code: 2, out: "" });
    expect(note("meter", "6", "phantom", "--pin2", "480").err).toMatch(/impossible/);
  });

  it("closes and corrects by new lines", () => {
    const { folder, note } = desk();
    note("add", "6", "hum");
    note("add", "7", "buzz");
    const before = readFileSync(join(folder, "notebook.jsonl"), "utf8");
    expect(note("close", "n1", "--text", "cable").code).toBe(0);
    expect(note("correct", "n2", "buzz at 100 Hz", "--place", "8/line").code).toBe(0);
    expect(readFileSync(join(folder, "notebook.jsonl"), "utf8").startsWith(before)).toBe(true);
    expect(note("list").out).toMatch(/^1 open note; 1 closed.*\n.*8\/line +buzz at 100 Hz/);
    expect(note("close", "n1").err).toMatch(/closed already/);
    expect(note("correct", "n2", "--withdraw").code).toBe(0);
    expect(json(note("list", "--json").out).notes).toEqual([]);
  });

  it("keeps a damaged line, reports and skips it", () => {
    const { folder, note } = desk();
    note("add", "6", "hum");
    const file = join(folder, "notebook.jsonl");
    appendFileSync(file, '{"note":1,"id":"n2","da');
    const { code, err } = note("add", "7", "buzz");
    expect(code).toBe(0);
    expect(err).toMatch(/notebook\.jsonl line 2 was skipped: it is not complete JSON/);
    expect(readFileSync(file, "utf8")).toContain('{"note":1,"id":"n2","da\n');
    expect(json(note("list", "--json").out)).toMatchObject({
      notes: [{ text: "hum" }, { text: "buzz" }],
      damaged: [{ line: 2 }],
    });
  });

  it("keeps words that are piped in beside a symptom, and nothing of what Ctrl-C cut short", async () => {
    const { folder, note } = desk();
    const add = `deskround note add 6 --desk ${folder}`;
    expect(runShell(`echo "hum, with lamp on" | ${add} --symptom hum`).code).toBe(0);
    const child = spawn(process.execPath, [launcher, "note", "add", "6", "-", "--desk", folder]);
    child.stdin.write("half a no");
    // Time to begin reading; one that has not begun by then ends all the same. How soon a program
    // ends is measured in signals.test.ts.
    await new Promise((resolve) => setTimeout(resolve, 1000));
    const ended = new Promise((resolve) => child.on("exit", (_, signal) => resolve(signal)));
    child.kill("SIGINT");
    expect(await ended).toBe("SIGINT");
    const { notes } = json(note("list", "--json").out);
    expect(notes.map((n: { text: string }) => n.text)).toEqual(["hum, with lamp on"]);
  });

  it("imports a text and a spreadsheet once, all or nothing", () => {
    const { folder, note } = desk();
    const text = join(folder, "old.txt");
    writeFileSync(
      text,
      "# from the pad\n2030-11-02 6/mic: hum, with lamp on\nstrip 7 - dull\n\nstrip 8 pop\n",
    );
    expect(note("import", text).err).toBe("Imported 3 notes.\n");
    expect(note("import", text).err).toBe("Imported 0 notes; 3 were in the notebook already.\n");
    const table = join(folder, "old.csv");
    writeFileSync(
      table,
      '\ufeffdate;strip;input;text;symptom\r\n2031-01-02;5;mic;"says ""ow""; loud";pop\r\n',
    );
    expect(note("import", table).code).toBe(0);
    const { notes } = json(note("list", "--json").out);
    expect(notes.map((n: { strip: string; text: string }) => [n.strip, n.text])).toEqual([
      ["6", "hum, with lamp on"],
      ["7", "dull"],
      ["8", "pop"],
      ["5", 'says "ow"; loud'],
    ]);
    writeFileSync(text, "7: fine\n12 no such strip\n");
    const failed = note("import", text);
    expect(failed.code).toBe(2);
    expect(failed.err).toMatch(/old\.txt line 2: This desk has no strip "12"/);
    expect(json(note("list", "--json").out).notes).toHaveLength(4);
  });
});

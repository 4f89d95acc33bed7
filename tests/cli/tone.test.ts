import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { newDesk } from "../jobs/recordings.js";
import { run } from "./run.js";

describe("signal --tone", () => {
  const desk = newDesk(1);
  const tone = (...args: string[]) => run("signal", "--desk", desk, ...args);

  it("writes the tone and says how loud it is at the sockets", () => {
    const { code, out, err } = tone("--tone", "30", "--minutes", "0.1");
    const file = join(desk, "deskround-tone-30Hz-48000-int24.wav");
    expect({ code, err }).toEqual({ code: 0, err: `Wrote ${file}.\n` });
    expect(out).toMatch(/30 Hz, -18 dBFS/);
    expect(out).toMatch(/[Mm]ute the (control-room )?monitors/);
    expect(out).toContain("mic -40.0 dBu");
    expect(readFileSync(file).length).toBeGreaterThan(6 * 48_000 * 3);
    expect(tone("--tone", "30", "--minutes", "0.1").err).toContain(
      "exists already and is identical",
    );
    expect(tone("--tone", "30Hz", "--minutes", "0.2").code).toBe(2);
    expect(tone("--tone", "30", "--minutes", "0.2", "--force").code).toBe(0);
    const louder = tone("--tone", "1k", "--level", "-8", "--minutes", "0.1", "--json");
    expect(JSON.parse(louder.out)).toMatchObject({ frequencyHz: 1000, levelDbfs: -8 });
    expect(JSON.parse(louder.out).sockets[0]).toEqual({ input: "mic", dbu: -30 });
  });

  it.each([
    [["--tone", "30000"], /30000 Hz is out of range: at 48000 Hz it may be 5 to 21000 Hz.*--rate/s],
    [["--tone", "1"], /1 Hz is out of range/],
    [["--tone", "loud"], /frequency in hertz/],
    [["--tone", "30", "--minutes", "0"], /0 minutes are out of range/],
    [["--tone", "30", "--minutes", "600"], /600 minutes.*repeat/s],
    [["--tone", "30", "--minutes", "five"], /should be a number/],
    [["--tone", "30", "--level", "6"], /6 dBFS is out of range/],
    [["--tone", "30", "--profile", "quick"], /--profile cannot be combined with --tone/],
    [["--tone", "30", "--sheet", "x.txt"], /--sheet cannot be combined with --tone/],
    [["--minutes", "5"], /--minutes is only for a steady tone.*--tone 30 --minutes 5/s],
    [["--level", "-20"], /--level is only for a steady tone/],
  ])("refuses %j with words", (args, words) => {
    const before = readdirSync(desk);
    const { code, out, err } = tone(...args);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toMatch(words);
    expect(readdirSync(desk)).toEqual(before);
  });

  it("replaces nothing but a tone", () => {
    const file = join(desk, "mine.wav");
    writeFileSync(file, "mine");
    expect(tone("--tone", "30", "--out", file).err).toContain("was left as it is");
    expect(tone("--tone", "30", "--out", file, "--force").err).toContain("is not a tone");
    expect(readFileSync(file, "utf8")).toBe("mine");
  });

  it("says first of all to leave the power off while a danger is noted", () => {
    const own = newDesk(1);
    run("note", "add", "--desk", own, "1", "burning smell");
    const { out } = run("signal", "--desk", own, "--tone", "40", "--minutes", "0.1");
    expect(out).toMatch(/^TONE.*\n\n {2}! {2}DANGER, strip 1: burning/);
    for (const args of [["listen", "--try"], ["halve"], ["morning", "none.wav"]]) {
      const { err } = run(args[0], "--desk", own, ...args.slice(1));
      expect(err).toMatch(/^Leave the power off while strip 1 is plugged in: n1: DANGER/);
    }
    run("note", "close", "--desk", own, "n1", "--text", "capacitor replaced");
    const after = run("signal", "--desk", own, "--tone", "50", "--minutes", "0.1");
    expect(after.out).not.toContain("DANGER");
  });
});

import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { parseCalendarDay, parseWholeNumber, parseWordList } from "../../src/cli/options.js";
import { escapeReport, escapeUnprintable, getReportStyle } from "../../src/cli/output.js";
import { storeRound } from "../../src/history/store.js";
import { createPalette } from "../../src/report/style.js";
import { slow } from "../helpers/slow.js";
import { aRound } from "../history/a-round.js";
import { newFolder, run, runShell, start } from "./run.js";

/** A folder with the starter desk file in it. */
function newDesk(): string {
  const folder = newFolder();
  expect(run("init", "--desk", folder).code).toBe(0);
  return folder;
}

describe("the command line", () => {
  it("prints help and version on stdout with exit code 0", () => {
    expect(run("--help")).toMatchObject({ code: 0, err: "" });
    expect(run("--version")).toMatchObject({ code: 0, out: "0.1.0\n", err: "" });
    expect(run("help", "signal").out).toMatch(/^Usage: deskround signal/);
  });

  it.each([
    [["--hlep"], "deskround: `deskround` has no option --hlep.\n  Did you mean --help?\n"],
    [
      ["analyse", "a b.wav"],
      'deskround: There is no command "analyse".\n  Did you mean: deskround analyze "a b.wav"\n',
    ],
    [["shwo", "7"], "Did you mean: deskround show 7\n"],
    [["show7/mic"], "Did you mean: deskround show 7/mic\n"],
    [["mic", "7"], "`deskround show 7/mic` shows it.\n"],
    [["note", "lst", "7"], "Did you mean: deskround note list 7\n"],
    [["opening", "strat"], "Did you mean: deskround opening start\n"],
    [
      ["signal", "--profil", "x"],
      "`deskround signal` has no option --profil.\n  Did you mean --profile?\n",
    ],
    [["signal", "--rate", "47000"], '--rate "47000" is not one of 44100, 48'],
    [["signal", "--profile", "fast"], '--profile "fast" is not one of quick, st'],
    [["init", "--mains", "55"], '--mains "55" is not one of 50, 60.\n'],
    [["init", "extra"], 'deskround: `deskround init` does not take "extra".\n'],
    [
      ["analyze"],
      "deskround: `deskround analyze` needs <captures>: WAV, FLAC or AIFF files, in the order they were recorded.\n  For example: deskround analyze recording*.wav; `deskround analyze --help` shows",
    ],
    [
      ["analyze", "x.wav", "--date", "2030-02-30"],
      "There is no such day: it is written YYYY-MM-DD.\n",
    ],
    [["demo", "--seed", "-1"], "--seed -1: It should be a whole number.\n"],
  ])("answers %j with exit code 2 and what is meant", (args, message) => {
    const { code, out, err } = run(...args);
    expect(code).toBe(2);
    expect(out).toBe("");
    expect(err).toContain(message);
  });

  it("keeps control characters of a message off the terminal", () => {
    const { err } = run("init", "--name", "a\u001b[2Jb");
    expect(err).toBe(
      "deskround: The name of the desk holds control characters or invisible ones.\n" +
        "  Give it one line of plain text with --name.\n",
    );
    expect(run("show", "\u001b[2J/mic", "--desk", newFolder()).err).not.toContain("\u001b");
  });

  it("shows where an error arose only with --debug", () => {
    const inProgram = /\bpickRound\b.*program\/\S+\.js:\d+/;
    const folder = newFolder();
    expect(run("show", "--desk", folder).err).not.toMatch(inProgram);
    expect(run("show", "--desk", folder, "--debug").err).toMatch(inProgram);
  });

  describe("with a result longer than a pipe holds", () => {
    const folder = newFolder();
    const paths = Array.from({ length: 400 }, (_, k) => `${k + 1}/mic`);
    const stored = storeRound(folder, aRound("2030-01-31", paths));
    const show = `deskround show --json --desk ${folder}`;

    it("gives all of it to a slow reader and to a file", () => {
      // Linux, pipe(7): a pipe holds 65,536 bytes.
      expect(JSON.stringify(stored).length).toBeGreaterThan(2 * 65_536);
      const piped = runShell(`${show} | (sleep 1; cat)`);
      expect({ ...piped, out: JSON.parse(piped.out) }).toEqual({ code: 0, err: "", out: stored });
      const file = join(folder, "out.json");
      expect(runShell(`${show} > ${file}`)).toEqual({ code: 0, err: "", out: "" });
      expect(readFileSync(file, "utf8")).toBe(piped.out);
      expect(runShell(`(echo first; ${show}) > ${file}`).code).toBe(0);
      expect(readFileSync(file, "utf8")).toBe(`first\n${piped.out}`);
    });

    it("says when a file takes a part of it alone", slow, () => {
      // A limit on the length of files, in kB, as a full disk: what fits is taken, without an error.
      const file = join(folder, "part.json");
      expect(runShell(`ulimit -f 8; ${show} > ${file}`)).toEqual({
        code: 2,
        out: "",
        err:
          "deskround: Cannot write the result: the file would be larger than is allowed.\n" +
          "  Check the free space where the output goes; what was stored is safe.\n",
      });
      expect(readFileSync(file).length).toBe(8 * 1024);
      expect(runShell(`ulimit -f 1; deskround --help > ${file}`).code).toBe(2);
    });
  });

  it.runIf(existsSync("/dev/full"))("says when a device takes none of it", () => {
    for (const command of ["deskround --help", "deskround init --help"]) {
      const { code, err } = runShell(`${command} > /dev/full`);
      expect(code).toBe(2);
      expect(err).toContain("Cannot write the result: no space left on the disk.");
    }
  });

  it("ends quietly when the reader of its output goes away", () => {
    const { err } = runShell(`deskround signal --sheet-only --desk ${newDesk()} | true; exit 0`);
    expect(err).toBe("");
  });
});

describe("init", () => {
  it("writes desk.yaml into a new folder and says so on stderr", () => {
    const folder = join(newFolder(), "a", "desk");
    const { code, out, err } = run("init", "--desk", folder, "--strips", "1,2,3A", "--mains", "60");
    expect({ code, out }).toEqual({ code: 0, out: "" });
    expect(err).toBe(
      `Wrote ${folder}/desk.yaml. Change it to suit the desk, then: deskround signal --desk ${folder}\n`,
    );
    expect(readFileSync(join(folder, "desk.yaml"), "utf8")).toContain("strips: [1, 2, 3A]\n");
  });

  it("never touches a desk.yaml that exists", () => {
    const folder = newFolder();
    writeFileSync(join(folder, "desk.yaml"), "mine");
    const { code, err } = run("init", "--desk", folder);
    expect(code).toBe(2);
    expect(err).toBe(
      `deskround: ${folder}/desk.yaml exists already and was left as it is.\n` +
        "  Edit it, or name another folder with --desk.\n",
    );
    expect(readFileSync(join(folder, "desk.yaml"), "utf8")).toBe("mine");
    expect(readdirSync(folder)).toEqual(["desk.yaml"]);
  });

  it("says why a folder cannot be written", () => {
    const file = join(newFolder(), "file");
    writeFileSync(file, "");
    const { code, err } = run("init", "--desk", join(file, "desk"));
    expect(code).toBe(2);
    expect(err).toBe(
      `deskround: Cannot write ${file}/desk/desk.yaml: a part of its folder is a file.\n` +
        "  Name another place, or check the folder's permissions and the free space.\n",
    );
  });

  it("refuses strips that no desk file could hold", () => {
    const { code, err } = run("init", "--desk", newFolder(), "--strips", "1,1");
    expect(code).toBe(2);
    expect(err).toBe(
      'deskround: Strips "1,1": strip 1 is there twice.\n' +
        "  Give how many there are (24), a range (1-24) or names (1,2,3A).\n",
    );
  });
});

describe("signal", () => {
  const folder = newDesk();

  it("writes the WAV file into the desk's folder and the run sheet to stdout", () => {
    const { code, out, err } = run("signal", "--profile", "quick", "--desk", folder);
    const file = join(folder, "deskround-quick-48000-int24.wav");
    expect({ code, err }).toEqual({ code: 0, err: `Wrote ${file}.\n` });
    expect(readFileSync(file).toString("latin1", 0, 4)).toBe("RIFF");
    expect(out).toMatch(/^RUN SHEET {3}Desk\n/);
    expect(out.split("\n").filter((line) => line.startsWith("[ ]"))).toHaveLength(72);
  });

  it("replaces a file only when told to", () => {
    const file = join(folder, "kept.wav");
    writeFileSync(file, "mine");
    const args = ["signal", "--profile", "quick", "--desk", folder, "--out", file];
    const { code, out, err } = run(...args);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toBe(
      `deskround: ${file} exists already and was left as it is.\n` +
        "  --sheet-only prints its run sheet, --force replaces an earlier test signal, --out names another file.\n",
    );
    expect(readFileSync(file, "utf8")).toBe("mine");
    expect(run(...args, "--force").err).toContain("is not a test signal written by deskround");
    expect(readFileSync(file, "utf8")).toBe("mine");
  });

  it("refuses a name that a folder has, and a broken link", () => {
    const taken = join(newFolder(), "taken.txt");
    mkdirSync(taken);
    const args = ["signal", "--profile", "quick", "--desk", folder];
    const refusal = `deskround: Cannot write ${taken}: it is not a regular file.\n`;
    for (const more of [["--out"], ["--force", "--out"], ["--sheet"], ["--force", "--sheet"]]) {
      const { code, err } = run(...args, ...more, taken);
      expect(code).toBe(2);
      expect(err).toContain(refusal);
      expect(err).not.toContain("Wrote");
    }
    const nowhere = join(folder, "nowhere.wav");
    symlinkSync(join(folder, "none.wav"), nowhere);
    const { code, err } = run(...args, "--out", nowhere);
    expect(code).toBe(2);
    expect(err).toContain(`deskround: ${nowhere} exists already and was left as it is.\n`);
  });

  it("prints the sheet alone, as text or JSON, without writing", () => {
    const desk = newDesk();
    const { out } = run("signal", "--sheet-only", "--json", "--desk", desk);
    expect(JSON.parse(out).patches[0]).toMatchObject({
      number: 1,
      path: "1/mic",
      strip: "1",
      input: "mic",
      nominalDbu: -40,
      plug: "strip 1, mic socket",
      padDb: 44,
      pad: "in",
    });
    expect(readdirSync(desk)).toEqual(["desk.yaml"]);
  });

  it("names the line of a wrong key in desk.yaml", () => {
    const desk = newFolder();
    writeFileSync(join(desk, "desk.yaml"), "name: x\nmians: 50\nstrips: 2\n");
    const { code, out, err } = run("signal", "--desk", desk);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toBe(
      `deskround: ${desk}/desk.yaml line 2: "mians" is not a key here.\n` +
        "  Did you mean mains? 2 faults in the file, this is the first.\n",
    );
  });

  it("says how to begin where there is no desk file", () => {
    const desk = newFolder();
    expect(run("signal", "--desk", desk).err).toBe(
      `deskround: No desk file can be read at ${desk}/desk.yaml.\n` +
        "  Name the desk's folder with --desk, or write a desk file with `deskround init`.\n",
    );
  });

  it("leaves no half-written file when it cannot write", () => {
    const file = join(folder, "desk.yaml", "x.wav");
    const { code, err } = run("signal", "--desk", folder, "--out", file, "--profile", "quick");
    expect(code).toBe(2);
    expect(err).toContain(`deskround: Cannot write ${file}: a part of its folder is a file.\n`);
    expect(existsSync(file)).toBe(false);
  });
});

describe("Ctrl-C", () => {
  it.each([100, 300, 500, 700])("after %i ms leaves the whole file or none", async (delay) => {
    const folder = newDesk();
    const program = start("signal", "--desk", folder, "--profile", "full", "--rate", "96000");
    setTimeout(() => program.kill("SIGINT"), delay);
    const code = await new Promise((resolve) =>
      program.once("close", (status, signal) => {
        resolve(signal === "SIGINT" ? 130 : status);
      }),
    );
    expect([0, 130]).toContain(code);
    // Half a file may be left under no name of its own, until somebody writes there again.
    expect(run("signal", "--desk", folder, "--profile", "quick").code).toBe(0);
    const written = readdirSync(folder).filter((name) => name !== "desk.yaml");
    expect(written.filter((name) => !name.endsWith(".wav"))).toEqual([]);
    for (const name of written) {
      const bytes = readFileSync(join(folder, name));
      // RIFF: the size field counts what follows it.
      expect(bytes.readUInt32LE(4) + 8).toBe(bytes.length);
    }
  });
});

describe("show", () => {
  const folder = mkdtempSync(join(tmpdir(), "show-"));
  const first = storeRound(folder, aRound("2030-01-31"));
  const last = storeRound(folder, aRound("2031-02-01"));

  it("prints the last round, or the one named, exactly as stored", () => {
    expect(JSON.parse(run("show", "--json", "--desk", folder).out)).toEqual(last);
    expect(JSON.parse(run("show", first.id, "--json", "--desk", folder).out)).toEqual(first);
  });

  it("prints one path of the last round, or of the one named", () => {
    const ofLast = run("show", "2/mic", "--json", "--desk", folder);
    expect(JSON.parse(ofLast.out)).toEqual(last.paths[1]);
    const ofFirst = run("show", first.id, "1/mic", "--json", "--desk", folder);
    expect(JSON.parse(ofFirst.out)).toEqual(first.paths[0]);
  });

  it("lists the rounds, the damaged among them", () => {
    writeFileSync(join(folder, "rounds", "2029-01-01-01.json"), "{");
    const { out } = run("show", "--list", "--desk", folder);
    expect(out).toMatch(/^2029-01-01-01 .*cannot be read$/m);
    expect(out).toMatch(/^2030-01-31-01 +all 2 /m);
    expect(out).toMatch(/^2031-02-01-01 +all 2 /m);
    expect(out.replace(/\s+/g, " ")).toContain(
      `The round ${folder}/rounds/2029-01-01-01.json is damaged: it is not complete JSON.`,
    );
  });

  it.each([
    [
      ["2030-01-31-02"],
      /^deskround: No round "2030-01-31-02" is stored in .*\n {2}Did you mean 2030-01-31-01\?/,
    ],
    [
      ["2/mik"],
      /^deskround: Path 2\/mik: round 2031-02-01-01 has no input "mik"\.\n {2}Did you mean 2\/mic\?\n$/,
    ],
    [["2029-01-01-01"], /^deskround: The round .* is damaged: it is not complete JSON\.\n/],
  ])("refuses %j with what is known instead", (args, message) => {
    const { code, out, err } = run("show", ...args, "--desk", folder);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toMatch(message);
  });

  it("keeps control characters of a stored round off the terminal", () => {
    const hostile = newFolder();
    const [path] = aRound("2030-01-31").paths;
    const take = { file: "a\u001b]0;b\u0007.wav", channel: 0, startSample: 0, driftPpm: 0 };
    storeRound(hostile, {
      ...aRound("2030-01-31"),
      desk: { name: "Big\u001b[2Jdesk", mainsHz: 50 },
      warnings: ["turned \u202eround"],
      paths: [{ ...path, take }],
    });
    const round = run("show", "--desk", hostile).out;
    expect(round).toMatch(/^Big\uFFFD\[2Jdesk, round/);
    expect(round).toContain("turned \uFFFDround");
    expect(run("show", "1/mic", "--desk", hostile).out).not.toMatch(/[^\P{Cc}\n]/u);
    const { out } = run("show", "--json", "--desk", hostile);
    expect(out).not.toMatch(/(?!\n)[\p{Cc}\p{Cf}]/u);
    expect(JSON.parse(out).warnings).toEqual(["turned \u202eround"]);
  });

  it("shows the whole of a long path in 80 columns", () => {
    const wordy = newFolder();
    const path = "strip-number-100/microphone-input";
    storeRound(wordy, aRound("2030-01-31", [path, "1/mic"]));
    const { out } = run("show", "--desk", wordy);
    expect(out).toMatch(/\nstrip-number-100\/ service .*\nmicrophone-input /);
    expect(Math.max(...out.split("\n").map((line) => line.length))).toBeLessThanOrEqual(80);
  });

  it("says that there is no round yet", () => {
    const empty = newFolder();
    expect(run("show", "--desk", empty)).toMatchObject({ code: 2, out: "" });
    expect(run("show", "--list", "--desk", empty)).toMatchObject({
      code: 0,
      out: "",
      err: "No round is stored yet.\n",
    });
    expect(run("show", "--list", "--json", "--desk", empty).out).toBe("[]\n");
  });
});

describe("a desk file with a colon in a value", () => {
  it("is answered with the quotes that it needs", () => {
    const folder = newFolder();
    const head = "name: Desk\nmains: 50\nstrips: 4\ninputs:\n  mic:\n    nominal: 4\n";
    writeFileSync(join(folder, "desk.yaml"), `${head}    setup: note: fader to 0\n`);
    const { code, err } = run("plan", "--desk", folder);
    expect(code).toBe(2);
    expect(err).toMatch(/line 7: not readable as YAML[^\n]*\n {2}Put the value in quotes/);
    expect(err).toContain('setup: "note: fader to 0"');
  });
});

describe("option values", () => {
  it("a day is one of the calendar", () => {
    expect(parseCalendarDay("2032-02-29")).toBe("2032-02-29");
    for (const wrong of ["2030-02-29", "2030-13-01", "30-01-01", "2030-1", ""]) {
      expect(() => parseCalendarDay(wrong)).toThrow("YYYY-MM-DD");
    }
  });

  it("a whole number is written in digits", () => {
    expect(parseWholeNumber("42")).toBe(42);
    for (const wrong of ["-1", "1.5", "1e3", "", "0x10"])
      expect(() => parseWholeNumber(wrong)).toThrow();
  });

  it("a list drops empty words", () => {
    expect(parseWordList(" mic, line,,")).toEqual(["mic", "line"]);
  });
});

describe("the style of a report", () => {
  const terminal = { isTTY: true, columns: 132 };

  it("is coloured and as wide as the terminal", () => {
    expect(getReportStyle(terminal, { TERM: "xterm" })).toEqual({ colour: "ansi", width: 132 });
  });

  it("has no colour in a pipe, with NO_COLOR, or on a dumb terminal", () => {
    expect(getReportStyle({}, {})).toEqual({ colour: "none", width: 80 });
    expect(getReportStyle(terminal, { NO_COLOR: "1" }).colour).toBe("none");
    expect(getReportStyle(terminal, { NO_COLOR: "" }).colour).toBe("ansi");
    expect(getReportStyle(terminal, { TERM: "dumb" }).colour).toBe("none");
  });
});

describe("text for the terminal", () => {
  it("keeps this program's colours and replaces what hides text or paints over it", () => {
    const colours = createPalette({ colour: "ansi", width: 80 });
    const own = Object.values(colours).map((paint) => paint("a"));
    for (const text of [...own, colours.bad(`a${colours.strong("b")}c`)]) {
      expect(escapeReport(text, { colour: "ansi" })).toBe(text);
    }
    // Concealed and a red ground (ECMA-48, 8.3.117).
    for (const code of ["8", "41", "31;8", "0", ""]) {
      expect(escapeReport(`\u001b[${code}ma`, { colour: "ansi" })).toBe(`\uFFFD[${code}ma`);
    }
    expect(escapeReport("\u001b[31ma", { colour: "none" })).toBe("\uFFFD[31ma");
  });

  it("keeps line ends and replaces what moves the cursor", () => {
    expect(escapeUnprintable("a\n\u001b[2J\r\u202eb\u009b")).toBe(
      "a\n\uFFFD[2J\uFFFD\uFFFDb\uFFFD",
    );
  });
});

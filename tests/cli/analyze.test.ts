import { type SpawnSyncReturns, spawn, spawnSync } from "node:child_process";
import {
  appendFileSync,
  chmodSync,
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Writable } from "node:stream";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { DeskroundError } from "../../src/errors.js";
import { storeRound } from "../../src/history/store.js";
import type { AnalyzeRequest } from "../../src/jobs/analyze.js";
import { analyze } from "../../src/jobs/analyze.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeCaptureWav, encodeSignalWav } from "../../src/signal/signal-wav.js";
import { makeSamples } from "../helpers/samples.js";
import { slow } from "../helpers/slow.js";
import { aRound } from "../history/a-round.js";
import { answer, header, joined, newDesk, pause, writeCapture } from "../jobs/recordings.js";
import { launcher, type Ran, run } from "./run.js";

const rate = 48_000;
const shelf = mkdtempSync(join(tmpdir(), "captures-"));
const folders = [shelf];
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

function aDesk(strips: number, inputs?: readonly string[]): string {
  const folder = newDesk(strips, inputs);
  folders.push(folder);
  return folder;
}

function onShelf(name: string, content: Uint8Array | string): string {
  const file = join(shelf, name);
  writeFileSync(file, content);
  return file;
}

const recorded = (name: string, ...parts: readonly Float64Array[]) =>
  writeCapture(join(shelf, name), [joined(...parts)], rate);

const oneReturn = answer(rate, { gain: 0.9 });
const good = recorded("good.wav", oneReturn);

/** Every file of a folder with its bytes, hidden ones too. */
function contents(folder: string): Record<string, string> {
  const names = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
  return Object.fromEntries(names.map((name) => [name, readFileSync(name).toString("base64")]));
}

/** One line of what is wrong, one of what to do, and every file of the desk as it was. */
async function expectRefused(
  desk: string,
  request: Partial<AnalyzeRequest>,
  message: RegExp,
  hint: RegExp,
): Promise<void> {
  const before = contents(desk);
  const whole = { desk, captures: [good], silent: [], keep: "store", ...request } as const;
  const error = await analyze(whole, () => {}).catch((thrown: unknown) => thrown);
  expect(error).toBeInstanceOf(DeskroundError);
  const refusal = error as DeskroundError;
  expect(refusal.message).toMatch(message);
  expect(refusal.message).toMatch(/^[^\n]+\.$/);
  expect(refusal.hint).toMatch(hint);
  expect(contents(desk)).toEqual(before);
}

/** The same for the program as built: two lines on stderr, nothing on stdout, exit code 2. */
function expectRefusal(desk: string, args: readonly string[], message: RegExp, hint: RegExp): void {
  const before = contents(desk);
  const { code, out, err } = run(...args, "--desk", desk);
  const [first, second, ...more] = err.split("\n");
  expect(first).toMatch(/^deskround: /);
  expect(first).toMatch(message);
  expect(second).toMatch(/^ {2}\S/);
  expect(second).toMatch(hint);
  expect({ code, out, more }).toEqual({ code: 2, out: "", more: [""] });
  expect(contents(desk)).toEqual(before);
}

describe("a capture that cannot be used is refused, and nothing is written", () => {
  const desk = aDesk(2);
  storeRound(desk, aRound("2020-01-31"));
  const signal = Buffer.from(encodeSignalWav(buildSignalTable("quick", "base"), rate, "int16"));
  const another = signal
    .toString("latin1")
    .replaceAll("v1-quick", "v2-quick")
    .replaceAll("version=1 ", "version=2 ");
  const tone = makeSamples(2 * rate, (n) => 0.3 * Math.sin(0.0576 * n));
  const clipped = pause(2, rate, 2).map((x) => Math.max(-1, Math.min(1, x)));

  /** A 24-bit file of one channel of which only the first frames are left. */
  const cutShort = (file: string, frames: number) => {
    truncateSync(file, 44 + 3 * frames);
    return file;
  };

  const cases: readonly [string, () => string, RegExp, RegExp][] = [
    ["no such file", () => join(shelf, "none.wav"), /none\.wav: there is no such file/, /Check/],
    ["no name", () => "", /name of a file is empty/, /variable/],
    ["a folder", () => shelf, /is a folder, not a recording/, /Name the recordings in it/],
    ["not a WAV", () => onShelf("text.wav", "some notes"), /begins with `some`/, /as WAV/],
    ["an empty file", () => onShelf("empty.wav", ""), /the file is empty/, /again/],
    [
      "no samples",
      () => onShelf("zero.wav", encodeCaptureWav(new Float64Array(0), rate, "int16")),
      /holds no samples/,
      /again/,
    ],
    [
      "digital silence",
      () => writeCapture(join(shelf, "0.wav"), [new Float64Array(rate)], rate, "float32"),
      /no return was found; what was heard is digital silence/,
      /which input/,
    ],
    [
      "silence",
      () => recorded("silence.wav", pause(1, rate)),
      /what was heard is silence, nothing above −8\d dBFS/,
      /which input/,
    ],
    [
      "a level far too low",
      () =>
        recorded(
          "low.wav",
          answer(rate, { gain: 0.006, noise: 2e-4 }).subarray(0.7 * rate, 4 * rate),
        ),
      /what was heard is a level far too low, nothing above −5\d dBFS/,
      /Turn up the interface's input/,
    ],
    [
      "clipped noise",
      () => recorded("clipped.wav", clipped),
      /what was heard is a clipped signal, 6\d % of its samples at full scale/,
      /Turn down the interface's input/,
    ],
    [
      "other sound",
      () => recorded("tone.wav", tone),
      /what was heard is sound up to −10 dBFS, but not the signal's markers/,
      /Was the signal played/,
    ],
    [
      "a return without its end",
      () => recorded("noend.wav", oneReturn.subarray(0, 3 * rate)),
      /a return that starts at 0\.1 s and was cut off before its end/,
      /Record it again: start recording before/,
    ],
    [
      "a return without its start",
      () => recorded("nostart.wav", oneReturn.subarray(2 * rate)),
      /the end of a return, at 3\.0 s, whose start is missing/,
      /Record it again: start recording before/,
    ],
    [
      "a recording cut short in its pause",
      () => cutShort(recorded("short.wav", pause(1, rate), oneReturn), rate),
      /short\.wav: was cut short.* holds \d+ of the \d+ bytes of samples .* What it holds is silence/,
      /^Copy the file again from the recorder; if that one is cut short too, record it again\.$/,
    ],
    [
      "a recording cut short in its return",
      () => cutShort(recorded("half.wav", oneReturn), 3 * rate),
      /half\.wav: was cut short.* What it holds is a return that starts at 0\.1 s and was cut off/,
      /^Copy the file again from the recorder/,
    ],
    [
      "a signal of another version",
      () => onShelf("v2.wav", Buffer.from(another, "latin1")),
      /made by another version of deskround \(signal 2; this one reads 1\)/,
      /Write it again with `deskround signal`/,
    ],
    [
      "the signal itself",
      () => onShelf("signal.wav", signal),
      /is the test signal itself, not a recording/,
      /Play it into the desk/,
    ],
  ];
  it.each(cases)("%s", async (_, capture, message, hint) => {
    await expectRefused(desk, { captures: [capture()] }, message, hint);
  });

  it("by the program in two lines, with exit code 2", () => {
    const silence = recorded("nothing.wav", pause(1, rate));
    const args = ["analyze", "--json", silence];
    expectRefusal(desk, args, /no return was found; what was heard is silence/, /which input/);
    expectRefusal(desk, ["analyze", "a\nb.wav"], /: a b\.wav: there is no such file\.$/, /Check/);
  });

  it("the same capture twice: by its name, by another, by a link, or copied", async () => {
    const link = join(shelf, "link.wav");
    symlinkSync(good, link);
    const copy = join(shelf, "copy.wav");
    copyFileSync(good, copy);
    const twice = (other: string, message: RegExp, hint: RegExp) =>
      expectRefused(desk, { captures: [good, other] }, message, hint);
    await twice(good, /good\.wav: is named twice/, /once/);
    await twice(`${shelf}/./good.wav`, /is named twice, also as .*good\.wav/, /once/);
    await twice(link, /link\.wav: is named twice, also as .*good\.wav/, /once/);
    await twice(copy, /copy\.wav: holds the same recording as .*good\.wav/, /copy/);
  });
});

describe("a request that cannot be met is refused, and nothing is written", () => {
  const desk = aDesk(2);

  it("no capture at all, an unknown option, a day, profile or rate that does not exist", () => {
    const refusal = (args: readonly string[], message: RegExp) =>
      expectRefusal(desk, args, message, /`deskround [a-z]+ --help` shows what it takes/);
    refusal(["analyze"], /needs <captures>/);
    refusal(["analyze", good, "--loud"], /has no option --loud/);
    refusal(["analyze", good, "--date", "2030-02-30"], /no such day: it is written YYYY-MM-DD/);
    refusal(["signal", "--rate", "22050"], /"22050" is not one of/);
    refusal(["signal", "--profile", "loud"], /"loud" is not one of/);
  });

  it("a signal file that is missing, none of ours, or of another version", async () => {
    const refused = (signalFile: string, message: RegExp, hint: RegExp) =>
      expectRefused(desk, { signalFile }, message, hint);
    await refused(join(shelf, "none.wav"), /no such file/, /Check/);
    await refused(good, /is not a test signal of deskround/, /Write it again/);
    await refused(join(shelf, "v2.wav"), /another version of deskround/, /Write it/);
    const standard = encodeSignalWav(buildSignalTable("standard", "base"), rate, "int16");
    const other = onShelf("standard.wav", standard);
    await refused(other, /of the quick signal, not of the standard one/, /leave/);
    const wide = onShelf(
      "wide.wav",
      encodeSignalWav(buildSignalTable("quick", "wide"), 96_000, "int16"),
    );
    const bands =
      /of the quick signal for 44\.1 and 48 kHz \(band base\), not of the quick one for 88\.2 kHz and up \(band wide\) named with --signal\.$/;
    await refused(wide, bands, /leave/);
  });

  it("a map that is missing, no text, names what is not there, or too much", async () => {
    const refused = (map: string, message: RegExp, hint: RegExp) =>
      expectRefused(desk, { map }, message, hint);
    await refused("evening.txt", /^--map: there is no file evening\.txt/, /Check/);
    await refused(shelf, /^--map: .* is no file/, /text file/);
    await refused(good, /^--map: .*good\.wav is (too large|not text)/, /text file/);
    await refused("", /^--map: holds no path/, /7\/mic/);
    await refused("1/mik", /^--map: Path 1\/mik: .* no input "mik"/, /1\/mic\?/);
    await refused("2/mic,2/mic", /lists 2 returns, 1 were found/, /found/);
    const file = onShelf("map.txt", "# evening\n1/mic\n9/mic\n");
    await refused(file, /map\.txt, line 3: Path 9\/mic: .* no strip "9"/, /from 1 to 2/);
  });

  it("a silent path that the desk has not", async () => {
    const silent = ["9/mic"];
    await expectRefused(desk, { silent }, /^--silent: Path 9\/mic: .* no strip/, /from 1 to 2/);
  });

  it("no desk file, or one with a wrong key or value, by its line", async () => {
    const none = join(shelf, "no desk");
    mkdirSync(none);
    await expectRefused(none, {}, /^No desk file can be read at .*no desk\/desk\.yaml/, /init/);
    const wrong = aDesk(2);
    const text = readFileSync(join(wrong, "desk.yaml"), "utf8");
    const refused = (from: string, to: string, message: RegExp, hint: RegExp) => {
      writeFileSync(join(wrong, "desk.yaml"), text.replace(from, to));
      return expectRefused(wrong, {}, message, hint);
    };
    await refused("order:", "odrer:", /yaml line \d+: "odrer" is not a key/, /Did you mean order/);
    await refused(
      "mains: 50",
      "mains: fifty",
      /yaml line 7: "mains" is "fifty"; allowed/,
      /Change/,
    );
    await refused("strips: 2", "strips: [1", /yaml line \d+: not readable as YAML/, /Compare/);
  });

  it("a folder in which no round can be stored, before anything is measured", async () => {
    const blocked = aDesk(2);
    writeFileSync(join(blocked, "rounds"), "");
    await expectRefused(blocked, {}, /^Rounds cannot be stored in .*: it is a file/, /--preview/);

    const locked = aDesk(2);
    chmodSync(shelf, 0o755);
    chmodSync(locked, 0o555);
    const { status, stdout, stderr } = asNobody("analyze", "--desk", locked, good);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(stderr).toMatch(
      /^deskround: Rounds cannot be stored in .*: permission denied\.\n {2}Check /,
    );
    expect(readdirSync(locked)).toEqual(["desk.yaml"]);
    chmodSync(locked, 0o755);
  });
});

/** As somebody whom permissions bind: root is not. */
function asNobody(...args: readonly string[]): SpawnSyncReturns<string> {
  const nobody = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};
  return spawnSync(process.execPath, [launcher, ...args], { encoding: "utf8", ...nobody });
}

describe("captures named as the desk file says", () => {
  const desk = aDesk(2, ["mic", "line"]);
  const file = recorded("Leitung 02 nachts.wav", oneReturn);

  it("are taken for its paths by their names", () => {
    appendFileSync(join(desk, "desk.yaml"), "captures:\n  line: Leitung <strip> <any>\n");
    const { code, err } = run("analyze", "--desk", desk, "--preview", file);
    expect(code).toBe(3);
    expect(err.replace(/\s+/g, " ")).toContain("Leitung 02 nachts.wav: 2/line, by its name");
  });

  it("are not read where the desk file is wrong about them", () => {
    appendFileSync(join(desk, "desk.yaml"), "  mic: Mikrofon <stripe>\n");
    const lines = readFileSync(join(desk, "desk.yaml"), "utf8").split("\n").length - 1;
    const { code, out, err } = run("analyze", "--desk", desk, file);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toContain(`desk.yaml line ${lines}: "<stripe>" is not a placeholder.`);
    expect(err).toContain("Did you mean <strip>?");
  });
});

describe("what analyze prints", () => {
  const desk = aDesk(4, ["mic", "line"]);
  const paths = ["mic", "line"].flatMap((input) => [1, 2, 3, 4].map((strip) => ({ input, strip })));
  const captures = paths.map(({ input, strip }, k) => {
    const gain = input === "line" && strip === 3 ? -0.9 : 0.9 + 0.01 * k;
    return recorded(`${strip}-${input}.wav`, answer(rate, { gain, seed: k }));
  });
  let complete: Ran;
  let partial: Ran;
  let ids: readonly string[];
  beforeAll(() => {
    complete = run("analyze", "--desk", desk, ...captures);
    partial = run("analyze", "--desk", desk, "--json", ...captures.slice(0, 7));
    ids = readdirSync(join(desk, "rounds"))
      .filter((name) => name.endsWith(".json"))
      .map((name) => name.replace(".json", ""));
  }, 180_000);

  it("ends with 0 when every path was measured, with 3 when some were not", () => {
    expect([complete.code, partial.code]).toEqual([0, 3]);
  });

  it("goes to stdout when it is the result, all else to stderr", () => {
    expect(complete.out).toMatch(/^Desk, round \d{4}-\d\d-\d\d-01\n/);
    const taken = /^Assigned to:\n( {2,4}\S.*\n)+Stored round (.*)\.\n$/;
    expect(taken.exec(complete.err)?.[2]).toBe(ids[0]);
    expect(taken.exec(partial.err)?.[2]).toBe(ids[1]);
  });

  it("two rounds of one day are numbered", () => {
    expect(ids.map((id) => id.slice(-3))).toEqual(["-01", "-02"]);
    expect(ids[0].slice(0, 10)).toBe(ids[1].slice(0, 10));
  });

  it("as JSON is the stored file to the letter", () => {
    expect(partial.out).toBe(readFileSync(join(desk, "rounds", `${ids[1]}.json`), "utf8"));
    expect(JSON.parse(partial.out).id).toBe(ids[1]);
  });

  it("is what show prints of the stored round", () => {
    expect(run("show", ids[0], "--desk", desk)).toEqual({ code: 0, out: complete.out, err: "" });
    expect(run("show", "--json", "--desk", desk)).toMatchObject({ code: 0, out: partial.out });
  });

  it("names the odd path, the missing one, and the command that shows more", () => {
    expect(complete.out).toMatch(/\n1 path [a-z ]+: 3\/line; 7 paths are like their siblings\.\n/);
    expect(complete.out).toContain(`deskround show ${ids[0]} 3/line --desk ${desk}`);
    const text = run("show", ids[1], "--desk", desk).out;
    expect(text).toMatch(/like their siblings; 1 path was not\s+measured\.\n/);
    expect(text).toContain("\nMissing: 4/line\n");
  });

  it("fits 80 columns and has no colour away from a terminal", () => {
    for (const { out } of [complete, run("show", "3/line", "--desk", desk)]) {
      expect(Math.max(...out.split("\n").map((line) => line.length))).toBeLessThanOrEqual(80);
      expect(out).not.toContain("\u001b");
    }
  });

  it("is the same from several threads and from none", slow, async () => {
    const built = run("analyze", "--preview", "--json", "--desk", desk, ...captures);
    const here = await analyze({ desk, captures, silent: [], keep: "preview" }, () => {});
    const { date: _, ...threaded } = JSON.parse(built.out);
    const { date: __, ...single } = JSON.parse(JSON.stringify(here));
    expect(threaded).toEqual(single);
  });
});

/** Whether there is the program that gives another one a terminal of its own (util-linux). */
const hasScript = spawnSync("script", ["--version"]).status === 0;

/**
 * Runs a line of shell in a terminal.
 *
 * @param onOutput called with all that it has shown so far, control sequences and all
 */
async function inTerminal(
  line: string,
  env: Record<string, string> = {},
  onOutput: (shown: string, keyboard: Writable) => void = () => {},
): Promise<{ readonly shown: string; readonly code: number | null }> {
  // Whether colours are wanted is the test's to say, not whoever runs the tests.
  const { NO_COLOR: _, FORCE_COLOR: __, ...usual } = process.env;
  const terminal = spawn("script", ["-qec", line, "/dev/null"], {
    env: { ...usual, TERM: "xterm", ...env },
  });
  let shown = "";
  terminal.stdout.setEncoding("utf8").on("data", (text: string) => {
    shown += text;
    onOutput(shown, terminal.stdin);
  });
  const code = await new Promise<number | null>((done) => terminal.once("close", done));
  return { shown, code };
}

describe.skipIf(!hasScript)("on a terminal", () => {
  const desk = aDesk(1);
  const analyzeLine = `"${process.execPath}" "${launcher}" analyze --desk "${desk}"`;
  const esc = "\u001b";
  const clearLine = `${esc}[1G${esc}[2K`;

  it("a bar shows how far it is and is gone afterwards; what matters is bold", async () => {
    const { shown } = await inTerminal(`${analyzeLine} --preview "${good}"`);
    expect(shown).toMatch(/finding returns #*-* \d+ %/);
    expect(shown).toMatch(/measuring +#*-* \d+ %/);
    const [bar, result] = shown.split(/(?<=%.*)(?=.\[1mDesk, preview)/s);
    expect(bar.endsWith(clearLine)).toBe(true);
    // Ctrl-C could never undo a change of the terminal's modes ("?" and a letter; ECMA-48, 8.3.106).
    expect(shown).not.toContain(`${esc}[?`);
    expect(result).not.toContain("%");
  });

  it("NO_COLOR leaves out the colours", async () => {
    const line = `${analyzeLine} --preview "${good}" 2> /dev/null`;
    const { shown } = await inTerminal(line, { NO_COLOR: "1" });
    expect(shown).toContain("Desk, preview");
    expect(shown).not.toContain(esc);
  });

  it("Ctrl-C ends it at once, leaves the terminal as it was, and nothing is stored", async () => {
    const long = longCapture("long.wav");
    let pressedAt: number | undefined;
    const { shown, code } = await inTerminal(`${analyzeLine} "${long}"`, {}, (soFar, keyboard) => {
      if (pressedAt !== undefined || !soFar.includes("finding returns")) return;
      keyboard.write("\u0003");
      pressedAt = performance.now();
    });
    // The search of such a file takes many times as long; a busy machine is allowed for.
    expect(performance.now() - (pressedAt ?? 0)).toBeLessThan(10_000);
    expect(code).toBe(130);
    expect(shown).not.toContain(`${esc}[?`);
    expect(readdirSync(desk)).toEqual(["desk.yaml"]);
  });
});

/** An hour of silence after one return; the silence is a hole in the file. */
function longCapture(name: string): string {
  const frames = 3600 * rate;
  const file = recorded(name, oneReturn);
  const samples = readFileSync(file).subarray(44);
  writeFileSync(file, Buffer.concat([header(1, 1, rate, 3, 3 * frames), samples]));
  truncateSync(file, 44 + 3 * frames);
  return file;
}

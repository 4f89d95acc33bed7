import { execFileSync } from "node:child_process";
import {
  chmodSync,
  closeSync,
  cpSync,
  existsSync,
  ftruncateSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { DeskroundError } from "../../src/errors.js";
import { assertCalibrationReplaceable, storeCalibration } from "../../src/history/calibration.js";
import { storeRound } from "../../src/history/store.js";
import { writeWithdrawn } from "../../src/history/withdrawn.js";
import { demo } from "../../src/jobs/demo.js";
import { initDesk } from "../../src/jobs/init.js";
import { noteFault } from "../../src/jobs/note/note-fault.js";
import { report } from "../../src/jobs/report.js";
import { makeSignal } from "../../src/jobs/signal.js";
import { pageMark, plotMark } from "../../src/report/html/own-marks.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { encodeCaptureWav, encodeDemoWav, encodeSignalWav } from "../../src/signal/signal-wav.js";
import { slow } from "../helpers/slow.js";
import { aDesk } from "../report/html/a-desk.js";

const base = mkdtempSync(join(tmpdir(), "in-the-way-"));
afterAll(() => rmSync(base, { recursive: true, force: true }));

const deskText = formatStarterDesk({ name: "Desk", strips: "2", inputs: ["mic"], mainsHz: 50 });
const aRound = aDesk(1);
const { id: _, ...toStore } = aRound;
const aCalibration = { format: "deskround-calibration", version: 1, inputs: [] };

const kept = join(base, "kept");
mkdirSync(kept);
writeFileSync(join(kept, "desk.yaml"), deskText);
storeRound(kept, toStore);

let count = 0;
/** A folder with a desk and a round, which were stored once. */
function newDesk(): string {
  const folder = join(base, String(count++));
  cpSync(kept, folder, { recursive: true });
  return folder;
}

/** Files of this program's own kinds, and everything else that may have a name. */
const contents: Readonly<Record<string, string | Uint8Array>> = {
  "an empty file": "",
  "a text": "Dear all, the desk hums.\n",
  "a desk file": deskText,
  "a recording": encodeCaptureWav(new Float64Array(4800), 48_000, "int24"),
  "a demo recording": encodeDemoWav(new Float64Array(4800), 48_000),
  "a test signal": encodeSignalWav(buildSignalTable("quick", "base"), 48_000, "int16"),
  "a round": `${JSON.stringify(aRound, undefined, 2)}\n`,
  "a calibration": `${JSON.stringify(aCalibration, undefined, 2)}\n`,
  "a list of withdrawn rounds":
    '{\n  "format": "deskround-withdrawn",\n  "version": 1,\n  "rounds": []\n}\n',
  "a notebook": '{"note":1,"id":"n1","date":"2031-03-14T12:00:00Z","kind":"fault","text":"hum"}\n',
  "a page": `<!doctype html>\n<html lang="en">\n<head>\n${pageMark}\n`,
  "a page of another program": "<!doctype html>\n<html>\n<title>Mine</title>\n",
  "a plot": `<svg xmlns="http://www.w3.org/2000/svg">${plotMark}</svg>\n`,
  "a drawing": '<svg xmlns="http://www.w3.org/2000/svg"></svg>\n',
  "a run sheet as text": "RUN SHEET   Desk\n\nBEFORE ANYTHING PLAYS\n",
  "a run sheet as Markdown": "# Run sheet: Desk\n\n## Before anything plays\n",
  "a run sheet as a page": "<!doctype html>\n<html>\n<title>Run sheet: Desk</title>\n",
  // A mark further in than the first bytes is somebody's quotation.
  "a text that quotes a page": `${"x".repeat(5000)}${pageMark}${plotMark}`,
};

const ways: Readonly<Record<string, (file: string) => void>> = {
  ...Object.fromEntries(
    Object.entries(contents).map(([name, data]) => [name, (f: string) => writeFileSync(f, data)]),
  ),
  "a recording of 600 MB": (file) => {
    const handle = openSync(file, "w");
    ftruncateSync(handle, 600_000_000);
    closeSync(handle);
  },
  "a file that cannot be read": (file) => symlinkSync("/proc/self/mem", file),
  "a link to a text": (file) => {
    writeFileSync(`${file}.target`, "mine");
    symlinkSync(`${file}.target`, file);
  },
  "a link to nowhere": (file) => symlinkSync(join(base, "unmounted", "x"), file),
  "a folder": (file) => mkdirSync(file),
  "a pipe": (file) => execFileSync("mkfifo", [file]),
  "a device": (file) => symlinkSync("/dev/null", file),
};

/** Everything about a name that must not change. */
function stateOf(file: string): string {
  const kind = lstatSync(file);
  const isLink = kind.isSymbolicLink();
  const target = isLink ? readlinkSync(file) : "";
  const followed = isLink && target.endsWith(".target") ? target : file;
  const small = lstatSync(followed).isFile() && lstatSync(followed).size < 1e6;
  const text = small ? readFileSync(followed).toString("latin1") : "";
  return JSON.stringify([kind.ino, kind.mode, kind.size, target, text]);
}

interface Output {
  /** Its file, in a desk's folder. */
  readonly file: string;
  readonly write: (folder: string, file: string) => unknown;
  /** What of the above it may replace, or add to. */
  readonly own: readonly string[];
}

const signal = (folder: string, more: object) =>
  makeSignal({
    desk: folder,
    profile: "quick",
    sampleRate: 48_000,
    format: "int16",
    write: "new",
    files: "sheet",
    ...more,
  });
const demoIn = (folder: string) => demo({ folder: join(folder, "demo") }, () => {});
const refusedDemo = (file: string): Output => ({
  file: join("demo", file),
  own: [],
  write: (folder) => demoIn(folder),
});

const outputs: Readonly<Record<string, Output>> = {
  init: {
    file: "new/desk.yaml",
    own: [],
    write: (folder) => initDesk(join(folder, "new"), starter),
  },
  "signal --out": {
    file: "x.wav",
    // The very same signal is kept.
    own: ["a test signal"],
    write: (folder, out) => signal(folder, { out, files: "all" }),
  },
  "signal --out --force": {
    file: "x.wav",
    own: ["a test signal"],
    write: (folder, out) => signal(folder, { out, files: "all", write: "replace" }),
  },
  "signal --sheet": {
    file: "x.txt",
    own: [],
    write: (folder, sheet) => signal(folder, { sheet }),
  },
  "signal --sheet x.txt --force": {
    file: "x.txt",
    own: ["a run sheet as text"],
    write: (folder, sheet) => signal(folder, { sheet, write: "replace" }),
  },
  "signal --sheet x.md --force": {
    file: "x.md",
    own: ["a run sheet as Markdown"],
    write: (folder, sheet) => signal(folder, { sheet, write: "replace" }),
  },
  "signal --sheet x.html --force": {
    file: "x.html",
    own: ["a run sheet as a page"],
    write: (folder, sheet) => signal(folder, { sheet, write: "replace" }),
  },
  report: {
    file: `reports/${aRound.id}.html`,
    own: ["a page"],
    write: (folder) => report({ desk: folder, round: "last" }),
  },
  "report --out": {
    file: "x.html",
    own: ["a page"],
    write: (folder, out) => report({ desk: folder, round: "last", out }),
  },
  "report --plots": {
    file: "plots/1-mic-response.svg",
    own: ["a plot"],
    write: (folder) => report({ desk: folder, round: "last", plots: join(folder, "plots") }),
  },
  "calibrate, before it measures": {
    file: "calibration.json",
    own: ["a calibration"],
    write: (folder) => assertCalibrationReplaceable(folder),
  },
  calibrate: {
    file: "calibration.json",
    own: ["a calibration"],
    write: (folder) => storeCalibration(folder, storable),
  },
  "a round withdrawn": {
    file: "rounds/withdrawn.json",
    own: ["a list of withdrawn rounds"],
    write: (folder) => writeWithdrawn(folder, aRound.id),
  },
  "note add": {
    file: "notebook.jsonl",
    own: ["an empty file", "a notebook"],
    write: (folder) => noteFault({ desk: folder, place: "1", text: "hum" }),
  },
  analyze: {
    file: "rounds/2031-03-14-02.json",
    // The next number is taken.
    own: Object.keys(ways),
    write: (folder) => storeRound(folder, toStore),
  },
  "demo, desk file": refusedDemo("desk.yaml"),
  "demo, test signal": {
    ...refusedDemo("deskround-standard-48000-int24.wav"),
    own: ["a test signal"],
  },
  "demo, recordings": { ...refusedDemo("captures/07-line.wav"), own: ["a demo recording"] },
};

const starter = { name: "Desk", strips: "2", inputs: ["mic"], mainsHz: 50 } as const;
const storable = {
  ...aCalibration,
  volts: {
    output: { value: 1, uncertainty: 1 },
    input: { value: 1, uncertainty: 1 },
    meterPercent: 1,
  },
  outputFullScale: { value: 1, unit: "dBu", uncertainty: 1 },
} as unknown as Parameters<typeof storeCalibration>[1];

const numbered = Object.entries(outputs).map(([name, output], k) => [name, output, k] as const);
/** Each output is tried with a third of the ways in `npm test`, each way with a third of the outputs. */
const isQuick = (output: number, way: number) => (output + way) % 3 === 0;

describe.each(numbered)("%s", (output, { file: name, write, own }, k) => {
  const all = Object.keys(ways);
  const quick = all.filter((way, i) => own.includes(way) || isQuick(k, i));

  it.each(quick)("with %s in the way", tryWay);
  it.each(all.filter((way) => !quick.includes(way)))("with %s in the way", slow, tryWay);

  async function tryWay(way: string): Promise<void> {
    // The demo takes a minute; what it may replace is tried where it is written.
    if (output.startsWith("demo") && own.includes(way)) return;
    const folder = newDesk();
    const file = join(folder, name);
    mkdirSync(dirname(file), { recursive: true });
    ways[way](file);
    const before = stateOf(file);
    const around = readdirSync(dirname(file));
    const error = await Promise.resolve()
      .then(() => write(folder, file))
      .then(
        () => undefined,
        (thrown: unknown) => thrown,
      );
    if (own.includes(way)) {
      expect(error).toBeUndefined();
      if (output === "analyze") expect(stateOf(file)).toBe(before);
      return;
    }
    expect(error).toBeInstanceOf(DeskroundError);
    expect((error as DeskroundError).code).toMatch(
      /^(cannot-write|desk-file|notebook-file|round-file)$/,
    );
    expect(stateOf(file)).toBe(before);
    expect(readdirSync(dirname(file))).toEqual(around);
  }
});

describe("what is protected", () => {
  it("leaves a write-protected calibration, page and test signal as they are", async () => {
    const folder = newDesk();
    for (const [name, way, write] of [
      ["calibration.json", "a calibration", () => storeCalibration(folder, storable)],
      [
        "x.html",
        "a page",
        () => report({ desk: folder, round: "last", out: join(folder, "x.html") }),
      ],
      [
        "x.wav",
        "a test signal",
        () => signal(folder, { out: join(folder, "x.wav"), files: "all", write: "replace" }),
      ],
    ] as const) {
      const file = join(folder, name);
      writeFileSync(file, contents[way]);
      chmodSync(file, 0o444);
      await expect((async () => write())()).rejects.toThrow("is write-protected");
      expect(readFileSync(file).equals(Buffer.from(contents[way]))).toBe(true);
    }
  });

  it("leaves alone a demo's desk file that was edited, and a folder with another's rounds", async () => {
    const folder = newDesk();
    mkdirSync(join(folder, "demo"));
    const file = join(folder, "demo", "desk.yaml");
    const edited = "# The demo's virtual desk: nothing here is real.\nname: Mine\nstrips: 2\n";
    writeFileSync(file, edited);
    await expect(demoIn(folder)).rejects.toThrow("is not a demo desk written by deskround");
    expect(readFileSync(file, "utf8")).toBe(edited);
    rmSync(join(folder, "desk.yaml"));
    await expect(demo({ folder }, () => {})).rejects.toThrow("holds rounds of another desk");
    expect(existsSync(join(folder, "captures"))).toBe(false);
  });

  it("replaces what it wrote itself when it is asked to", async () => {
    const folder = newDesk();
    for (const sheet of ["a.txt", "a.md", "a.html"].map((name) => join(folder, name))) {
      const again = { out: join(folder, "x.wav"), sheet, files: "all", write: "replace" };
      await signal(folder, again);
      expect((await signal(folder, again)).wav).toBe("written");
    }
    const plots = join(folder, "plots");
    await report({ desk: folder, round: "last", plots });
    expect((await report({ desk: folder, round: "last", plots })).plots.length).toBeGreaterThan(0);
  });

  it("refuses one name for two outputs of a command", async () => {
    const folder = newDesk();
    const twice = join(folder, "x.txt");
    await expect(signal(folder, { out: twice, sheet: twice, files: "all" })).rejects.toThrow(
      "cannot be both",
    );
    const plots = join(folder, "plots");
    const out = join(plots, "1-mic-response.svg");
    // A plot's name is that of no page, which is refused before anything is written.
    await expect(report({ desk: folder, round: "last", out, plots })).rejects.toThrow(
      "a report is an HTML page",
    );
    expect(existsSync(twice) || existsSync(plots)).toBe(false);
  });

  it("gives every path plots of its own, whatever their names have in common", async () => {
    const folder = newDesk();
    const texts = {
      desk: "Desk",
      strip: (k: number) => ["1", "1+", "A", "a", "1--"][k - 1],
      inputs: ["mic"],
      note: "",
    };
    const { id: __, ...round } = aDesk(5, texts);
    storeRound(folder, { ...round, date: "2031-03-15T12:00:00Z" });
    const { plots } = await report({
      desk: folder,
      round: "last",
      plots: join(folder, "plots"),
    });
    expect(new Set(plots.map((file) => file.toLowerCase())).size).toBe(plots.length);
    expect(readdirSync(join(folder, "plots"))).toHaveLength(plots.length);
  });
});

/** What `same-rounds.mjs` has a build of the program do with its captures. */
import { spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join, resolve } from "node:path";

const quillmere = `name: The Quillmere desk
mains: 50
strips: 1-8
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`;
const controls = `name: The Quillmere desk
mains: 50
strips: 1-8
inputs:
  mic:
    nominal: -40
    setup: Mic selected.
    set: { gain: 44 dB }
controls:
  phantom: { kind: switch, set: off }
  gain: knob
  fader: { kind: fader, set: at its mark }
`;
const lines = (name, strips, more = "") => `name: ${name}
mains: 50
strips: ${strips}
inputs:
  line: { nominal: 4 }
${more}`;
const both = ["mic.wav", "line.wav"];
const years = [2031, 2034, 2036, 2038, 2040];
const analyze = (date, ...rest) => ["analyze", "--json", "--date", date, ...rest];

/**
 * Each case: its desk file, as text or from a folder of the captures, and commands that run one after
 * another on the same desk, in the folder of captures named by `from`.
 */
export const cases = [
  {
    name: "demo",
    from: "demo/captures",
    desk: { from: "demo/desk.yaml" },
    commands: [
      (files) => analyze("2031-03-14", ...files),
      () => ["check", "--json"],
      () => ["plan", "--json", "--date", "2031-06-01"],
    ],
  },
  {
    name: "circuits",
    from: "circuits",
    desk: { from: "circuits/desk.yaml" },
    commands: [() => analyze("2031-03-14", "strips.wav"), () => ["check", "--json"]],
  },
  {
    name: "channels",
    from: "channels",
    desk: lines("The Marlgate desk", "1-8", "channels: 1-8\n"),
    commands: [() => analyze("2031-03-14", "line.wav")],
  },
  {
    name: "stereo",
    from: "stereo",
    desk: quillmere,
    commands: [() => analyze("2031-03-14", "mic.wav")],
  },
  {
    name: "parts",
    from: "parts",
    desk: quillmere,
    commands: [(files) => analyze("2031-03-14", ...files)],
  },
  {
    name: "takes",
    from: "example",
    desk: quillmere,
    commands: [
      () => analyze("2031-03-14", ...both, "takes/7-mic.wav", "takes/7-mic take 2.wav"),
      () => analyze("2031-03-15", "--take", "7/mic=1", "mic.wav", "takes/7-mic take 2.wav"),
    ],
  },
  {
    name: "silent",
    from: "example",
    desk: quillmere,
    commands: [() => analyze("2031-03-14", "--silent", "6/mic", "evening/mic.wav", "line.wav")],
  },
  {
    name: "calibrated",
    from: "example",
    desk: quillmere,
    commands: [
      () => [
        "calibrate",
        "--json",
        "--output-volts",
        "1.228",
        "--date",
        "2031-03-13",
        "loopback.wav",
      ],
      () => analyze("2031-03-14", ...both),
      () => ["check", "--json"],
    ],
  },
  {
    name: "controls",
    from: "example",
    desk: controls,
    commands: [() => analyze("2031-03-15", "--only", "3,4", "controls.wav")],
  },
  {
    name: "opening",
    from: "example",
    desk: quillmere,
    commands: [
      () => analyze("2031-03-14", ...both),
      () => ["note", "add", "7/mic", "hissy on quiet voices", "--date", "2031-03-20"],
      () => ["note", "add", "5/line", "--symptom", "thin", "--date", "2031-03-21"],
      () => ["plan", "--json", "--date", "2031-06-01"],
      () => ["note", "done", "2", "low-cut switch freed", "--date", "2031-11-21"],
      () => ["note", "done", "5", "coupling capacitors replaced", "--date", "2031-11-21"],
      () => ["note", "done", "7", "first device of the mic stage replaced", "--date", "2031-11-21"],
      () => ["plan", "--retest", "--json"],
      () => analyze("2031-11-22", "--retest", "--only", "2-8", "closing-2.wav"),
      () => ["show", "--json"],
      () => ["plan", "--json", "--date", "2031-11-23"],
    ],
  },
  {
    name: "years",
    from: "example",
    desk: lines("The Farrowdale desk", "1-8"),
    commands: [
      ...years.map((year) => () => analyze(`${year}-04-02`, `years/${year}.wav`)),
      () => ["compare", "--json", "--with", "oldest"],
      () => ["compare", "--json", "--trend"],
      () => ["check", "--json", "--with", "oldest"],
      () => ["plan", "--json", "--date", "2040-06-01"],
    ],
  },
  {
    name: "mistakes",
    from: "example/mistakes",
    desk: quillmere,
    commands: ["nothing", "stopped", "loud", "wrong rate", "strip 9 mic"].map(
      (name) => () => analyze("2031-03-14", "--preview", `${name}.wav`),
    ),
  },
];

/**
 * Runs the commands of a case.
 *
 * @param one an entry of `cases`
 * @param {{ tree: string, captures: string }} where a built checkout or its `dist`, and the captures
 * @returns for each command its exit code and what it printed: JSON, or the text where it is none
 */
export function runCase(one, { tree, captures }) {
  const root = basename(resolve(tree)) === "dist" ? dirname(resolve(tree)) : resolve(tree);
  const launcher = join(root, "bin/deskround.js");
  if (!existsSync(launcher)) throw new Error(`${root} holds no bin/deskround.js`);
  const cwd = resolve(captures, one.from);
  const files = readdirSync(cwd).filter((name) => name.endsWith(".wav"));
  const desk = mkdtempSync(join(tmpdir(), "deskround-same-"));
  const results = {};
  try {
    writeDesk(one.desk, desk, captures);
    for (const [i, command] of one.commands.entries()) {
      const words = command(files.sort());
      const { status, stdout, stderr } = spawnSync(
        process.execPath,
        [launcher, ...words, "--desk", desk],
        {
          cwd,
          encoding: "utf8",
          maxBuffer: 1e9,
          env: { ...process.env, TZ: "UTC", LC_ALL: "C", DESKROUND_FUTURE: "yes" },
        },
      );
      const name = `${String(i + 1).padStart(2, "0")} ${words.join(" ").slice(0, 60)}`;
      const hidden = (text) => text.replaceAll(desk, "the desk's folder");
      results[name] = { exit: status, printed: printed(hidden(stdout)), said: hidden(stderr) };
    }
  } finally {
    rmSync(desk, { recursive: true, force: true });
  }
  return results;
}

function writeDesk(text, folder, captures) {
  mkdirSync(folder, { recursive: true });
  const content = typeof text === "string" ? text : readFileSync(join(captures, text.from), "utf8");
  writeFileSync(join(folder, "desk.yaml"), content);
}

function printed(stdout) {
  try {
    return JSON.parse(stdout);
  } catch {
    return stdout;
  }
}

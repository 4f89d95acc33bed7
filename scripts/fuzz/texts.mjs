import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { readDesk } from "../../dist/desk/read/read-desk.js";
import { readStripDown } from "../../dist/desk/strip-down/read-strip-down.js";
import { DeskroundError } from "../../dist/errors.js";
import { readFacts } from "../../dist/history/facts/read-facts.js";
import { readRound } from "../../dist/history/store.js";
import { importNotes } from "../../dist/jobs/note/import-notes.js";
import { readLimits } from "../../dist/service/limits/read.js";
import { readNotebook } from "../../dist/service/notebook/read.js";
import { randomOf } from "./random.mjs";

/** Texts that people or other programs write, spoilt: each reads, or is refused in words. */

const deskText = `version: 1
name: The Quillmere desk
mains: 50
strips: [1-12, 3A, 14]
inputs:
  mic: { nominal: -40, source: 150, strips: 1-12, set: { gain: 44 dB } }
  line:
    nominal: 4
    setup: Line selected.
families:
  rebuilt: [1, 2]
controls:
  gain: knob
  low cut: { kind: switch, set: out }
flow:
  shared:
    supply card: [1-4]
rails: [17, -17]
construction: { open: 60, pull: 20, parts: { cover: { strips: 1-4, minutes: 5 } } }
age: { installed: 1985, recapped: { 2015: 1-4 } }
`;

const bookText = `open: { steps: [raise the panel], fixings: 12x M4x10, people: 2 }
boards:
  mic board:
    strips: 1-4
    stages: [mic socket, mic input stage]
    controls: [gain]
    minutes: 8
    fixings: [2x M3x8, 1x M4 nut]
    capacitors: [6x 22 µF 35 V]
  bus board: { sections: [group 1-4, master], after: mic board, steps: "tilt it: forwards" }
`;

const limitsText = `limits:
  quiet: { limit: noiseA <= -70 dBFS, why: it was so }
  flat: { limit: "abs(response(100 Hz, 10 kHz)) <= 3 dB", only: [mic] }
  like: thd <= siblings(thd) + 6 dB
`;

const noteLine = (k, more = {}) =>
  JSON.stringify({
    note: 1,
    id: `n${k}`,
    key: String(k).padStart(12, "0"),
    date: "2031-01-02T10:00:00Z",
    kind: "fault",
    strip: "6",
    text: "hum, with lamp on",
    ...more,
  });
const notebookText = [
  noteLine(1),
  noteLine(2, { kind: "correct", corrects: "n1", text: "buzz" }),
  noteLine(3, { kind: "close", closes: "n1", figures: [], text: "" }),
  noteLine(4, { kind: "off", what: "cover", text: "" }),
  "",
].join("\n");

const importText = `# from the pad
2030-11-02 6/mic: hum, with lamp on
strip 7 - dull

8: pop
`;
const importTable = `date;strip;input;text;symptom
2031-01-02;5;mic;"says ""ow""; loud";pop
2031-01-03;6;line;dull;
`;

const roundText = readFileSync(
  fileURLToPath(new URL("../../tests/history/kept/2030-04-02-01.json", import.meta.url)),
  "utf8",
);
const roundId = "2030-04-02-01";

/** What tends to break readers of texts. */
const pieces = [
  "\0",
  "\u001b[31m",
  "\ufeff",
  "\u202e",
  "\ud800",
  "__proto__",
  "constructor",
  "null",
  "-0",
  "1e999",
  "NaN",
  "9".repeat(400),
  "[",
  "{",
  "}",
  "]",
  '"',
  "'",
  ":",
  "- ",
  "\t",
  "\r",
  "\n",
  "&a",
  "*a",
  "!!js/function",
  "<<: ",
  "%",
  "a".repeat(5000),
  "(".repeat(3000),
  "[".repeat(3000),
  "{a: ".repeat(500),
  "1-1000000",
  "1..12",
  "0x1",
  "2031-02-30",
  ",",
  ";",
  "|",
  "",
];

/** A text with a few of its parts replaced, doubled, cut out, or changed in their order. */
function spoil(text, random) {
  if (random.chance(0.5)) return slip(text, random);
  let bytes = Buffer.from(text);
  for (let k = 1 + random.below(4); k > 0; k--) {
    const at = random.below(bytes.length + 1);
    const until = Math.min(bytes.length, at + random.below(random.chance(0.7) ? 8 : 400));
    const put = random.chance(0.2)
      ? Buffer.from([random.below(256), random.below(256)])
      : random.chance(0.3)
        ? bytes.subarray(random.below(bytes.length + 1)).subarray(0, 200)
        : Buffer.from(random.of(pieces));
    bytes = Buffer.concat([bytes.subarray(0, at), put, bytes.subarray(until)]);
  }
  return random.chance(0.05) ? bytes.subarray(0, random.below(bytes.length + 1)) : bytes;
}

/** Numbers that somebody may write. */
const numbers = ["0", "-1", "1", "07", "0.5", "1,5", "12.", "1e3", "600", "100000", "3A", "½"];

/** A text as a slip of the hand leaves it: one line, one number or one word is another. */
function slip(text, random) {
  const lines = text.split("\n");
  const at = random.below(lines.length);
  const words = text.match(/[\p{L}\d]+/gu) ?? ["x"];
  switch (random.below(5)) {
    case 0:
      lines.splice(at, 1);
      break;
    case 1:
      lines.splice(at, 0, lines[at]);
      break;
    case 2:
      lines.splice(at, 2, ...lines.slice(at, at + 2).reverse());
      break;
    case 3:
      lines[at] = lines[at].replace(/\d+/, () => random.of(numbers));
      break;
    default:
      lines[at] = lines[at].replace(/[\p{L}\d]+(?=\W*$)/u, () => random.of(words));
  }
  return Buffer.from(lines.join("\n"));
}

const kinds = {
  async desk(folder, random) {
    writeFileSync(join(folder, "desk.yaml"), spoil(deskText, random));
    readDesk(folder);
  },
  async book(folder, random) {
    writeFileSync(join(folder, "desk.yaml"), deskText);
    writeFileSync(join(folder, "strip-down.yaml"), spoil(bookText, random));
    readStripDown(folder, readDesk(folder));
  },
  async limits(folder, random) {
    writeFileSync(join(folder, "limits.yaml"), spoil(limitsText, random));
    await readLimits(folder, undefined, "named");
  },
  async notebook(folder, random) {
    writeFileSync(join(folder, "notebook.jsonl"), spoil(notebookText, random));
    readNotebook(folder);
  },
  async import(folder, random) {
    writeFileSync(join(folder, "desk.yaml"), deskText);
    const [name, text] = random.chance(0.5) ? ["old.txt", importText] : ["old.csv", importTable];
    const file = join(folder, name);
    writeFileSync(file, spoil(text, random));
    rmSync(join(folder, "notebook.jsonl"), { force: true });
    const { entries, known } = await importNotes({ desk: folder, file, confirm: async () => true });
    const kept = readNotebook(folder);
    if (kept.damaged.length > 0 || kept.entries.length !== entries.length || known < 0) {
      throw new Error("what was imported is not what is in the notebook");
    }
  },
  async round(folder, random) {
    mkdirSync(join(folder, "rounds"), { recursive: true });
    writeFileSync(join(folder, "rounds", `${roundId}.json`), spoil(roundText, random));
    const { rounds } = await readFacts({ folder, ids: [roundId], pick: ({ id }) => id });
    const isSound = "facts" in rounds[0];
    try {
      await readRound(folder, roundId);
    } catch (error) {
      if (isSound) throw new Error(`the index knows a round that cannot be read: ${error.message}`);
      throw error;
    }
    if (!isSound) throw new Error("the index does not know a round that can be read");
  },
};

/** One case; its outcome in a word. Throws where the program fails the user. */
export async function readTextCase(seed, file) {
  const random = randomOf(seed);
  const kind = random.of(Object.keys(kinds));
  const folder = join(dirname(file), "texts");
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder);
  try {
    await kinds[kind](folder, random);
    return `${kind} read`;
  } catch (error) {
    if (error instanceof DeskroundError) return `${kind} refused`;
    throw error;
  }
}

/**
 * Learns how much each word, pair of words and piece of a word speaks for a symptom, a control and a
 * danger, of the notes in fixtures/notes/, and writes data/note-words.json. Run after a build, and again
 * when those files, the list of dangers or the spelling of notes change:
 *
 *     node scripts/notes/train.mjs
 *     node scripts/notes/train.mjs --into FILE
 */
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { learnWeights } from "./learn-weights.mjs";
import { classes, files, listRows, listWordRows, readPhrasings, root } from "./read-rows.mjs";
import { settings } from "./settings.mjs";

const letters = "abcdefghijklmnopqrstuvwxyz";
/** Tenths, from -4.5 to 4.5: a letter of the class, and one of 91 characters from `#`. */
function pack({ names, weights, K }, finest) {
  return names
    .flatMap((name, k) => {
      const cells = [];
      for (let c = 0; c < K; c++) {
        const tenths = Math.round(weights[k * K + c] * 10);
        if (Math.abs(tenths) >= (name === "" ? 1 : finest)) {
          const value = Math.max(-45, Math.min(45, tenths));
          cells.push(letters[c] + String.fromCharCode(80 + value));
        }
      }
      return cells.length === 0 ? [] : [`${name}\t${cells.join("")}`];
    })
    .join("\n");
}

const notes = ["tuned", "strangers", "written", "learned"].flatMap(readPhrasings);
const [said, listed] = [listRows(notes), listWordRows()];
// A test compares it with the files: a change of any of them asks for new weights.
const programs = ["learn-weights", "read-rows", "settings", "train"];
const sources = [
  ...files.toSorted().map((name) => `fixtures/notes/${name}`),
  ...programs.map((name) => `scripts/notes/${name}.mjs`),
];
const hash = createHash("sha256");
for (const name of sources) hash.update(readFileSync(root + name));
const packed = { madeBy: "scripts/notes/train.mjs", sha256: hash.digest("hex") };
for (const question of Object.keys(classes)) {
  const rows = [...said[question], ...listed[question]];
  packed[question] = pack(
    learnWeights(rows, classes[question], settings[question]),
    settings[question].finest,
  );
  process.stderr.write(`${question}: ${rows.length} notes, ${packed[question].length} bytes\n`);
}
const at = process.argv.indexOf("--into");
const file = at < 0 ? `${root}data/note-words.json` : process.argv[at + 1];
writeFileSync(file, `${JSON.stringify(packed, null, 1)}\n`);

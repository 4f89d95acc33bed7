import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { dangerKinds } from "../../dist/diagnose/dangers.js";
import { matchDangers, withoutHarmless } from "../../dist/diagnose/find-dangers.js";
import { controls, symptoms } from "../../dist/diagnose/note-vocabulary.js";
import { listContexts } from "../../dist/diagnose/notes/list-contexts.js";
import { listFeatures } from "../../dist/diagnose/notes/list-features.js";
import { normalizeNote } from "../../dist/diagnose/notes/normalize-note.js";

export const root = fileURLToPath(new URL("../../", import.meta.url));
export const none = "-";
/** The classes of each question, in the order in which `weighWords` counts them. */
export const classes = {
  symptom: [none, ...symptoms],
  control: [none, ...controls],
  danger: [none, ...dangerKinds.map(({ id }) => id)],
};
const phrasings = ["tuned", "strangers", "written", "learned"];
/** What the weights are learned of. */
export const files = [
  ...phrasings.map((name) => `phrasings-${name}.tsv`),
  ...["words-of-symptoms.txt", "words-of-controls.txt", "dangers.txt", "dangers-written.txt"],
  ...["innocent.txt", "harmless.txt"],
];
const readLines = (name) =>
  readFileSync(`${root}fixtures/notes/${name}`, "utf8").trim().split("\n");

/** Notes with what they mean: `{ text, control, symptom, danger }`, without the place they begin with. */
export function readPhrasings(name) {
  return readLines(`phrasings-${name}.tsv`)
    .slice(1)
    .map((line) => {
      const [typed, place, control, symptom, danger] = line.split("\t");
      const text = typed.toLowerCase().startsWith(`${place.toLowerCase()} `)
        ? typed.slice(place.length + 1)
        : typed.replace(/^(?:ch(?:annel)? |strip )?\d+(?:-\d+)?[:,]? /i, "");
      return { text, control, symptom, danger };
    });
}

/** The rows of each question that the phrasings give: features, and the classes that are right. */
export function listRows(notes) {
  const rows = { symptom: [], control: [], danger: [] };
  for (const { text, control, symptom, danger } of notes) {
    add(rows.symptom, "symptom", text, symptom, true);
    add(rows.control, "control", text, control, true);
    addDanger(rows.danger, text, danger);
  }
  return rows;
}

/** The same of the lists of words and dangers. */
export function listWordRows() {
  const rows = { symptom: [], control: [], danger: [] };
  for (const question of ["symptom", "control"]) {
    for (const line of readLines(`words-of-${question}s.txt`)) {
      const [, is, words] = /^([\w-]+): (.*)$/.exec(line);
      for (const word of words.split(", ")) add(rows[question], question, word, is);
    }
  }
  for (const line of readLines("dangers.txt")) addDanger(rows.danger, line, "danger");
  // What only sounds like a danger is rare among notes, and counts that much more.
  for (const name of Array(6).fill(["innocent.txt", "harmless.txt"]).flat()) {
    for (const line of readLines(name)) addDanger(rows.danger, line, none);
  }
  for (const line of readLines("dangers-written.txt")) {
    const [, is, text] = /^([\w-]+): (.*)$/.exec(line);
    addDanger(rows.danger, text, is === "none" ? none : is);
  }
  return rows;
}

/** Lists of words stand in no sentence. */
function add(rows, question, text, cell, isNote = false) {
  const named = cell.split(/[/+]/).filter((word) => classes[question].includes(word));
  const plain = normalizeNote(text);
  const all = listFeatures(plain);
  const features =
    question === "danger"
      ? new Map([...all].filter(([word]) => !isFiller(word)))
      : new Map([...all, ...(isNote ? listContexts(plain) : [])]);
  rows.push({ features, named: named.length > 0 ? named : [none] });
}

/** Words that tell who writes and how, and not of a danger: notes of dangers are longer than others. */
const fillers = new Set(
  (
    "a an the this that and or but so then of in on at to by for with from as is was are were be been it " +
    "its i me my we he she his her you your they there here not no has have had do does did , # / when if"
  ).split(" "),
);
const isFiller = (words) => words.split(" ").every((word) => fillers.has(word));

/** Where only "danger" is said, which one it is the list of words says; what it does not know is left out. */
function addDanger(rows, text, cell) {
  const plain = withoutHarmless(text);
  const found = cell === "danger" ? matchDangers(plain) : [cell];
  if (found.length > 0) add(rows, "danger", plain, found.join("/"));
}

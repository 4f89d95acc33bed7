import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parseDesk } from "../../dist/desk/read/read-desk.js";
import { dangerKinds } from "../../dist/diagnose/dangers.js";
import { matchDangers, withoutHarmless } from "../../dist/diagnose/find-dangers.js";
import { controls, symptoms } from "../../dist/diagnose/note-vocabulary.js";
import { listContexts } from "../../dist/diagnose/notes/list-contexts.js";
import { listFeatures } from "../../dist/diagnose/notes/list-features.js";
import { listPlaceWords } from "../../dist/diagnose/notes/list-place-words.js";
import { normalizeNote } from "../../dist/diagnose/notes/normalize-note.js";
import { readTypedNotes } from "../../dist/service/notebook/read-typed-note.js";

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

/** The desk that the phrasings were written at. */
const desk = parseDesk(
  `name: The Quillmere desk
mains: 50
strips: 24
inputs: { mic: { nominal: -40 }, line: { nominal: 4 }, tape: { nominal: 4 } }
places:
  PSU A: { kind: supply, feeds: 1-12 }
  PSU B: { kind: supply, feeds: 13-24 }
  talkback: other
  oscillator: other
`,
  "desk.yaml",
);

/** Notes with what they mean: `{ text, kind, control, symptom, danger }`, as `note add` takes them apart. */
export function readPhrasings(name) {
  return readLines(`phrasings-${name}.tsv`)
    .slice(1)
    .map((line) => {
      const [typed, , control, symptom, danger] = line.split("\t");
      return { ...readTyped(typed), control, symptom, danger };
    });
}

/** The text of a note without its place, and the kind of that place; a place that is unknown stays in it. */
function readTyped(typed) {
  const [first, ...rest] = typed.split(" ");
  try {
    const [{ place, text }] = readTypedNotes(first, rest.join(" "), desk);
    return { text, kind: place.sectionKind };
  } catch {
    return { text: typed, kind: undefined };
  }
}

/** The rows of each question that the phrasings give: features, and the classes that are right. */
export function listRows(notes) {
  const rows = { symptom: [], control: [], danger: [] };
  for (const { text, kind, control, symptom, danger } of notes) {
    add(rows.symptom, "symptom", text, symptom, { kind });
    add(rows.control, "control", text, control, { kind });
    // Of a supply its place says what hums.
    addDanger(rows.danger, kind === "supply" ? `supply ${text}` : text, danger);
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

/** Lists of words stand in no sentence, and at no place. */
function add(rows, question, text, cell, place) {
  const named = cell.split(/[/+]/).filter((word) => classes[question].includes(word));
  const plain = normalizeNote(text);
  const all = listFeatures(plain);
  const features =
    question === "danger"
      ? new Map([...all].filter(([word]) => !isFiller(word)))
      : new Map([
          ...all,
          ...(place === undefined
            ? []
            : [...listContexts(plain), ...listPlaceWords(all, place.kind)]),
        ]);
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

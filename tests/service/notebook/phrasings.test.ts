import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { formatPlace } from "../../../src/desk/place.js";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { DeskroundError } from "../../../src/errors.js";
import { listNoteDangers } from "../../../src/service/notebook/open-dangers.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { readTypedNotes } from "../../../src/service/notebook/read-typed-note.js";
import { interpretNote } from "../../../src/service/plan/interpret-note.js";
import { makePlan } from "../../../src/service/plan/plan.js";

// What a service engineer would take each note for: common practice of the trade, no source. The
// phrasings were written before the words that read them. Columns: as it was typed; place; control;
// symptom; danger; whether a part may be ordered for it. `a/b`: either is right; `a+b`: two faults;
// `a,b`: either place; `a&b`: both; `-`: none. Words are chosen by those called tuned, the others, called held,
// are only counted. Those called strangers were written by people who never saw the program and were
// counted once before anything was changed for them; the judgement of place, control, symptom and danger
// is theirs. Where they would have a part ready and the program waits for a look (what feels gritty or
// heavy, a stuck button), the column says `?`. A part is called for by a control that scratches or crackles, a fader that sticks
// and a dark lamp, named plainly; a loose socket or a stuck button may be a matter of a screw, and
// "noisy" of another stage: `?`, as anywhere else where either is right.

const desk = parseDesk(
  `name: The Quillmere desk
mains: 50
strips: 24
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
  tape: { nominal: 4 }
places:
  PSU A: { kind: supply, feeds: 1-12 }
  PSU B: { kind: supply, feeds: 13-24 }
  talkback: other
  oscillator: other
`,
  "desk.yaml",
);

const columns = ["typed", "place", "control", "symptom", "danger", "part"] as const;
type Row = Record<(typeof columns)[number], string>;

function readRows(half: string): readonly Row[] {
  const file = fileURLToPath(
    new URL(`../../../fixtures/notes/phrasings-${half}.tsv`, import.meta.url),
  );
  const [head, ...lines] = readFileSync(file, "utf8").trim().split("\n");
  expect(head.split("\t")).toStrictEqual(columns);
  return lines.map(
    (line) => Object.fromEntries(line.split("\t").map((cell, k) => [columns[k], cell])) as Row,
  );
}

/** As `note add` does with it. */
function readTyped(typed: string) {
  const [first, ...rest] = typed.split(" ");
  const notes = readTypedNotes(first, rest.join(" "), desk);
  const [{ place, text }] = notes;
  const line = {
    note: 1,
    id: "n1",
    date: "2031-03-14T12:00:00Z",
    kind: "fault",
    ...place,
    text,
  } as const;
  const entry = { id: "n1", at: 1, corrections: [], line };
  const { faults } = interpretNote(entry);
  const makeParts = () =>
    makePlan({
      desk,
      round: undefined,
      notebook: parseNotebook(Buffer.from(`${JSON.stringify(line)}\n`), "notebook.jsonl"),
      done: new Map(),
      date: "2031-06-01",
    }).parts;
  return {
    place: notes.map((note) => formatPlace(note.place)).join("&"),
    faults,
    danger: listNoteDangers(entry).length > 0,
    isOrdered: () => makeParts().length > 0,
  };
}

/** A note that is refused is taken for nothing. */
function tryTyped(typed: string): ReturnType<typeof readTyped> {
  try {
    return readTyped(typed);
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    return { place: "refused", faults: [], danger: false, isOrdered: () => false };
  }
}

const isOneOf = (cell: string, value: string) => cell.split("/").includes(value);

function count(half: string) {
  const wrong: string[] = [];
  const missed: string[] = [];
  const guessed: string[] = [];
  const alarmed: string[] = [];
  const unordered: string[] = [];
  const rows = readRows(half);
  for (const row of rows) {
    const found = tryTyped(row.typed);
    const controls = row.control.split("+");
    const symptoms = row.symptom.split("+");
    const isRight =
      row.place.split(",").includes(found.place) &&
      controls.every(
        (control, k) =>
          isOneOf(control, found.faults[k]?.control ?? "-") &&
          isOneOf(symptoms[k], found.faults[k]?.symptom ?? "-"),
      );
    const said = `${row.typed} | ${row.place} ${row.control} ${row.symptom} | ${found.place} ${JSON.stringify(found.faults.map(({ control, symptom }) => [control, symptom]))}`;
    if (!isRight) wrong.push(said);
    if (row.danger === "danger" && !found.danger) missed.push(row.typed);
    if (row.danger === "-" && found.danger) alarmed.push(row.typed);
    if (row.part === "-" && found.isOrdered()) guessed.push(row.typed);
    if (row.part === "part" && !found.isOrdered()) unordered.push(row.typed);
  }
  return { rows, wrong, missed, guessed, alarmed, unordered };
}

describe.each(["tuned", "held", "strangers"])("the phrasings called %s", (half) => {
  const { rows, wrong, missed, guessed, alarmed, unordered } = count(half);

  it("is large enough to count", () => {
    expect(rows.length).toBeGreaterThanOrEqual(200);
    expect(rows.filter(({ danger }) => danger === "danger").length).toBeGreaterThanOrEqual(15);
  });

  it("is taken for what it says in nine of ten, place, control and symptom together", () => {
    expect(1 - wrong.length / rows.length, wrong.join("\n")).toBeGreaterThanOrEqual(0.9);
  });

  it("loses no danger, and seldom raises one that is none", () => {
    expect(missed).toStrictEqual([]);
    expect(alarmed.length / rows.length, alarmed.join("\n")).toBeLessThanOrEqual(0.02);
  });

  it("orders no part from a guess, but has those ready that leave no doubt", () => {
    expect(guessed).toStrictEqual([]);
    const sure = rows.filter(({ part }) => part === "part").length;
    expect(1 - unordered.length / sure, unordered.join("\n")).toBeGreaterThanOrEqual(0.95);
  });
});

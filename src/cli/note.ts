import { fstatSync } from "node:fs";
import type { Command } from "commander";
import { controls, symptoms } from "../diagnose/note-vocabulary.js";
import { DeskroundError } from "../errors.js";
import type { NoteResult } from "../jobs/note/note-result.js";
import { wordMeterVerdict } from "../report/meter/format-meter.js";
import { type MeterQuantity, meterQuantities } from "../service/meter/values.js";
import { formatCommand } from "../text/program-name.js";
import { askDays, askYesNo, isFutureMeant } from "./ask.js";
import { type CommonOptions, parseCalendarDay, withCommonOptions } from "./options.js";
import { getReportStyle, printJson, printMessage, printReport, tellDamage } from "./output.js";

export interface NoteOptions extends CommonOptions {
  readonly date?: string;
  readonly who?: string;
  readonly json?: true;
}

/** The command `note`. */
export function addNote(program: Command): void {
  const group = program
    .command("note")
    .description("the notebook: faults noticed in use, meter readings, what was done");
  addAdd(group);
  addMeter(group);
  addDone(group);
  addOff(group);
  addBack(group);
  addList(group);
  addShow(group);
  addClose(group);
  addAccept(group);
  addCorrect(group);
  addImport(group);
}

const placeWords =
  "a strip (6), an input of one (6/mic), a section (group 3, aux 2, master, psu) or desk";

function addAdd(group: Command): void {
  withNoteOptions(group.command("add"))
    .description("note a fault; without text, it is read from stdin")
    .argument("<place>", placeWords)
    .argument("[text...]", "what was noticed, kept word for word")
    .option("--control <name>", `which control: ${controls.join(", ")}`)
    .option("--symptom <name>", `what it does: ${symptoms.join(", ")}`)
    .action(async (place: string, words: string[], options: AddOptions) => {
      const { noteFault } = await import("../jobs/note/note-fault.js");
      const { readPipedText } = await import("../jobs/note/read-piped-text.js");
      const { control, symptom } = options;
      const text = await textOf(words, control ?? symptom, readPipedText);
      await printNoted(
        await noteFault({ ...head(options), place, text, ...given({ control, symptom }) }),
        options,
      );
    });
}

/** The words given, or those piped in if there are none. */
async function textOf(
  words: readonly string[],
  chosen: string | undefined,
  readPipedText: (piped?: { readonly waitS?: number }) => Promise<string>,
): Promise<string> {
  if (words.length === 1 && words[0] === "-") return readPipedText();
  if (words.length > 0 || process.stdin.isTTY) return words.join(" ");
  // Somebody writes into a shell's pipe; what another program left open may have no writer.
  const isShell = fstatSync(0).isFIFO() || fstatSync(0).isFile();
  return readPipedText(chosen === undefined || isShell ? {} : { waitS: 1 });
}

interface AddOptions extends NoteOptions {
  readonly control?: string;
  readonly symptom?: string;
}

function addMeter(group: Command): void {
  withNoteOptions(group.command("meter"))
    .description("note a meter reading and judge it")
    .usage("[options] <place> <what> [value]")
    .argument("<place...>", placeWords)
    .option("--pin2 <volts>", "phantom: pin 2 to pin 1, nothing plugged in")
    .option("--pin3 <volts>", "phantom: pin 3 to pin 1")
    .option("--plus <volts>", "rail: the positive one to ground")
    .option("--minus <volts>", "rail: the negative one to ground")
    .option("--nominal <value>", "the value it should have, if desk.yaml does not give it")
    .option("--tolerance <value>", "its tolerance: 5% or a value")
    .option("-p, --part <name>", "which part, or where: R14, gain control")
    .option("--text <words>", "a remark")
    .addHelpText("after", meterHelp)
    .action(async (words: string[], options: MeterOptions) => {
      const { noteMeter } = await import("../jobs/note/note-meter.js");
      const { place, what, value } = splitMeterWords(words);
      const { pin2, pin3, plus, minus, nominal, tolerance, part, text = "" } = options;
      const written = given({ value, pin2, pin3, plus, minus, nominal, tolerance, part });
      await printNoted(noteMeter({ ...head(options), place, what, text, ...written }), options);
    });
}

/** `7 direct 120 mV` and `strip 7 rails`: the place, what was measured, and its value. */
function splitMeterWords(words: readonly string[]): {
  readonly place: string;
  readonly what: MeterQuantity;
  readonly value: string | undefined;
} {
  const named = words.map((word) => meterNames.get(word.toLowerCase()));
  const at = named.findIndex((name, k) => name !== undefined && k > 0);
  const what = named[at];
  if (what === undefined) {
    throw new DeskroundError(
      "usage",
      `Say what was measured: one of ${meterQuantities.join(", ")}.`,
      `For example: ${formatCommand(`note meter ${words[0]} direct 120mV`)}, or ${words[0]} phantom --pin2 48.1 --pin3 47.9`,
    );
  }
  const value = words.slice(at + 1).join(" ");
  return { place: words.slice(0, at).join(" "), what, value: value === "" ? undefined : value };
}

/** Meter quantities by their names, including other names that people use. */
const meterNames: ReadonlyMap<string, MeterQuantity> = new Map<string, MeterQuantity>([
  ...meterQuantities.map((name): [string, MeterQuantity] => [name, name]),
  ["rails", "rail"],
  ["supply", "rail"],
  ["48v", "phantom"],
  ["dc", "direct"],
  ["offset", "direct"],
  ["resistance", "resistor"],
  ["ohms", "resistor"],
  ["capacitance", "capacitor"],
  ["cap", "capacitor"],
]);

const meterHelp = `
<what> is phantom, rail, direct (DC voltage), resistor or capacitor; the last
three take a value: 120mV, 6.79k, 12u.
Measure phantom power with nothing plugged in. Rails are live: work with one
hand and an insulated probe. Leave supply and mains work to licensed people, under
local codes.`;

interface MeterOptions extends NoteOptions {
  readonly pin2?: string;
  readonly pin3?: string;
  readonly plus?: string;
  readonly minus?: string;
  readonly nominal?: string;
  readonly tolerance?: string;
  readonly part?: string;
  readonly text?: string;
}

function addDone(group: Command): void {
  withNoteOptions(group.command("done"))
    .description("note what was done to a strip, and the parts used")
    .argument("<place>", placeWords)
    .argument("[text...]", "what was done")
    .option("-p, --part <part>", 'a part used, e.g. "2x 10 µF 63 V"; can be repeated', collect)
    .option("--recapped", "all its electrolytics were replaced: their age counts from this day")
    .action(async (place: string, words: string[], options: DoneOptions) => {
      const { noteRepair } = await import("../jobs/note/note-repair.js");
      const { taken = [], ...result } = noteRepair({
        ...head(options),
        place,
        text: words.join(" "),
        parts: options.part ?? [],
        ...(options.recapped ? { recapped: "recapped" as const } : {}),
      });
      await printNoted(result, options);
      if (options.json) return;
      const { line } = result.entry;
      if (line.kind === "repair" && line.recapped) {
        const { formatRecapped } = await import("../report/plan/notices.js");
        printMessage(formatRecapped(line.strip, line.date.slice(0, 10)));
      }
      const { formatStockUse } = await import("../report/stores.js");
      for (const use of taken) printMessage(formatStockUse(use));
    });
}

interface DoneOptions extends NoteOptions {
  readonly part?: readonly string[];
  readonly recapped?: true;
}

function addOff(group: Command): void {
  withNoteOptions(group.command("off"))
    .description("note what is taken off, so that it is back on before closing")
    .argument("<place>", placeWords)
    .argument("<what...>", "what comes off: bottom cover")
    .action(async (place: string, words: string[], options: NoteOptions) => {
      const { noteOff } = await import("../jobs/note/note-off.js");
      await printNoted(noteOff({ ...head(options), place, what: words.join(" ") }), options);
    });
}

function addBack(group: Command): void {
  withNoteOptions(group.command("back"))
    .description("note that it is back on")
    .argument("<place>", `the note (n12), ${placeWords}, or all`)
    .argument("[what...]", "what is back, if more than one thing came off there")
    .action(async (place: string, words: string[], options: NoteOptions) => {
      const { noteBack } = await import("../jobs/note/note-off.js");
      const what = words.length === 0 ? undefined : words.join(" ");
      const back = noteBack({ ...head(options), place, ...given({ what }) });
      if (options.json) return printJson(back.map(plainNote));
      const { formatSummary } = await import("../report/notebook.js");
      for (const entry of back) printMessage(`${entry.id}: ${formatSummary(entry)}`);
    });
}

function addList(group: Command): void {
  withCommonOptions(group.command("list"))
    .description("list the open notes")
    .argument("[place...]", "of this strip or input only")
    .option("-a, --all", "closed notes and repairs too")
    .option("-j, --json", "print them as JSON")
    .action(async (words: string[], options: NoteOptions & { all?: true }) => {
      const { listNotes } = await import("../jobs/note/list-notes.js");
      const isAll = words.join(" ").toLowerCase() === "all";
      const place = words.length === 0 || isAll ? undefined : words.join(" ");
      const which = options.all || isAll ? "all" : "open";
      const found = listNotes(options.desk, which, place);
      tellDamage(found.notebook);
      const { entries } = found;
      const damaged = found.notebook.damaged.map(({ at, reason }) => ({ line: at, reason }));
      if (options.json)
        return printJson({
          notes: entries.map((entry, k) => listedNote(entry, found.dangers[k])),
          damaged,
        });
      const { renderNotes } = await import("../report/notebook.js");
      const closed = found.notebook.entries.filter((entry) => entry.closed).length;
      printReport(renderNotes(entries, { which, closed }, getReportStyle()));
    });
}

function addShow(group: Command): void {
  withCommonOptions(group.command("show"))
    .description("print one note in full")
    .argument("<id>", "as `note list` shows it: n12")
    .option("-j, --json", "print it as JSON")
    .action(async (id: string, options: NoteOptions) => {
      const { showNote } = await import("../jobs/note/list-notes.js");
      const { entry, verdict, dangers, notebook } = showNote(options.desk, id);
      tellDamage(notebook);
      if (options.json)
        return printJson({
          ...plainNote(entry),
          ...given({ verdict: verdict && wordMeterVerdict(verdict), dangers }),
        });
      const { renderNote } = await import("../report/notebook.js");
      printReport(renderNote(entry, verdict, getReportStyle()));
    });
}

function addClose(group: Command): void {
  withNoteOptions(group.command("close"))
    .description("close notes by hand")
    .argument("<ids...>", "as `note list` shows them")
    .option("--text <words>", "why: how it was fixed, or that nothing was wrong", "")
    .action(async (ids: string[], options: NoteOptions & { text: string }) => {
      const { closeNotes } = await import("../jobs/note/close-notes.js");
      const closed = closeNotes({ ...head(options), ids, text: options.text });
      if (options.json) return printJson(closed.map(plainNote));
      printMessage(`Closed ${closed.map(({ id }) => id).join(", ")}.`);
    });
}

interface AcceptOptions extends NoteOptions {
  readonly until?: string;
  readonly round?: string;
}

function addAccept(group: Command): void {
  withNoteOptions(group.command("accept"))
    .description("leave a known oddity alone: it stays visible but no longer counts")
    .argument("<place>", "a path (7/line), or a strip with all of its inputs")
    .argument("[because...]", "why")
    .option("--until <day>", "the last day on which this holds, or a year", parseLastDay)
    .option("--round <round>", "the round whose findings are meant (default: the last)")
    .action(async (place: string, words: string[], options: AcceptOptions) => {
      const { acceptFindings } = await import("../jobs/accept.js");
      const { until, round } = options;
      const entry = await acceptFindings({
        ...head(options),
        place,
        because: words.join(" "),
        ...given({ until, round }),
      });
      if (options.json) return printJson(plainNote(entry));
      const { formatSummary } = await import("../report/notebook.js");
      printMessage(`Noted as ${entry.id}: ${place} ${formatSummary(entry)}.`);
      printMessage(`It counts again after: ${formatCommand(`note close ${entry.id}`)}`);
    });
}

/** A day, or the last day of a year. */
function parseLastDay(text: string): string {
  return /^\d{4}$/.test(text.trim()) ? `${text.trim()}-12-31` : parseCalendarDay(text);
}

function addCorrect(group: Command): void {
  withNoteOptions(group.command("correct"))
    .description("correct a note; the old version stays in the file")
    .argument("<id>", "as `note list` shows it")
    .argument("[text...]", "the new text")
    .option("--place <place>", `where it belongs: ${placeWords}`)
    .option("--control <name>", "which control, or none")
    .option("--symptom <name>", "what it does, or none")
    .option("--noticed <day>", "day it was noticed, YYYY-MM-DD", parseCalendarDay)
    .option("--value <value>", "of a reading of direct, resistor or capacitor")
    .option("--pin2 <volts>", "of a phantom reading")
    .option("--pin3 <volts>", "of a phantom reading")
    .option("--plus <volts>", "of a rail reading")
    .option("--minus <volts>", "of a rail reading")
    .option("--nominal <value>", "the value a reading should have")
    .option("--tolerance <value>", "its tolerance: 5% or a value")
    .option("-p, --part <name>", "which part a reading is of")
    .option("--reopen", "it was closed by mistake")
    .option("--withdraw", "take the note back")
    .action(async (id: string, words: string[], options: CorrectOptions) => {
      const { correctNote } = await import("../jobs/note/correct-note.js");
      const { place, control, symptom, noticed, withdraw, reopen } = options;
      const { value, pin2, pin3, plus, minus, nominal, tolerance, part } = options;
      const text = words.length === 0 ? undefined : words.join(" ");
      const entry = correctNote({
        ...head(options),
        id,
        ...given({ text, place, control, symptom, noticed }),
        ...given({ value, pin2, pin3, plus, minus, nominal, tolerance, part }),
        ...(withdraw ? { withdraw: "withdraw" as const } : {}),
        ...(reopen ? { reopen: "reopen" as const } : {}),
      });
      if (options.json) return printJson(plainNote(entry));
      printMessage(withdraw ? `Withdrew ${entry.id}.` : `Corrected ${entry.id}.`);
      if (!withdraw) await tellDangers([entry]);
    });
}

interface CorrectOptions extends MeterOptions {
  readonly place?: string;
  readonly control?: string;
  readonly symptom?: string;
  readonly noticed?: string;
  readonly value?: string;
  readonly reopen?: true;
  readonly withdraw?: true;
}

function addImport(group: Command): void {
  withNoteOptions(group.command("import"))
    .description("import notes from a text file or a spreadsheet (CSV)")
    .argument("<file>", "lines such as `2031-03-14 6/mic: hum`, or a .csv file with named columns")
    .action(async (file: string, options: NoteOptions & { readonly future?: true }) => {
      const { importNotes } = await import("../jobs/note/import-notes.js");
      const { entries, known } = await importNotes({
        ...head(options),
        file,
        ...(process.stdin.isTTY && !options.json ? { confirm: confirmLines } : {}),
        ...(isFutureMeant(options) ? {} : { confirmDays: (days) => askDays(days, options) }),
      });
      if (options.json) return printJson({ notes: entries.map(plainNote), known });
      const before = known === 0 ? "" : `; ${known} were in the notebook already`;
      printMessage(
        `Imported ${entries.length} ${entries.length === 1 ? "note" : "notes"}${before}.`,
      );
      await tellDangers(entries);
    });
}

/** Shows the lines that may mean something else, and asks whether they were read correctly. */
async function confirmLines(lines: readonly string[]): Promise<boolean> {
  printMessage("It is not certain that these lines start with a strip:");
  for (const line of lines) printMessage(`  ${line}`);
  return askYesNo("Import them like this?");
}

/** Adds the options that all ways of noting have. */
export function withNoteOptions(command: Command): Command {
  return withCommonOptions(command)
    .option("--date <day>", "the day it happened, YYYY-MM-DD (default: now)", parseCalendarDay)
    .option("--who <name>", "who says so (default: $DESKROUND_WHO)")
    .option("-j, --json", "print the result as JSON");
}

/** Desk, day and name for a new line, as given. */
export function head({ desk, date, who = process.env.DESKROUND_WHO }: NoteOptions) {
  return { desk, ...given({ date, who: who === "" ? undefined : who }) };
}

/** The options that were given. */
export function given<T extends Record<string, unknown>>(
  options: T,
): { [K in keyof T]?: Exclude<T[K], undefined> } {
  const entries = Object.entries(options).filter(([, value]) => value !== undefined);
  return Object.fromEntries(entries) as { [K in keyof T]?: Exclude<T[K], undefined> };
}

/** Gathers an option that may be given several times. */
export function collect(value: string, earlier: readonly string[] = []): readonly string[] {
  return [...earlier, value];
}

async function printNoted(noted: NoteResult, options: NoteOptions): Promise<void> {
  const { entry, others, verdict, dangers, answer, fed, isPlaceUnknown, mayClose } = noted;
  tellDamage(noted.notebook);
  for (const text of noted.skipped ?? []) printMessage(text);
  if (options.json) {
    return printJson({
      ...plainNote(entry),
      ...given({
        verdict: verdict && wordMeterVerdict(verdict),
        dangers,
        answer,
        isPlaceUnknown,
        mayClose,
      }),
      ...given({ others: others?.map(plainNote) }),
    });
  }
  const { renderNoted } = await import("../report/notebook.js");
  printReport(
    renderNoted(
      entry,
      { others, verdict, answer, fed, isPlaceUnknown, mayClose },
      getReportStyle(),
    ),
  );
}

async function tellDangers(entries: readonly NoteResult["entry"][]): Promise<void> {
  const { renderDangers } = await import("../report/notebook.js");
  const text = renderDangers(entries, getReportStyle());
  if (text !== "") printReport(text);
}

/** A note for scripts: the line as it stands now, its id first. */
export function plainNote({ id, line, corrections, closed }: NoteResult["entry"]): object {
  const { id: _, note: __, key: ___, ...rest } = line;
  const changed = corrections.map(({ date }) => date);
  return {
    id,
    ...rest,
    ...(changed.length > 0 ? { corrected: changed } : {}),
    ...(closed === undefined ? {} : { closed: withoutKeys(closed) }),
  };
}

/** The same with the dangers that an open note reports. */
function listedNote(entry: NoteResult["entry"], dangers: readonly string[]): object {
  return { ...plainNote(entry), ...(dangers.length === 0 ? {} : { dangers }) };
}

function withoutKeys({
  key: _,
  closesKey: __,
  ...rest
}: NonNullable<NoteResult["entry"]["closed"]>): object {
  return rest;
}

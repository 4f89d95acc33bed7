import { formatPlace, formatPlaceWords, pickPlace } from "../desk/place.js";
import type { CarryOn } from "../diagnose/notes/first-aid.js";
import type { NotedFault } from "../diagnose/notes/noted-fault.js";
import type { MeterLine, MeterVerdict } from "../service/meter/judge.js";
import type { NoteAnswer } from "../service/notebook/answer-note.js";
import { listNoteDangers, type OpenDanger } from "../service/notebook/open-dangers.js";
import type { Entry } from "../service/notebook/types.js";
import { collapseSpace } from "../text/collapse-space.js";
import { formatCount } from "../text/format-count.js";
import { formatList } from "../text/format-list.js";
import { formatCommand } from "../text/program-name.js";
import { formatCheckLine } from "./check-line.js";
import { formatDangerNames, formatDangerReminder, listDangerAdvice } from "./danger.js";
import { formatAcceptLine } from "./left-alone.js";
import { formatMeasurePart } from "./meter/format-measure-part.js";
import { formatMeterValues, formatMeterVerdict } from "./meter/format-meter.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** A list of notes, strip by strip, in the order in which they were made. */
export function renderNotes(
  entries: readonly Entry[],
  all: { readonly which: "open" | "all"; readonly closed: number },
  style: ReportStyle,
): string {
  const { strong, quiet } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const closed = all.which === "open" && all.closed > 0 ? `; ${all.closed} closed (--all)` : "";
  const heading = `${formatCount(entries.length, all.which === "open" ? "open note" : "note")}${closed}`;
  const idWidth = Math.max(0, ...entries.map(({ id }) => id.length));
  const placeWidth = Math.max(0, ...entries.map(({ line }) => formatPlace(line).length));
  return [
    strong(`${heading}.`),
    ...entries.flatMap((entry) => {
      const { id, line, closed: shut } = entry;
      const first = `${id.padEnd(idWidth)}  ${line.date.slice(0, 10)}  ${formatPlace(line).padEnd(placeWidth)}  `;
      const dangers = shut === undefined ? listNoteDangers(entry) : [];
      const mark = dangers.length === 0 ? "" : `DANGER (${formatDangerNames(dangers)}): `;
      const lines = wrapText(mark + formatSummary(entry), width, first, " ".repeat(first.length));
      return shut === undefined ? lines : lines.map((text) => quiet(text));
    }),
    "",
  ].join("\n");
}

/** The same with its id, day and place: "n3, 2031-03-14, strip 7/mic: hum". */
export function formatDatedNote(entry: Entry): string {
  const { id, line } = entry;
  return `${id}, ${line.date.slice(0, 10)}, ${formatPlaceWords(pickPlace(line))}: ${formatSummary(entry)}`;
}

/** What a note says, in one line. */
export function formatSummary({ line, closed }: Entry): string {
  const words = oneLine(line.text);
  const end = closed === undefined ? "" : ` (closed ${closed.date.slice(0, 10)})`;
  if (line.kind === "meter") {
    const what = [meterNames[line.what], line.part].filter((part) => part !== undefined).join(" ");
    return `${what}: ${formatMeterValues(line.values)}${words === "" ? "" : `; ${words}`}${end}`;
  }
  if (line.kind === "repair") {
    const parts = line.parts.map(({ what, count }) => (count === 1 ? what : `${count} × ${what}`));
    return `done: ${[words, ...parts].filter((part) => part !== "").join("; ")}${end}`;
  }
  if (line.kind === "off") {
    return `${line.how ?? "off"}: ${line.what}${closed === undefined ? "" : ` (back ${closed.date.slice(0, 10)})`}`;
  }
  if (line.kind === "accept") return `${formatAcceptLine(line)}${end}`;
  if (line.kind === "check") return `${formatCheckLine(line)}${end}`;
  const tags = [line.control, line.symptom].filter((word) => word !== undefined).join(", ");
  return `${[tags, words].filter((part) => part !== "").join(": ")}${end}`;
}

const meterNames: Readonly<Record<MeterLine["what"], string>> = {
  phantom: "phantom",
  rail: "rails",
  direct: "DC voltage",
  resistor: "resistor",
  capacitor: "capacitor",
};

/** One note in full: its text, what was corrected, how it was closed. */
export function renderNote(
  entry: Entry,
  verdict: MeterVerdict | undefined,
  style: ReportStyle,
): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const { id, line, corrections, closed } = entry;
  const who = line.who === undefined ? "" : `, ${line.who}`;
  const text =
    line.text === "" || line.kind === "meter" ? [] : line.text.split("\n").map((t) => `  ${t}`);
  return [
    strong(`${id}, ${placeLong(entry)}, ${line.date.slice(0, 10)}${who}`),
    ...(line.kind === "fault" && text.length > 0 && (line.control ?? line.symptom) === undefined
      ? []
      : wrapText(
          formatSummary({
            id,
            line: { ...line, text: line.kind === "meter" ? line.text : "" },
            at: 0,
            corrections: [],
          } as Entry),
          width,
          "  ",
        )),
    ...text,
    ...(closed === undefined ? dangerLines(entry, style) : []),
    ...(verdict === undefined ? [] : verdictLines(verdict, style)),
    ...corrections.flatMap((one) =>
      wrapText(formatCorrection(one), width, `  corrected ${one.date.slice(0, 10)}: `, "    "),
    ),
    ...(closed === undefined
      ? []
      : wrapText(
          [
            closed.text,
            ...closed.figures,
            closed.round === undefined ? "" : `round ${closed.round}`,
          ]
            .filter((part) => part !== "")
            .join("; "),
          width,
          `  closed ${closed.date.slice(0, 10)}: `,
          "    ",
        )),
    "",
  ].join("\n");
}

/** What a correction changed. */
function formatCorrection(correction: Entry["corrections"][number]): string {
  const { text, noticed, control, symptom, values, part, reopened, wholeDesk } = correction;
  const place = pickPlace(correction);
  return [
    ...(wholeDesk || place.strip !== undefined || place.section !== undefined
      ? [`place ${formatPlace(place)}`]
      : []),
    ...(control === undefined ? [] : [`control ${control ?? "none"}`]),
    ...(symptom === undefined ? [] : [`symptom ${symptom ?? "none"}`]),
    ...(noticed === undefined ? [] : [`noticed ${noticed.slice(0, 10)}`]),
    ...(values === undefined ? [] : [formatMeterValues(values)]),
    ...(part === undefined ? [] : [`part ${part}`]),
    ...(text === undefined ? [] : [`words "${oneLine(text)}"`]),
    ...(reopened ? ["open again"] : []),
  ].join("; ");
}

/** The reply to a note that was just made. */
export interface NoteReply {
  /** Of a meter reading. */
  readonly verdict?: MeterVerdict | undefined;
  /** Of a fault. */
  readonly answer?: NoteAnswer | undefined;
  /** Notes of the same on other strips. */
  readonly others?: readonly Entry[] | undefined;
  /** What feeds its place, and what that feeds. */
  readonly fed?: Pick<OpenDanger, "supplies" | "feeds"> | undefined;
  /** Its place was not understood. */
  readonly isPlaceUnknown?: true | undefined;
  /** Open notes that the work may have settled. */
  readonly mayClose?: readonly string[] | undefined;
}

/** What was just noted: one line, how it was understood, and what to do at once. */
export function renderNoted(
  entry: Entry,
  { others = [], verdict, answer, fed, isPlaceUnknown, mayClose = [] }: NoteReply,
  style: ReportStyle,
): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const said = [
    ...(isPlaceUnknown
      ? [
          `It names no place on this desk, so it is noted for the whole desk. Say where it belongs: ${formatCommand(`note correct ${entry.id} --place 6`)}`,
        ]
      : []),
    ...(answer === undefined ? [] : listAnswerLines(entry, answer)),
    ...(mayClose.length === 0
      ? []
      : [
          `Open there: ${mayClose.join(", ")}. Once it has been tried: ${formatCommand(`note close ${mayClose.join(" ")}`)}`,
        ]),
  ];
  return [
    ...wrapText(
      `${placeLong(entry)}: ${formatSummary(entry)}`,
      width,
      `Noted as ${entry.id}: `,
      "  ",
    ),
    ...dangerLines(entry, style, fed),
    ...(others.length === 0
      ? []
      : wrapText(
          `The same is noted for ${formatList(others.map((one) => `${placeLong(one)} (${one.id})`))}.`,
          width,
          "  ",
          "    ",
        )),
    ...said.flatMap((line) => wrapText(line, width, "  ", "    ")),
    ...(verdict === undefined ? [] : verdictLines(verdict, style)),
  ].join("\n");
}

/** How a note was understood, what to try, and what to use instead: one line each. */
function listAnswerLines({ id }: Entry, answer: NoteAnswer): readonly string[] {
  const { taken, faults, firstAid, instead, mayClose, part, stayOff, elsewhere } = answer;
  const where = formatPlaceWords(answer.place);
  const open = [...stayOff, ...elsewhere];
  const off = open.length === 0 ? [] : [formatDangerReminder(open)];
  if (taken === "in order") {
    const close =
      mayClose.length === 0
        ? ""
        : ` Open there: ${mayClose.join(", ")}; if that is settled: ${formatCommand(`note close ${mayClose.join(" ")}`)}`;
    return [`Understood as: ${where}, in order.${close}`, ...off];
  }
  const other = formatSubstitutes(instead);
  if (taken === "not understood") {
    return [
      part === undefined
        ? `Not understood: kept as written (${where}), for you to look at; no parts are ordered for it. To name the fault: ${formatCommand(`note correct ${id} --symptom hum`)}`
        : `Kept as written (${where}), for you to look at; no parts are ordered for words alone. With the desk off, unplugged and discharged: ${formatMeasurePart(formatPlace(answer.place), part)}.`,
      "If it smells, smokes, gets hot, is wet or gives shocks: switch off, unplug, and note it with one of these words.",
      ...off,
      ...other,
    ];
  }
  const words = faults.map(formatFault).join("; and ");
  return [
    ...(words === "" ? [] : [`Understood as: ${where}: ${words}.`]),
    ...off,
    ...(firstAid === undefined
      ? []
      : [
          `${open.length === 0 ? "Try now" : "Then try"}: ${firstAid.todo}. ${carryOnWords[firstAid.carryOn]}`,
        ]),
    ...other,
  ];
}

const carryOnWords: Readonly<Record<CarryOn, string>> = {
  yes: "You can go on working.",
  care: "If that settles it, go on working.",
  watch: "As long as it does none of that, go on working.",
  elsewhere: "Until it is found, work on another strip or input.",
};

/** "gain, scratch". */
function formatFault({ control, symptom, comesAndGoes }: NotedFault): string {
  const often = comesAndGoes && symptom !== "intermittent" ? "comes and goes" : undefined;
  return [control, symptom, often].filter((word) => word !== undefined).join(", ");
}

function formatSubstitutes(instead: NoteAnswer["instead"]): readonly string[] {
  if (instead === undefined) return [];
  const { places, round } = instead;
  return places.length === 0
    ? [`None of its kind was in order in round ${round}.`]
    : [`Use instead: ${places.join(" or ")} (in order in round ${round}).`];
}

/** What to do at once about the dangers that notes report; empty if they report none. */
export function renderDangers(entries: readonly Entry[], style: ReportStyle): string {
  return entries
    .flatMap((entry) => {
      const lines = dangerLines(entry, style);
      return lines.length === 0 ? [] : [`${entry.id}, ${placeLong(entry)}:`, ...lines];
    })
    .join("\n");
}

function dangerLines(
  entry: Entry,
  style: ReportStyle,
  fed: NonNullable<NoteReply["fed"]> = {},
): readonly string[] {
  const dangers = listNoteDangers(entry);
  if (dangers.length === 0) return [];
  const { bad } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const told = { ...pickPlace(entry.line), ...fed, dangers };
  return [
    `  ${bad(`DANGER: ${formatDangerNames(dangers)}.`)}`,
    ...listDangerAdvice(told).flatMap((text) => wrapText(text, width, "  ", "  ")),
  ];
}

function verdictLines(verdict: MeterVerdict, style: ReportStyle): readonly string[] {
  const { good, bad, doubt } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const { words, remarks, pointsTo } = formatMeterVerdict(verdict);
  const heads = {
    in: good("In order."),
    out: bad("Out of range."),
    unjudged: doubt("Not judged."),
  };
  return [
    `  ${heads[verdict.verdict]}`,
    ...[...words, ...remarks].flatMap((line) => wrapText(line, width, "  ", "    ")),
    ...(pointsTo.length === 0 ? [] : ["  Points to:"]),
    ...pointsTo.flatMap((line) => wrapText(line, width, "  - ", "    ")),
  ];
}

function placeLong({ line }: Entry): string {
  return formatPlaceWords(pickPlace(line));
}

function oneLine(text: string): string {
  return collapseSpace(text);
}

import type { SectionKind } from "../../desk/section-kinds.js";
import type { CauseKind } from "../../diagnose/cause-kind.js";
import { causeKinds } from "../../diagnose/causes.js";
import type { Control, Symptom } from "../../diagnose/note-vocabulary.js";
import type { NotedFault } from "../../diagnose/notes/noted-fault.js";
import { readNote } from "../../diagnose/notes/read-note.js";
import { rememberLast } from "../../text/remember-last.js";
import { listNoteDangers } from "../notebook/open-dangers.js";
import type { Entry } from "../notebook/types.js";
import { speaksForParts } from "./speaks-for-parts.js";

/** One fault of a note, and its possible causes. */
export interface FaultMeaning extends NotedFault {
  /** Ids of causes that give such a symptom, the likeliest first (common practice). */
  readonly causes: readonly string[];
  /** Whether the note alone justifies having the parts for the first cause ready. */
  readonly isSure: boolean;
}

/** Meaning of a note, from its options or its text. */
export interface NoteMeaning {
  /** The first of the faults. */
  readonly control?: Control;
  readonly symptom?: Symptom;
  readonly causes: readonly string[];
  /** All faults; none if nothing was understood, or nothing is wrong. */
  readonly faults: readonly FaultMeaning[];
  /** Whether it only says that something is in order, or that a fault is gone. */
  readonly isInOrder: boolean;
}

const nothing: NoteMeaning = { causes: [], faults: [], isInOrder: false };

/** In a note of a danger, these symptoms only say how it was noticed. */
const sideEffects: readonly (Symptom | undefined)[] = ["intermittent", "crosstalk", "loud"];
/** And these if it names no control: something popped, stuck together or went black. */
const traces: readonly (Symptom | undefined)[] = ["stuck", "dark", "loose"];

/** A plan asks several times for each of its notes. */
const readLately = rememberLast((key: string) => {
  const [kind, text] = JSON.parse(key) as [SectionKind | null, string];
  return readNote(text, kind ?? undefined);
}, 1000);

/** Interprets a note of a fault; the text is used only for what no option says. */
export function interpretNote({ line }: Pick<Entry, "line">): NoteMeaning {
  if (line.kind !== "fault") return nothing;
  const reading = readLately(JSON.stringify([line.sectionKind ?? null, line.text]));
  const dangers = listNoteDangers({ line });
  const hasDanger = dangers.length > 0;
  const read = reading.faults
    .filter(
      ({ control, symptom }) =>
        !hasDanger || !(sideEffects.includes(symptom) || isTrace(control, symptom)),
    )
    .map((fault) => (hasDanger && fault.isVague ? withoutSymptom(fault) : fault))
    .filter(({ control, symptom }) => control !== undefined || symptom !== undefined);
  const isMains = dangers.includes("transformer") && read.every(({ symptom }) => !symptom);
  const heard = isMains ? [{ symptom: "hum" } as const] : read;
  const said = applyOptions(heard, line);
  // Options need no interpretation.
  const isTyped = line.control !== undefined && line.symptom !== undefined;
  const faults = said.map((fault) => {
    const noted = listNotedCauses(fault);
    const isSure =
      noted.isSure && !hasDanger && (isTyped || speaksForParts(fault, said, line.text));
    return { ...fault, ...noted, isSure };
  });
  const [first] = faults;
  return {
    ...(first?.control === undefined ? {} : { control: first.control }),
    ...(first?.symptom === undefined ? {} : { symptom: first.symptom }),
    causes: first?.causes ?? [],
    faults,
    isInOrder: reading.isInOrder && faults.length === 0 && !hasDanger,
  };
}

/** A trace of a danger, or the mains socket: not a fault of the sound. */
function isTrace(control: Control | undefined, symptom: Symptom | undefined): boolean {
  if (control === "socket") return symptom === undefined || traces.includes(symptom);
  return control === undefined && traces.includes(symptom);
}

/** In a note of a danger, guessed symptoms do not count. */
function withoutSymptom({ control }: NotedFault): NotedFault {
  return control === undefined ? {} : { control };
}

/** Options override the text, and take the rest from the fault that they fit. */
function applyOptions(
  read: readonly NotedFault[],
  { control, symptom }: NotedFault,
): readonly NotedFault[] {
  if (control === undefined && symptom === undefined) return read;
  const fits = read.find(
    (one) =>
      (control === undefined || one.control === control) &&
      (symptom === undefined || one.symptom === symptom),
  );
  const near =
    fits ?? read.find((one) => (control === undefined ? true : one.control === undefined));
  const own: NotedFault = {
    ...near,
    ...(control === undefined ? {} : { control }),
    ...(symptom === undefined ? {} : { symptom }),
  };
  return [own, ...read.filter((one) => one !== near)];
}

/** Symptoms of a path, whatever control is named with them, unless a cause has both. */
const pathSymptoms: readonly Symptom[] = [
  "hum",
  "buzz",
  "hiss",
  "whistle",
  "crosstalk",
  "thin",
  "dull",
  "distorted",
  "clips-early",
];

/** Causes that name the control first, each group by its share of such notes. */
function listNotedCauses({
  control,
  symptom,
  isVague,
}: NotedFault): Pick<FaultMeaning, "causes" | "isSure"> {
  // "Hum when the gain is up" is not a fault of the gain control.
  const isOfPath =
    symptom !== undefined &&
    pathSymptoms.includes(symptom) &&
    !causeKinds.some(({ notes = [] }: CauseKind) =>
      notes.some(
        ({ controls, symptoms }) =>
          control !== undefined && controls?.includes(control) && symptoms?.[symptom] !== undefined,
      ),
    );
  const ranked = causeKinds
    .map((kind) => ({ id: kind.id, ...weigh(kind, isOfPath ? undefined : control, symptom) }))
    .filter(({ share }) => share > 0)
    .sort((a, b) => b.rank - a.rank || b.share - a.share);
  return { causes: ranked.map(({ id }) => id), isSure: !isVague && ranked[0]?.isSure === true };
}

function weigh(
  { notes = [] }: CauseKind,
  control: Control | undefined,
  symptom: Symptom | undefined,
): { readonly rank: 0 | 1; readonly share: number; readonly isSure: boolean } {
  const listed = (pointer: (typeof notes)[number]) =>
    symptom === undefined ? undefined : pointer.symptoms?.[symptom];
  const named = notes.filter(
    ({ controls }) => control !== undefined && controls?.includes(control),
  );
  if (named.length > 0) {
    const shares = named.map((pointer) => listed(pointer) ?? pointer.otherwise ?? 0);
    const isSure = named.some(({ sure }) => symptom !== undefined && sure?.includes(symptom));
    return { rank: 1, share: Math.max(...shares), isSure };
  }
  // Causes of other controls do not apply to this one.
  if (control !== undefined && notes.some(({ controls }) => controls !== undefined)) {
    return { rank: 0, share: 0, isSure: false };
  }
  const general = notes.filter(({ controls }) => controls === undefined);
  const share = Math.max(0, ...general.map((pointer) => listed(pointer) ?? 0));
  return { rank: 0, share, isSure: false };
}

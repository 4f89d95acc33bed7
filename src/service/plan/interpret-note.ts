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

/** One fault of a note, and what it may be. */
export interface FaultMeaning extends NotedFault {
  /** Ids of causes that give such a symptom, the likeliest first (common practice). */
  readonly causes: readonly string[];
  /** The note alone is reason enough to have the parts of the first cause ready. */
  readonly isSure: boolean;
}

/** What a note says, in words of the trade, whether it was said by options or in free text. */
export interface NoteMeaning {
  /** The first of the faults. */
  readonly control?: Control;
  readonly symptom?: Symptom;
  readonly causes: readonly string[];
  /** All of them; none where nothing was understood, or nothing is wrong. */
  readonly faults: readonly FaultMeaning[];
  /** It only says that something is in order, or that a fault is gone. */
  readonly isInOrder: boolean;
}

const nothing: NoteMeaning = { causes: [], faults: [], isInOrder: false };

/** Of these a note of a danger says no more than how the danger was noticed. */
const sideEffects: readonly (Symptom | undefined)[] = ["intermittent", "crosstalk", "loud"];
/** And these where it names no control: what popped, stuck together or went black. */
const traces: readonly (Symptom | undefined)[] = ["stuck", "dark", "loose"];

/** A plan asks several times for each of its notes. */
const readLately = rememberLast((key: string) => {
  const [kind, text] = JSON.parse(key) as [SectionKind | null, string];
  return readNote(text, kind ?? undefined);
}, 1000);

/** What a note of a fault means; the free text is only looked at where no option said it. */
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
  // What options say outright needs no second opinion.
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

/** What a danger left, or the socket of the mains: no fault of the sound. */
function isTrace(control: Control | undefined, symptom: Symptom | undefined): boolean {
  if (control === "socket") return symptom === undefined || traces.includes(symptom);
  return control === undefined && traces.includes(symptom);
}

/** Of a danger, what is only guessed from its words is not a fault. */
function withoutSymptom({ control }: NotedFault): NotedFault {
  return control === undefined ? {} : { control };
}

/** What the options say goes before the words, and takes the rest from the fault that they fit. */
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

/** What a path does whatever control it is heard at, unless a cause says otherwise of the two. */
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

/** Causes that speak of the control first, each group by its share of such notes. */
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
  // A cause of other controls is none of this one's.
  if (control !== undefined && notes.some(({ controls }) => controls !== undefined)) {
    return { rank: 0, share: 0, isSure: false };
  }
  const general = notes.filter(({ controls }) => controls === undefined);
  const share = Math.max(0, ...general.map((pointer) => listed(pointer) ?? 0));
  return { rank: 0, share, isSure: false };
}

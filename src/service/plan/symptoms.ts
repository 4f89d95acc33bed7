import type { CauseKind } from "../../diagnose/cause-kind.js";
import { causeKinds } from "../../diagnose/causes.js";
import {
  type Control,
  findControl,
  findSymptom,
  type Symptom,
} from "../../diagnose/note-vocabulary.js";
import type { Entry } from "../notebook/types.js";

/** What a note says, in words of the trade, whether it was told by options or in free text. */
export interface NoteMeaning {
  readonly control?: Control;
  readonly symptom?: Symptom;
  /** Ids of causes that give such a symptom, the likeliest first (common practice). */
  readonly causes: readonly string[];
}

/** What a note of a fault means; the free text is only looked at where no option said it. */
export function interpretNote({ line }: Pick<Entry, "line">): NoteMeaning {
  if (line.kind !== "fault") return { causes: [] };
  const control = line.control ?? findControl(line.text);
  const symptom = line.symptom ?? findSymptom(line.text);
  return {
    ...(control === undefined ? {} : { control }),
    ...(symptom === undefined ? {} : { symptom }),
    causes: listNotedCauses(control, symptom),
  };
}

/** Causes that speak of the control first, each group by its share of such notes. */
function listNotedCauses(
  control: Control | undefined,
  symptom: Symptom | undefined,
): readonly string[] {
  return causeKinds
    .map((kind) => ({ id: kind.id, ...weigh(kind, control, symptom) }))
    .filter(({ share }) => share > 0)
    .sort((a, b) => b.rank - a.rank || b.share - a.share)
    .map(({ id }) => id);
}

function weigh(
  { notes = [] }: CauseKind,
  control: Control | undefined,
  symptom: Symptom | undefined,
): { readonly rank: 0 | 1; readonly share: number } {
  const listed = (pointer: (typeof notes)[number]) =>
    symptom === undefined ? undefined : pointer.symptoms?.[symptom];
  const named = notes.filter(
    ({ controls }) => control !== undefined && controls?.includes(control),
  );
  if (named.length > 0) {
    const shares = named.map((pointer) => listed(pointer) ?? pointer.otherwise ?? 0);
    return { rank: 1, share: Math.max(...shares) };
  }
  // A cause of other controls is none of this one's.
  if (control !== undefined && notes.some(({ controls }) => controls !== undefined)) {
    return { rank: 0, share: 0 };
  }
  const general = notes.filter(({ controls }) => controls === undefined);
  return { rank: 0, share: Math.max(0, ...general.map((pointer) => listed(pointer) ?? 0)) };
}

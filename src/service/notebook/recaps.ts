import type { DeskAge } from "../../desk/construction.js";
import type { Entry, Notebook } from "./types.js";

/** When strips last got new electrolytics, by notes of work done: strip to the note's time. */
export function listRecaps(
  { entries }: Pick<Notebook, "entries">,
  strips: readonly string[],
): ReadonlyMap<string, string> {
  const latest = new Map<string, string>();
  for (const { line } of entries) {
    if (!isRecap(line)) continue;
    for (const strip of line.strip === undefined ? strips : [line.strip]) {
      const earlier = latest.get(strip);
      if (earlier === undefined || earlier < line.date) latest.set(strip, line.date);
    }
  }
  return latest;
}

/** Whether a note says that all electrolytics of a strip or the desk are new. */
function isRecap(line: Entry["line"]): boolean {
  if (line.kind !== "repair" || line.recapped !== true) return false;
  return line.input === undefined && line.section === undefined;
}

const recapWords =
  /\bre-?cap(s|ped|ping)?\b|\ball (the )?(electrolytics|electrolytic capacitors) (were |are )?(replaced|renewed|changed|new)\b/i;
/** Words for only part of a strip, or not done: then only `--recapped` counts. */
const onlyPart =
  /\b(half|part(ly|ially)?|some|most|few|except|only|apart from|all but|boards?|cards?|stages?|sections?|mic|line|tape|inputs?|outputs?|eq|equali[sz]er|pre-?amps?|psu|supply|power|c ?\d+)\b/i;
const notDone =
  /\b(no|not|never|without|\w+n['’]?t|to be|needs?|need(ed|ing)?|want(s|ed)?|should|must|could|will|would|before|due|until|after|later|next|soon|tomorrow|plan(ned|ning|s)?|postponed|cancelled|skipped|instead|rather than|ready for|ordered|quoted?|ask(ed)?|check(ed)?|wait(s|ing)?|for (the|a)|start(ed|ing)?|begun|continue|still|kit)\b|\?/i;

/** Whether words such as "recapped" say that all electrolytics were replaced. */
export function saysRecapped(text: string): boolean {
  return recapWords.test(text) && !onlyPart.test(text) && !notDone.test(text);
}

/** Usual hours a day, where the desk file says nothing about its age. */
const usualHours = 8;

/** Age of a desk's electrolytics, by the desk file and later notes. */
export function mergeRecaps(
  age: DeskAge | undefined,
  recaps: ReadonlyMap<string, string>,
): DeskAge | undefined {
  if (recaps.size === 0) return age;
  const noted = [...recaps].map(([strip, date]) => ({
    year: Number(date.slice(0, 4)),
    strips: [strip],
  }));
  const { recapped, ...rest } = age ?? { recapped: [], poweredHours: usualHours, warmerKelvin: 0 };
  return { ...rest, recapped: [...recapped, ...noted] };
}

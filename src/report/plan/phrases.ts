import { formatStep } from "../../service/plan/format-step.js";
import type { NotPlanned } from "../../service/plan/list-not-planned.js";
import type { Untold } from "../../service/plan/list-untold.js";
import type { ItemBoards, PlanPart } from "../../service/plan/types.js";
import type { Reservation } from "../../service/stores/ledger.js";
import { formatCount } from "../../text/format-count.js";
import { formatCommand } from "../../text/program-name.js";
import { formatDangerHead, listDangerAdvice } from "../danger.js";
import { formatMatches } from "../format-stock.js";
import { formatSharedFault } from "../shared/format-shared.js";
import { formatDuration } from "../sheet/phrases.js";
import { nameStrips } from "./name-strips.js";
import type { WordedOutsideItem, WordedPlan, WordedPlanItem, WordedPlanStrip } from "./worded.js";

/**
 * The lines under an item, label and text, the same in every format: only work without power.
 *
 * @param common risks that are printed once for all strips
 */
export function formatItemLines(
  item: WordedPlanItem,
  common: readonly string[] = [],
): readonly (readonly [label: string, text: string])[] {
  const cold = item.steps.filter(({ power }) => power === "unplugged" || power === "bench");
  const risks = item.risks.filter((risk) => !common.includes(risk));
  return [
    ...item.says.map((text, k) => [k === 0 ? "because" : "", text] as const),
    ...(item.where === undefined ? [] : [["where", item.where] as const]),
    ...(item.boards === undefined ? [] : [["board", formatBoards(item.boards)] as const]),
    ...cold.map((step, k) => {
      const label = step.power === cold[k - 1]?.power ? "" : step.power;
      return [label, formatStep(step)] as const;
    }),
    ["repair", item.replace],
    ...(risks.length === 0 ? [] : [["risk", risks.join("; ")] as const]),
  ];
}

/** "mic board (mic input stage)"; it may be any of several, or unknown if there are none. */
function formatBoards({ names, stages }: ItemBoards): string {
  if (names.length === 0) {
    return "not in strip-down.yaml: look from the front first; when you have found the board, add its name there";
  }
  const among = stages.length === 0 ? "" : ` (${stages.join(", ")})`;
  const boards =
    names.length === 1 ? names[0] : `one of these, in signal order: ${names.join(", ")}`;
  return `${boards}${among}`;
}

/** Risks that more than half of all items have, at least three: they are printed once for all. */
export function listCommonRisks({ steps }: Pick<WordedPlan, "steps">): readonly string[] {
  const items = steps.flatMap((step) => (step.kind === "strip" ? step.items : []));
  const counts = new Map<string, number>();
  for (const risk of items.flatMap(({ risks }) => risks))
    counts.set(risk, (counts.get(risk) ?? 0) + 1);
  return [...counts].flatMap(([risk, count]) =>
    count >= 3 && count > items.length / 2 ? [risk] : [],
  );
}

/** Work under power, with the strip and the item that it belongs to. */
export interface LiveWork {
  /** "strip 6, tape input (tape board)". */
  readonly place: string;
  readonly title: string;
  /** One text for each step. */
  readonly text: readonly string[];
}

/**
 * The steps of a plan that need the desk open and under power, in its order; they are done before
 * any strip is unplugged. The warning about them is printed once, at the head of that part.
 */
export function listLiveWork({
  steps,
  places = [],
}: Pick<WordedPlan, "steps" | "places">): readonly LiveWork[] {
  const ofPlaces = places.flatMap(({ section, items }) =>
    items.flatMap((item) => listLiveSteps(item, section)),
  );
  const ofStrips = steps.flatMap((step) =>
    step.kind === "off"
      ? []
      : step.items.flatMap((item) => {
          const inputs =
            item.inputs.length === 0
              ? ""
              : ` ${item.inputs.join(", ")} input${item.inputs.length === 1 ? "" : "s"}`;
          return listLiveSteps(item, `strip ${step.strip}${inputs}`);
        }),
  );
  return [...ofPlaces, ...ofStrips];
}

function listLiveSteps(item: WordedPlanItem, place: string): readonly LiveWork[] {
  const live = item.steps.filter(({ power }) => power === "powered and open");
  if (live.length === 0) return [];
  const names = item.boards?.names ?? [];
  const board = names.length === 0 ? "" : ` (${names.join(" or ")})`;
  return [
    {
      place: `${place}${board}`,
      title: item.name,
      text: live.map(({ power, text }) => formatStep({ power, text })),
    },
  ];
}

/** Strips that must stay unpowered when the desk is switched on, each with the reason. */
export function listDangerStops({ dangers = [] }: Pick<WordedPlan, "dangers">): readonly string[] {
  return dangers.flatMap(({ note, strip }) =>
    strip === undefined
      ? []
      : `strip ${strip} must not get power (${note}): take it out, or unplug its supply feed, before the desk is switched on; if you can do neither, skip this part`,
  );
}

/** The suspected fault, how likely it is, and its minutes. */
export function formatItemTitle({ name, inputs, probability, minutes }: WordedPlanItem): string {
  const where = inputs.length === 0 ? "" : `${inputs.join(", ")}: `;
  const chance = probability === undefined ? "" : ` (${Math.round(100 * probability)}\u00a0%)`;
  return `${where}${name}${chance}, ${minutes}\u00a0min`;
}

/** How a strip comes out, and how long that takes. */
export function formatStripTitle({
  strip,
  boards = [],
  pullMinutes,
  freeWith,
  testMinutes,
}: WordedPlanStrip): string {
  const what = boards.length === 0 ? "" : `its board${boards.length === 1 ? "" : "s"} `;
  const tested = `; measured again ${testMinutes} min`;
  if (freeWith !== undefined) {
    return `Strip ${strip}: comes out with strip ${freeWith.strip}, on ${freeWith.card}${tested}`;
  }
  return `Strip ${strip}: ${pullMinutes === 0 ? "comes out with its card" : `${what}out and back ${pullMinutes} min`}${tested}`;
}

/** What else to know about a strip that is out: its age, and which dangers keep the power off. */
export function formatStripTail({ ageing, offFor = [] }: WordedPlanStrip): readonly string[] {
  return [
    ...(ageing === undefined
      ? []
      : [
          `electrolytics from ${ageing.since}: due about ${ageing.due} by rule of thumb (common practice)`,
        ]),
    ...(offFor.length > 0
      ? [
          `leave the power off until ${offFor.join(", ")} ${offFor.length === 1 ? "is" : "are"} closed`,
        ]
      : []),
  ];
}

/** How many of a part, its value, and whether the stores have them. */
export function formatPart({ what, value, count, spare, stores, spec }: PlanPart): string {
  const more = spare > 0 ? ` and ${spare} spare` : "";
  // A part whose value can only be read off the part itself may still be in the stores.
  const reserved =
    spec === undefined ? "read it off the strip, then look in the stores" : undefined;
  const held = stores === undefined ? "" : `; ${reserved ?? formatReservation(stores)}`;
  return `${count} × ${what}${more}${value === "" ? "" : `: ${value}`}${held}`;
}

/** "strips 3, 6; group 3". */
export function formatOwners({ strips, sections = [] }: PlanPart): string {
  const own = strips.length === 0 ? [] : [nameStrips(strips)];
  return [...own, ...sections].join("; ");
}

/** What was set aside in the stores, named as on its bag. */
export function formatReservation({
  reserved,
  missing,
  matches,
  toPick,
}: Pick<Reservation, "reserved" | "missing" | "matches" | "toPick">): string {
  const pick = toPick === undefined ? "" : `; select them by meter from ${formatMatches([toPick])}`;
  if (reserved === 0) return `none in the stores${pick}`;
  const more = missing === 0 ? "" : `, ${missing} missing`;
  return `set aside in the stores: ${formatMatches(matches)}${more}${pick}`;
}

export const outsidePhrases: Readonly<Record<WordedOutsideItem["kind"], string | undefined>> = {
  setting: "set wrongly?",
  patch: "patched wrongly?",
  "record again": "record again",
  "try first": "check first",
  "look at": "needs a look",
  // Its name is enough.
  desk: undefined,
};

/** Explains the plan's terms to a first-time reader; undefined if it names no path. */
export function formatLegend({ outside, steps, phases }: WordedPlan): string | undefined {
  const paths = [
    ...outside.flatMap(({ place, paths: asked }) => asked ?? [place]),
    ...steps.flatMap((step) =>
      step.kind === "strip" ? step.items.flatMap(({ paths: own }) => own) : [],
    ),
  ];
  const [example] = paths.filter((path) => path.includes("/"));
  if (example === undefined) return undefined;
  const at = example.lastIndexOf("/");
  const [strip, input] = [example.slice(0, at), example.slice(at + 1)];
  const words = `${example} is the ${input} input of strip ${strip}; its siblings are the ${input} inputs of the other strips; a figure in % says how likely a cause is.`;
  // Nothing is recorded while the power must stay off.
  if (!phases.some(({ power }) => power === "in use")) return words;
  return `${words} To record ${example} again: mute the monitors, patch it and set it as on the run sheet, start the recording, play the test signal once; then \`${formatCommand(`analyze --only ${example}`)}\` and the name of the recording.`;
}

/** The dangers at the head of the plan: one line for each, then what to do. */
export function listDangerLines({ dangers = [] }: Pick<WordedPlan, "dangers">): readonly {
  readonly head: string;
  readonly advice: readonly string[];
}[] {
  return dangers.map((one) => ({
    head: `${one.note} ${one.date}, ${formatDangerHead(one)}: ${one.words}`,
    advice: [
      ...listDangerAdvice(one),
      `When it is found and repaired: ${formatCommand(`note close ${one.note}`)}`,
    ],
  }));
}

/** Whether the desk is opened for anything in the plan. */
export function isOpened({ phases }: Pick<WordedPlan, "phases">): boolean {
  return phases.some(({ id }) => id === "open");
}

/** How long the plan takes, and how many hours there are. */
export function formatTime(minutes: number, hours: number | null): string {
  const all = formatDuration(minutes * 60);
  if (hours === null) return `about ${all}`;
  // Supplies and buses come first, whatever time there is.
  if (minutes > 60 * hours) return `about ${all}, more than the ${hours} h at hand`;
  return `about ${all} of the ${hours} h at hand`;
}

/** What the plan is made from, and which findings of newer rounds it leaves out. */
export function formatBasis(plan: WordedPlan): string {
  const missing = (plan.notPlanned ?? []).map(formatNotPlanned);
  const untold = (plan.untold ?? []).flatMap((one) =>
    // That is what the sources say already.
    one.code === "no-round" ? [] : [`Left open: ${formatUntold(one)}`],
  );
  return [formatSources(plan), ...missing, ...untold].join(". ");
}

/** What the sources leave open, as part of a sentence. */
export function formatUntold(untold: Untold): string {
  switch (untold.code) {
    case "no-round":
      return "there is no round of the whole desk to go by";
    case "unread": {
      const named = [
        ...untold.rounds.map((id) => `round ${id}`),
        ...untold.passes.map((id) => `controls pass ${id}`),
      ];
      return `${named.join(", ")} ${named.length === 1 ? "is" : "are"} damaged`;
    }
    case "order":
      return `which path each return of round ${untold.round} belongs to is in doubt`;
    case "unjudged":
      return `${formatPathNames(untold.paths)} could not be judged`;
  }
}

/** A plan needs whole rounds, but what partial rounds show must not be lost. */
function formatNotPlanned({ round, paths, shared }: NotPlanned): string {
  const shown = [
    ...shared.map(formatSharedFault),
    ...(paths.length === 0 ? [] : [formatPathNames(paths)]),
  ];
  return `NOT in this plan, which uses whole rounds only: ${shown.join("; ")}, found in round ${round} (\`${formatCommand(`show ${round}`)}\`)`;
}

/** Up to six names, and how many more there are. */
function formatPathNames(paths: readonly string[]): string {
  const told = paths.slice(0, 6).join(", ");
  return paths.length <= 6 ? told : `${told} and ${paths.length - 6} more`;
}

function formatSources({ round, passes, openNotes }: WordedPlan): string {
  const noted = openNotes === 0 ? "no open notes" : formatCount(openNotes, "open note");
  if (round === null && passes.length === 0) return `the notebook alone: ${noted}`;
  const heard = [
    ...(round === null ? [] : [`round ${round}`]),
    ...passes.map((pass) => `controls pass ${pass}`),
  ];
  return `${heard.join(", ")} and ${noted}`;
}

/** "2020: strips 5–24; 2034: strips 1–4". */
export function formatAgeing(ageing: WordedPlan["ageing"], strips: readonly string[]): string {
  const years = [...new Set(ageing.map(({ due }) => due))].sort((a, b) => a - b);
  return years
    .map((year) => {
      const due = new Set(ageing.filter((one) => one.due === year).map(({ strip }) => strip));
      return `${year}: strip${due.size === 1 ? "" : "s"} ${ranges(strips, due)}`;
    })
    .join("; ");
}

function ranges(strips: readonly string[], due: ReadonlySet<string>): string {
  const runs: string[][] = [];
  strips.forEach((strip, k) => {
    if (!due.has(strip)) return;
    if (k > 0 && due.has(strips[k - 1])) runs.at(-1)?.push(strip);
    else runs.push([strip]);
  });
  return runs
    .map((run) => (run.length < 3 ? run.join(", ") : `${run[0]}–${run.at(-1)}`))
    .join(", ");
}

/** Printed below checks that are analyzed. */
export const checksReminder =
  "Print this list again after these checks: it will then take their results into account.";

/** Printed below the work on shared parts. */
export const sharedReminder =
  "When that is done, record another round: pull strips only for the faults that are left.";

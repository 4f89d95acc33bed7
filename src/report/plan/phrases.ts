import { formatStep } from "../../service/plan/format-step.js";
import type { OutsideItem, Plan, PlanItem, PlanPart, PlanStrip } from "../../service/plan/types.js";
import { formatCount } from "../../text/format-count.js";
import { formatDangerHead, listDangerAdvice } from "../danger.js";
import { formatDuration } from "../sheet/phrases.js";

/** What stands under an item, label and text, the same in every form: all of it without power. */
export function formatItemLines(
  item: PlanItem,
): readonly (readonly [label: string, text: string])[] {
  const cold = item.steps.filter(({ power }) => power === "unplugged" || power === "bench");
  return [
    ...item.says.map((text, k) => [k === 0 ? "because" : "", text] as const),
    ...(item.where === undefined ? [] : [["where", item.where] as const]),
    ...cold.map((step, k) => {
      const label = step.power === cold[k - 1]?.power ? "" : step.power;
      return [label, formatStep(step)] as const;
    }),
    ["repair", item.replace],
    ["risk", item.risk],
  ];
}

/** What an item needs done under power, with the strip and the item that it belongs to. */
export interface LiveWork {
  readonly strip: string;
  readonly title: string;
  readonly text: string;
}

/**
 * The steps of a plan that need the desk open and under power, in its order: done before any strip
 * is unplugged. Their danger is said once, by {@link reminders}.
 */
export function listLiveWork({ steps }: Pick<Plan, "steps">): readonly LiveWork[] {
  return steps.flatMap((step) =>
    step.kind === "off"
      ? []
      : step.items.flatMap((item) => {
          const live = item.steps.filter(({ power }) => power === "powered and open");
          if (live.length === 0) return [];
          const title = [item.inputs.join(", "), item.name].filter((part) => part !== "");
          return [
            {
              strip: step.strip,
              title: title.join(": "),
              text: live.map(({ power, text }) => formatStep({ power, text })).join(" "),
            },
          ];
        }),
  );
}

export function formatItemTitle({ name, inputs, probability, minutes }: PlanItem): string {
  const where = inputs.length === 0 ? "" : `${inputs.join(", ")}: `;
  const chance = probability === undefined ? "" : ` (${Math.round(100 * probability)}\u00a0%)`;
  return `${where}${name}${chance}, ${minutes}\u00a0min`;
}

export function formatStripTitle({ strip, pullMinutes, freeWith }: PlanStrip): string {
  if (freeWith !== undefined) {
    return `Strip ${strip}: comes out with strip ${freeWith.strip}, on ${freeWith.card}`;
  }
  return `Strip ${strip}: ${pullMinutes === 0 ? "comes out with its card" : `out and back ${pullMinutes} min`}`;
}

export function formatStripTail({
  testMinutes,
  ageing,
  offFor = [],
}: PlanStrip): readonly string[] {
  return [
    ...(ageing === undefined
      ? []
      : [
          `electrolytics of ${ageing.since}: due about ${ageing.due} by rule of thumb (common practice)`,
        ]),
    offFor.length > 0
      ? `leave the power off until ${offFor.join(", ")} is closed`
      : `once it is back in its place and the desk is on again, measure its inputs: ${testMinutes} min`,
  ];
}

export function formatPart({ what, value, count, spare }: PlanPart): string {
  const more = spare > 0 ? ` + ${spare} spare` : "";
  return `${count}${more}  ${what}${value === "" ? "" : `: ${value}`}`;
}

export const outsidePhrases: Readonly<Record<OutsideItem["kind"], string>> = {
  setting: "set wrongly?",
  patch: "patched wrongly?",
  "record again": "record again",
  "try first": "try first",
  desk: "the desk",
};

/** What is done before the desk is closed: with a danger open, nothing under power. */
export function listCloseReminders({ dangers = [] }: Pick<Plan, "dangers">): readonly string[] {
  if (dangers.length === 0) return reminders.close;
  const [count, leads] = reminders.close;
  const notes = dangers.map(({ note }) => note).join(" ");
  return [
    count,
    leads,
    `leave the desk off: when what the notes of danger speak of is found and repaired, close them (\`deskround note close ${notes}\`) and print this list again`,
  ];
}

/** The dangers as the plan is headed by them: a line for a danger, then what to do. */
export function listDangerLines({ dangers = [] }: Pick<Plan, "dangers">): readonly {
  readonly head: string;
  readonly advice: readonly string[];
}[] {
  return dangers.map((one) => ({
    head: `${one.note} ${one.date}, ${formatDangerHead(one)}: ${one.words}`,
    advice: [
      ...listDangerAdvice(one),
      `When it is found and repaired: deskround note close ${one.note}`,
    ],
  }));
}

/** Said at each step, as hands are busy and nobody scrolls back. */
export const reminders = {
  open: [
    "photograph the inside and label every connector before it is pulled",
    "a tray with a lid for screws and nuts; count what comes off",
    "note where each power and earth lead was, and put it back exactly there",
    "when you solder: draw off the fumes, protect your eyes, wash your hands afterwards, as old solder holds lead",
  ],
  live: [
    "the desk is open and live: work with one hand and an insulated probe, take off rings and chains, keep all covers of mains and supply on; supply and mains work is for licensed people, under local codes",
    "never fit or remove anything under power: switch off and pull the mains plug for every cover and connector",
  ],
  dead: [
    "switch off and pull the mains plug; wait until the rails measure below 1 V at a strip, then go on",
  ],
  off: {
    cover: ["sort the screws by cover; watch for leads attached to it"],
    cable: ["label both ends; pull at the connector, never at the cable"],
    card: ["label its connectors; hold it by the edges; catch nuts and washers"],
  },
  strip: ["photograph it, label its connectors, catch nuts and washers; do not overtighten later"],
  close: [
    "count the screws; look for what is left inside",
    "refit power and earth leads as in the photograph, earth first",
    "measure again before the desk is closed: `deskround plan --retest`",
    "then close it, refitting everything in reverse order",
  ],
} as const;

export function formatTime(minutes: number, hours: number | null): string {
  const all = formatDuration(minutes * 60);
  return hours === null ? `about ${all}` : `about ${all} of the ${hours} h at hand`;
}

export function formatBasis({ round, passes, openNotes }: Plan): string {
  const noted = formatCount(openNotes, "open note");
  if (round === null && passes.length === 0) return `the notebook alone: ${noted}`;
  const heard = [
    ...(round === null ? [] : [`round ${round}`]),
    ...passes.map((pass) => `controls pass ${pass}`),
  ];
  return `${heard.join(", ")} and ${noted}`;
}

/** "2020: strips 5–24; 2034: strips 1–4". */
export function formatAgeing(ageing: Plan["ageing"], strips: readonly string[]): string {
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

/** Said below the jobs at shared parts. */
export const sharedReminder =
  "Record a round again when that is done: strips are pulled only for what is left then.";

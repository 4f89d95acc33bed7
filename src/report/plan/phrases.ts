import type { OutsideItem, Plan, PlanItem, PlanPart, PlanStrip } from "../../service/plan/types.js";
import { formatCount } from "../../text/format-count.js";
import { formatDuration } from "../sheet/phrases.js";

/** What stands under an item, label and text, the same in every form. */
export function formatItemLines(
  item: PlanItem,
): readonly (readonly [label: string, text: string])[] {
  return [
    ...item.says.map((text, k) => [k === 0 ? "because" : "", text] as const),
    ...(item.where === undefined ? [] : [["where", item.where] as const]),
    ["look at", item.look],
    ["replace", item.replace],
    ["settles it", item.settle],
    ["risk", item.risk],
  ];
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

export function formatStripTail({ testMinutes, ageing }: PlanStrip): readonly string[] {
  return [
    ...(ageing === undefined
      ? []
      : [
          `electrolytics of ${ageing.since}: due about ${ageing.due} by rule of thumb (common practice)`,
        ]),
    `test it before it goes back: ${testMinutes} min`,
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

/** Said at each step, as hands are busy and nobody scrolls back. */
export const reminders = {
  open: [
    "photograph the inside and label every connector before it is pulled",
    "a tray with a lid for screws and nuts; count what comes off",
    "power and earth leads: note where each was, they go back exactly so",
  ],
  off: {
    cover: ["screws into the tray, by cover; mind the leads that hang on it"],
    cable: ["label both ends; pull at the connector, never at the cable"],
    card: ["label its connectors; hold it by the edges; catch nuts and washers"],
  },
  strip: ["photograph, label connectors, catch nuts and washers; do not overtighten later"],
  close: [
    "count the screws; look for what is left inside",
    "power and earth leads as in the photograph, earth first",
    "measure again before the desk is closed: `deskround plan --retest`",
    "then close it, everything back in the reverse order",
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

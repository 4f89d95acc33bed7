import { wornControl } from "../../diagnose/causes/worn-control.js";
import { findCheck } from "../../diagnose/checks/check-kinds.js";
import { getDangerKind } from "../../diagnose/dangers.js";
import { formatSentence, formatStep } from "../../service/plan/format-step.js";
import type {
  ItemFact,
  ItemName,
  Metered,
  NotedWords,
  OutsideName,
  OutsideTodo,
  WhyLeft,
} from "../../service/plan/plan-data.js";
import type * as made from "../../service/plan/types.js";
import { formatCommand } from "../../text/program-name.js";
import { formatFinding } from "../findings/format-finding.js";
import { formatMeasurePart } from "../meter/format-measure-part.js";
import { formatMeterPoint, formatMeterRemark, formatMeterSaying } from "../meter/format-meter.js";
import { formatReason } from "../not-measured/format-reason.js";
import { putIntoWords, type Wording } from "../wording.js";
import type { WordedOutsideItem, WordedPlan, WordedPlanItem } from "./worded.js";

const names: Wording<ItemName> = {
  cause: ({ name }) => name,
  "not-clear": () => "fault not clear from the readings",
  danger: ({ dangers }) => `danger: ${dangers.map((id) => getDangerKind(id).name).join("; ")}`,
  "off-value": ({ parts }) => `${parts.join(", ")} out of tolerance`,
  "noted-control": ({ control }) => `${wornControl.name}: ${control}`,
  "heard-control": ({ control, hand }) =>
    `dirty or worn ${hand === "press" ? "switch" : "control"}: ${control}`,
  noted: (one) => {
    const tags = joinTags(one);
    return tags === "" ? `needs a look: ${one.text.slice(0, mostLetters)}` : `noted: ${tags}`;
  },
};

/** A note that cannot be interpreted is named by this many of its first characters. */
const mostLetters = 60;

const facts: Wording<ItemFact> = {
  found: ({ path, findings }) => `${path}: ${findings.map((one) => formatFinding(one)).join("; ")}`,
  idle: ({ note, check, figures }) =>
    `${note} ${findCheck(check)?.words.idle ?? check}: ${figures.join("; ")}`,
  heard: ({ path, pass, report }) => {
    const { control, verdicts, dropouts, jumps, scratches } = report;
    const counts = [
      ...(dropouts > 0 ? [`${dropouts} × dropout`] : []),
      ...(jumps > 0 ? [`${jumps} × jump`] : []),
      ...(scratches.tone > 0 ? [`${scratches.tone} × scratch`] : []),
      ...(scratches.silence > 0 ? [`${scratches.silence} × scratch in silence`] : []),
    ];
    const heard = counts.length === 0 ? "" : `, ${counts.join(", ")}`;
    return `${path} ${control}: ${verdicts.join(", ")}${heard} (controls pass ${pass})`;
  },
  "heard-points": ({ points }) => `points to: ${points}`,
  metered: formatMetered,
  "points-to": ({ point }) => `points to ${formatMeterPoint(point)}`,
  noted: ({ note, date, ...words }) => `${note} ${date}: ${formatNoted(words)}`,
};

const outsideNames: Wording<OutsideName> = {
  ...names,
  "is-it": ({ causes: [first, second] }) =>
    second === undefined ? `is it ${first}?` : `${first}, or ${second}?`,
  "not-measured": (stored) => `not measured: ${formatReason(stored) ?? "unknown"}`,
  metered: formatMetered,
  "rail-too-high": () => "supply rail too high",
  "of-note": ({ note, date, ...words }) => `${note} ${date}: ${formatNoted(words)}`,
  "of-no-strip": ({ name, says }) =>
    `${formatItemName(name)}: ${says.map(formatItemFact).join("; ")}`,
};

const todos: Wording<OutsideTodo> = {
  confirm: ({ by }) => formatSentence(by),
  try: ({ steps }) => steps.map(formatStep).join(" "),
  "record-again": () => "record this path again before the desk is opened",
  "judge-first": ({ remarks }) =>
    ["until then nobody can tell whether it is in order", ...remarks.map(formatMeterRemark)].join(
      "; ",
    ),
  "find-feed": () => "find out what feeds it",
  "points-to": ({ points }) => `points to ${points.map(formatMeterPoint).join("; or ")}`,
  supply: ({ points, ...metered }) =>
    `${formatMetered(metered)}. It points to ${points.map(formatMeterPoint).join("; or to ")}.`,
  "repair-supply": ({ steps, repair, ...metered }) =>
    `${formatMetered(metered)}. ${[...steps.map(formatStep), repair].join(" ")}`,
  "first-aid": ({ text }) => text,
  "name-it": ({ note }) =>
    `find out what it does and name the symptom, so that the work can be planned: ${formatCommand(`note correct ${note} --symptom hum`)}`,
  "measure-part": ({ note, place, part }) =>
    `when the desk is next open, off, unplugged and discharged: ${formatMeasurePart(place, part)}; then close the note: \`${formatCommand(`note close ${note}`)}\``,
  "correct-place": ({ strip, note }) =>
    `this desk has no strip ${strip}: correct the place with \`${formatCommand(`note correct ${note} --place …`)}\``,
  "power-off": ({ notes }) => `not while the power must stay off for ${notes.join(", ")}`,
};

/** The name of a piece of work. */
export function formatItemName(name: ItemName): string {
  return putIntoWords(names, name);
}

function formatItemFact(fact: ItemFact): string {
  return putIntoWords(facts, fact);
}

function formatMetered({ note, what, part, said }: Metered): string {
  const which = part === undefined ? "" : ` ${part}`;
  return `${note} ${what}${which}: ${said.map(formatMeterSaying).join("; ")}`;
}

function formatNoted(words: NotedWords): string {
  return words.text === "" ? joinTags(words) : words.text;
}

/** "gain, scratch". */
function joinTags({ control, symptom }: NotedWords): string {
  return [control, symptom].filter((word) => word !== undefined).join(", ");
}

function formatWhyLeft({ takes, left, mayWait }: WhyLeft): string {
  const wait = mayWait ? "; it can wait, as it only needs watching" : "";
  return `takes ${takes} min more, ${left} min are left${wait}`;
}

/** A plan in words, which all its formats print. */
export function wordPlan(plan: made.Plan): WordedPlan {
  const { outside, places, steps, left } = plan;
  return {
    // Keeps the order of keys; places are added below, in words.
    ...(plan as Omit<made.Plan, "places">),
    outside: outside.map(wordOutside),
    ...(places === undefined
      ? {}
      : { places: places.map((place) => ({ ...place, items: place.items.map(wordItem) })) }),
    steps: steps.map((step) =>
      step.kind === "off" ? step : { ...step, items: step.items.map(wordItem) },
    ),
    left: left.map(({ item, why }) => ({ item: wordItem(item), why: formatWhyLeft(why) })),
  };
}

function wordOutside(one: made.OutsideItem): WordedOutsideItem {
  return {
    ...one,
    name: putIntoWords(outsideNames, one.name),
    todo: putIntoWords(todos, one.todo),
  };
}

/** An item in words; `risk` has the risks in one line, for scripts. */
function wordItem(item: made.PlanItem): WordedPlanItem & { readonly risk: string } {
  return {
    ...item,
    name: formatItemName(item.name),
    says: item.says.map(formatItemFact),
    settle: item.settle ?? "not while the power must stay off",
    risk: item.risks.join("; "),
  };
}

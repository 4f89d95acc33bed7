import { createHash } from "node:crypto";
import type { Plan } from "../../service/plan/types.js";
import { escapeHtml } from "../html/markup.js";
import { sanitizeLine } from "../sanitize.js";
import { formatSharedFault, formatSharedLook } from "../shared/format-shared.js";
import {
  formatBasis,
  formatItemLines,
  formatItemTitle,
  formatStripTail,
  formatStripTitle,
  formatTime,
  listCloseReminders,
  listDangerLines,
  listLiveWork,
  outsidePhrases,
  reminders,
  sharedReminder,
} from "./phrases.js";
import { formatPlanVerdict } from "./text.js";

/** Black on white, no pictures: prints on A4 and Letter, a strip is not torn between two pages. */
const style = `
@page { margin: 14mm }
body { font: 11pt/1.35 sans-serif; color: #000; background: #fff; max-width: 180mm; margin: 1em auto; padding: 0 1em }
h1 { font-size: 15pt; margin: 0 0 .2em } h2 { font-size: 12.5pt; border-bottom: 1.5pt solid #000; margin: 1.2em 0 .4em; break-after: avoid }
h3 { font-size: 11.5pt; margin: .9em 0 .2em; break-after: avoid }
section.strip, tr, li { break-inside: avoid }
ul { margin: .2em 0; padding-left: 1.2em } ul.tick { list-style: none; padding-left: 0 }
ul.tick > li { padding-left: 1.7em; text-indent: -1.7em; margin: .25em 0 } ul.tick > li > * { text-indent: 0 }
.box { display: inline-block; width: .85em; height: .85em; border: 1.2pt solid #000; margin-right: .75em; vertical-align: -.08em }
dl { display: grid; grid-template-columns: 6em 1fr; margin: .1em 0 .5em; font-size: 10pt } dt { font-style: italic } dd { margin: 0 }
.caution { border: 2pt solid #000; padding: .3em .8em; break-inside: avoid } table { border-collapse: collapse; width: 100% }
td, th { border: .7pt solid #000; padding: .15em .4em; text-align: left; vertical-align: top } .line { border-bottom: .7pt solid #000; height: 1.5em }
@media print { body { margin: 0; padding: 0; max-width: none } }
`;

/** The worklist as a page for the bench: one file, no script, nothing fetched. */
export function renderPlanHtml(plan: Plan): string {
  const hash = createHash("sha256").update(style).digest("base64");
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  const body = [
    `<h1>Worklist, ${esc(plan.desk)}, ${esc(plan.date)}</h1>`,
    ...listDangerLines(plan).flatMap(({ head, advice }) => [
      `<div class="caution"><p><strong>${esc(head)}</strong></p>`,
      ...list(advice),
      "</div>",
    ]),
    `<p>From ${esc(formatBasis(plan))}.${plan.steps.length > 0 ? ` Time: ${esc(formatTime(plan.minutes, plan.hours))}.` : ""}</p>`,
    `<p><strong>${esc(formatPlanVerdict(plan))}</strong></p>`,
    ...sharedLines(plan),
    ...outsideLines(plan),
    ...plan.remarks.map((remark) => `<p>${esc(remark)}</p>`),
    ...(plan.steps.length > 0 ? openingLines(plan) : []),
    ...leftLines(plan),
  ];
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width">
<title>Worklist, ${esc(plan.desk)}, ${esc(plan.date)}</title>
<style>${style}</style>
</head>
<body>
${body.join("\n")}
</body>
</html>
`;
}

const box = '<span class="box"></span>';

function sharedLines({ shared = [] }: Plan): readonly string[] {
  if (shared.length === 0) return [];
  const items = shared.map(
    (job) =>
      `<li>${box}<strong>${esc(formatSharedFault(job))}</strong>: ${esc(formatSharedLook(job))}</li>`,
  );
  return [
    "<h2>First, what several paths share</h2>",
    '<ul class="tick">',
    ...items,
    "</ul>",
    `<p>${esc(sharedReminder)}</p>`,
  ];
}

function outsideLines({ outside }: Plan): readonly string[] {
  if (outside.length === 0) return [];
  const items = outside.map(
    ({ place, name, todo, kind }) =>
      `<li>${box}<strong>${esc(place)}</strong> ${esc(outsidePhrases[kind])}: ${esc(name)}: ${esc(todo)}</li>`,
  );
  return ["<h2>Without opening the desk</h2>", '<ul class="tick">', ...items, "</ul>"];
}

function openingLines(plan: Plan): readonly string[] {
  return [
    '<h2>Before a screw is turned</h2>\n<div class="caution">',
    ...list(plan.cautions),
    "</div>",
    ...partLines(plan),
    `<h2>Open the desk (${plan.openMinutes} min with closing)</h2>`,
    ...list(reminders.open),
    ...liveLines(plan),
    ...plan.steps.flatMap((step) => {
      if (step.kind === "off") {
        const { name, minutes, kind } = step.part;
        return [
          `<h3>Off: ${esc(name)} (${minutes} min off and on)</h3>`,
          ...list(reminders.off[kind]),
        ];
      }
      return [
        '<section class="strip">',
        `<h3>${esc(formatStripTitle(step))}</h3>`,
        ...list(reminders.strip),
        '<ul class="tick">',
        ...step.items.map(
          (item) =>
            `<li>${box}<strong>${esc(formatItemTitle(item))}</strong><dl>${formatItemLines(item)
              .map(([label, text]) => `<dt>${esc(label)}</dt><dd>${esc(text)}</dd>`)
              .join("")}</dl><div class="line"></div></li>`,
        ),
        ...formatStripTail(step).map((text) => `<li>${box}${esc(text)}</li>`),
        "</ul>",
        "</section>",
      ];
    }),
    "<h2>Before it is closed</h2>",
    '<ul class="tick">',
    ...listCloseReminders(plan).map((text) => `<li>${box}${esc(text.replaceAll("`", ""))}</li>`),
    "</ul>",
  ];
}

function liveLines(plan: Plan): readonly string[] {
  const live = listLiveWork(plan);
  if (live.length === 0) return [];
  return [
    '<h2>Open and under power, every strip still in its place</h2>\n<div class="caution">',
    ...list(reminders.live),
    "</div>",
    '<ul class="tick">',
    ...live.map(
      ({ strip, title, text }) =>
        `<li>${box}<strong>strip ${esc(strip)}, ${esc(title)}</strong> ${esc(text)}</li>`,
    ),
    ...reminders.dead.map((text) => `<li>${box}${esc(text)}</li>`),
    "</ul>",
  ];
}

function partLines({ parts }: Plan): readonly string[] {
  if (parts.length === 0) return [];
  const rows = parts.map(
    ({ what, value, count, spare, strips }) =>
      `<tr><td>${box}</td><td>${count}${spare > 0 ? ` + ${spare}` : ""}</td><td>${esc(what)}</td><td>${esc(value)}</td><td>${esc(strips.join(", "))}</td></tr>`,
  );
  return [
    "<h2>On the bench</h2>",
    "<table><thead><tr><th></th><th>count</th><th>part</th><th>value</th><th>strips</th></tr></thead><tbody>",
    ...rows,
    "</tbody></table>",
  ];
}

function leftLines({ left }: Plan): readonly string[] {
  if (left.length === 0) return [];
  return [
    "<h2>Left for another time</h2>",
    ...list(left.map(({ item, why }) => `strip ${item.strip}, ${formatItemTitle(item)}: ${why}`)),
  ];
}

function list(texts: readonly string[]): readonly string[] {
  return ["<ul>", ...texts.map((text) => `<li>${esc(text)}</li>`), "</ul>"];
}

function esc(text: string): string {
  return escapeHtml(sanitizeLine(text));
}

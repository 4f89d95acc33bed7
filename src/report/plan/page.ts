import { createHash } from "node:crypto";
import { escapeHtml, renderCode } from "../html/markup.js";
import { sanitizeLine } from "../sanitize.js";
import type { PlanLine, PlanSection } from "./outline.js";

/** Black on white, no pictures: prints on A4 and Letter, and keeps each strip on one page. */
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
td, th { border: .7pt solid #000; padding: .15em .4em; text-align: left; vertical-align: top } .power { font-weight: bold; border: 1.2pt solid #000; padding: .15em .6em; break-after: avoid }
code { display: inline-block; max-width: 100% }
.line { border-bottom: .7pt solid #000; height: 1.5em }
@media print { body { margin: 0; padding: 0; max-width: none } }
`;

/** What is printed on a page for the bench. */
export interface BenchPage {
  /** Heading of the page, and its name in a browser. */
  readonly title: string;
  /** HTML between the heading and the first section. */
  readonly head: readonly string[];
  readonly sections: readonly PlanSection[];
  /** HTML after the last section. */
  readonly tail: readonly string[];
}

/** A plan as a page for the bench: one file, no script, nothing fetched. */
export function renderBenchPage({ title, head, sections, tail }: BenchPage): string {
  const hash = createHash("sha256").update(style).digest("base64");
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  const body = [
    `<h1>${renderInlineText(title)}</h1>`,
    ...head,
    ...sections.flatMap((section) => [
      `<h2>${renderInlineText(section.title)}</h2>`,
      ...(section.power === undefined
        ? []
        : [`<p class="power">Power: ${renderInlineText(section.power)}</p>`]),
      ...renderLines(section.lines),
    ]),
    ...tail,
  ];
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width">
<title>${escapeHtml(sanitizeLine(title))}</title>
<style>${style}</style>
</head>
<body>
${body.join("\n")}
</body>
</html>
`;
}

const box = '<span class="box"></span>';

/** Puts successive lines of one kind into one list. */
function renderLines(lines: readonly PlanLine[]): readonly string[] {
  const runs: PlanLine[][] = [];
  for (const line of lines) {
    const run = runs.at(-1);
    if (run?.[0].kind === line.kind) run.push(line);
    else runs.push([line]);
  }
  return runs.flatMap((run) => {
    const [{ kind }] = run;
    const inner = run.map(renderLine);
    if (kind === "tick") return ['<ul class="tick">', ...inner, "</ul>"];
    if (kind === "point") return ["<ul>", ...inner, "</ul>"];
    if (kind === "caution") return ['<div class="caution"><ul>', ...inner, "</ul></div>"];
    return inner;
  });
}

function renderLine(line: PlanLine): string {
  if (line.kind === "text") return `<p>${renderInlineText(line.text)}</p>`;
  if (line.kind === "point" || line.kind === "caution")
    return `<li>${renderInlineText(line.text)}</li>`;
  if (line.kind === "group") {
    const inner = renderLines(line.lines).join("\n");
    return `<section class="strip">\n<h3>${renderInlineText(line.title)}</h3>\n${inner}\n</section>`;
  }
  const text = renderInlineText(line.text);
  const details = (line.details ?? []).map(
    ([label, words]) => `<dt>${renderInlineText(label)}</dt><dd>${renderInlineText(words)}</dd>`,
  );
  return [
    `<li>${box}${line.head ? `<strong>${text}</strong>` : text}`,
    ...(details.length === 0 ? [] : [`<dl>${details.join("")}</dl>`]),
    ...(line.room ? ['<div class="line"></div>'] : []),
    "</li>",
  ].join("");
}

/** A list of texts as HTML, one line each. */
export function renderList(texts: readonly string[]): readonly string[] {
  return ["<ul>", ...texts.map((text) => `<li>${renderInlineText(text)}</li>`), "</ul>"];
}

/** A text on one line, with its commands set as code. */
export function renderInlineText(text: string): string {
  return renderCode(sanitizeLine(text)).text;
}

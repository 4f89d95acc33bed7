import { formatSigned } from "../../../text/format-signed.js";
import { formatFinding } from "../../findings/format-finding.js";
import { formatCauseText } from "../cause-words.js";
import { html, type Markup } from "../markup.js";
import { type Figure, renderPlotElement } from "../plots/figure.js";
import { listFigureKinds } from "../plots/kinds.js";
import { isOdd, renderStandingMark } from "../standing-signs.js";
import { buildDrawing, type PathView, type View } from "../view.js";
import { renderCausesPart, renderNextCheck } from "./causes.js";
import { renderChangesPart } from "./changes.js";
import { renderMeasuredPart } from "./measured.js";
import { renderAbsentPart, renderReadingsPart } from "./readings.js";

/** All that is known of one path. */
export function renderPathPart(view: View, one: PathView): Markup {
  const { path, number, stripNumber, standing } = one;
  const open = isOdd(standing);
  const [cause] = path.causes;
  const ranked = view.paths.filter(({ path: { rank } }) => rank !== undefined).length;
  const place =
    path.rank === undefined ? "" : `oddness ${path.oddness.toFixed(0)}, ${path.rank} of ${ranked}`;
  return html`<details class="path ${standing}" data-s="${stripNumber}"${open ? html` open data-odd` : ""}><summary><h3>${path.path}</h3> ${renderStandingMark(standing)} <span class="place">${place}</span> <span class="likely">${open && cause ? formatCauseText(cause) : ""}</span></summary>
<div class="body" id="p${number}">${path.status === "measured" ? "" : html`<p>Not measured: ${path.reason ?? path.status}.</p>`}
<div class="said"><div>${findingsPart(one)}${renderChangesPart(view, one)}</div><div>${renderCausesPart(path.causes)}${renderNextCheck(path.next)}</div></div>${path.status === "measured" ? figuresPart(view, one) : ""}<div class="figured">${renderReadingsPart(view, one)}<div>${renderAbsentPart(one)}${renderMeasuredPart(view, one)}</div></div></div></details>`;
}

function findingsPart({ path }: PathView): Markup | undefined {
  if (path.findings.length === 0) {
    return path.status === "measured" ? html`<p>Nothing stands out.</p>` : undefined;
  }
  return html`<h4>What stands out</h4><ul class="findings">${path.findings.map(
    (finding) =>
      html`<li><span class="severity">${finding.severity}</span> ${formatFinding(finding)} <span class="soft">score ${formatSigned(finding.score.toFixed(1))}</span></li>`,
  )}</ul>`;
}

function figuresPart(view: View, one: PathView): Markup {
  const drawing = buildDrawing(view, one);
  const figures = listFigureKinds(drawing).map((kind) => ({ ...kind, figure: kind.draw(drawing) }));
  const absent = figures.flatMap(({ title, figure }) =>
    "absent" in figure ? [html`<li>${title}: ${figure.absent}.</li>`] : [],
  );
  return html`<div class="figures">${figures.map(({ title, figure }) => figureElement(title, figure))}</div>${
    absent.length === 0 ? "" : html`<ul class="absent">${absent}</ul>`
  }`;
}

function figureElement(title: string, figure: Figure): Markup | undefined {
  if ("absent" in figure) return undefined;
  return html`<figure>${renderPlotElement(figure.plot)}<figcaption><b>${title}.</b> ${figure.caption}</figcaption></figure>`;
}

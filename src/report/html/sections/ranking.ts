import type { RoundFinding } from "../../../history/types.js";
import { getReadingName, readingKinds } from "../../../measure/reading-kinds.js";
import { formatCount } from "../../../text/format-count.js";
import { formatHertz } from "../../../text/format-hertz.js";
import { formatFinding } from "../../findings/format-finding.js";
import { formatSharedFault } from "../../shared/format-shared.js";
import { formatCauseText } from "../cause-words.js";
import { html, type Markup } from "../markup.js";
import { buildDotPlotData, renderFindingDotPlot } from "../siblings.js";
import { renderStandingMark, standingOrder, standingSigns } from "../standing-signs.js";
import type { PathView, View } from "../view.js";

const mostFindings = 3;
/** Fewer paths like their siblings than this are not worth folding away. */
const fewestFolded = 5;

/** All paths, the oddest first; the script makes the table sortable and adds filters. */
export function renderRankingSection(view: View): Markup {
  const rows = [...view.paths].sort(byRank);
  const { shared = [] } = view.round;
  const alike = rows.filter(({ standing }) => standing === "alike").length;
  const isFolded = alike > fewestFolded && alike < rows.length;
  return html`<section id="ranking"><h2>Ranking</h2>
${shared.length === 0 ? "" : html`<p>Common to several paths, and subtracted before ranking: ${shared.map(formatSharedFault).join("; ")}.</p>`}
<form class="filters" hidden aria-label="Filter the ranking">
${
  view.families.length > 1
    ? choice(
        "family",
        view.families.map(({ name }) => name),
      )
    : ""
}
${choice("input", view.inputs)}
${choice(
  "standing",
  standingOrder
    .filter((one) => rows.some(({ standing }) => standing === one))
    .map((one) => standingSigns[one].word),
)}
${choice("reading", madeReadings(view), "what stands out most", "among siblings")}
${choice(
  "strip",
  view.strips.map(({ name, number }) => [String(number), name] as const),
  "none",
  "highlight",
)}
<output>${formatCount(rows.length, "path")}</output>
</form>
${isFolded ? html`<p class="fold"><label><input type="checkbox" id="all-paths"> show the ${formatCount(alike, "path")} like ${alike === 1 ? "its" : "their"} siblings too</label></p>` : ""}
<div class="wide" role="region" aria-label="Ranking, scrolls sideways" tabindex="0"><table class="ranking"><caption>${isFolded ? html`Paths that stand out, the oddest first; ${formatCount(alike, "path")} like their siblings ${alike === 1 ? "is" : "are"} hidden.` : "All paths, the oddest first."} The dot plot shows the reading that stands out most: its siblings as dots, their median and normal range; the diamond is the path.</caption>
<thead><tr><th scope="col" data-sort="number" aria-sort="ascending">rank</th><th scope="col" data-sort="order">path</th><th scope="col" data-sort="order">standing</th><th scope="col" data-sort="number" class="n">oddness</th><th scope="col">what stands out</th><th scope="col" data-sort="text">likely cause</th><th scope="col">among its siblings</th></tr></thead>
<tbody${isFolded ? html` class="folded"` : ""}>${rows.map((one) => row(view, one))}</tbody></table></div>
</section>`;
}

/** Readings that any path has and siblings can be compared by. */
function madeReadings({ families }: View): readonly (readonly [string, string])[] {
  return readingKinds.flatMap(({ id, name, values }) =>
    !values && families.some((family) => buildDotPlotData(family, id)) ? [[id, name] as const] : [],
  );
}

function choice(
  name: string,
  options: readonly (string | readonly [value: string, shown: string])[],
  none = "all",
  label = name,
): Markup {
  return html`<label>${label} <select name="${name}"><option value="">${none}</option>${options.map(
    (option) => {
      const [value, shown] = typeof option === "string" ? [option, option] : option;
      return html`<option value="${value}">${shown}</option>`;
    },
  )}</select></label>`;
}

/** Ranked paths by rank, then the others in the order of the desk. */
function byRank(a: PathView, b: PathView): number {
  const place = ({ path }: PathView) => path.rank ?? Number.POSITIVE_INFINITY;
  const order = place(a) - place(b);
  return Number.isNaN(order) || order === 0 ? a.number - b.number : order;
}

function row(view: View, one: PathView): Markup {
  const { path, number, stripNumber, standing, family } = one;
  const [cause] = path.causes;
  const serious = path.findings.filter(({ severity }) => severity !== "remark");
  const told = serious.slice(0, mostFindings);
  const [top] = serious;
  const plot = top === undefined ? undefined : renderFindingDotPlot(view, one, top);
  return html`<tr${standing === "alike" ? html` class="alike"` : ""} data-s="${stripNumber}" data-path="p${number}" data-family="${family.name}" data-input="${path.input}" data-standing="${standingSigns[standing].word}"><td class="n" data-v="${path.rank ?? 1e9}">${path.rank ?? "–"}</td><th scope="row" data-v="${number}"><a href="#p${number}">${path.path}</a></th><td data-v="${standingOrder.indexOf(standing)}">${renderStandingMark(standing)}</td><td class="n" data-v="${path.oddness}">${path.status === "measured" || path.rank !== undefined ? path.oddness.toFixed(0) : "–"}</td><td>${
    told.length === 0
      ? reasonOf(one)
      : html`<ul>${told.map((one) => html`<li>${formatFinding(one, "by-the-head")}</li>`)}</ul>${serious.length > told.length ? html`<span class="soft">and ${serious.length - told.length} more</span>` : ""}`
  }</td><td>${cause === undefined ? (serious.length > 0 ? "not clear" : "") : formatCauseText(cause)}</td><td class="among">${
    plot === undefined || top === undefined
      ? ""
      : html`${plot}<span class="soft">${placeWords(top)}</span>`
  }</td></tr>`;
}

/** What the dot plot shows. */
function placeWords({ reading, atHz }: RoundFinding): string {
  return `${getReadingName(reading)}${atHz === undefined ? "" : ` at ${formatHertz(atHz)}`}`;
}

function reasonOf({ path }: PathView): string {
  return path.status === "measured" ? "" : (path.reason ?? path.status);
}

import { formatCount } from "../../../text/format-count.js";
import { formatVerdict } from "../../verdict.js";
import { html, type Markup } from "../markup.js";
import { standingOrder, standingSigns } from "../standing-signs.js";
import { formatDay } from "../values.js";
import type { View } from "../view.js";

/** The desk, the day, the verdict in a sentence, the counts. */
export function renderHeadSection({ round, baseline, paths }: View): Markup {
  const counts = standingOrder.flatMap((standing) => {
    const count = paths.filter((one) => one.standing === standing).length;
    return count === 0 ? [] : [{ standing, count }];
  });
  return html`<header class="mast">
<p class="kicker">${title(round.id)}<span>${formatDay(round.date)}</span></p>
<h1>${round.desk.name}</h1>
<p class="verdict">${formatVerdict(round)}</p>
<dl class="counts">${counts.map(
    ({ standing, count }) =>
      html`<div class="${standing}"><dt><span class="mark" aria-hidden="true">${standingSigns[standing].shape}</span> ${standingSigns[standing].plural}</dt><dd>${count}</dd></div>`,
  )}</dl>
${partialWords(round.partial?.wanted)}${
  baseline === undefined
    ? ""
    : html`<p>Compared with round ${baseline.round.id} of ${formatDay(baseline.round.date)}, whose curves are dashed.</p>`
}
</header>`;
}

function title(id: string): string {
  return id === "preview" ? "Preview of a round, not stored" : `Round ${id}`;
}

const mostWanted = 12;

function partialWords(wanted: readonly string[] | undefined): Markup | undefined {
  if (wanted === undefined) return undefined;
  const more = wanted.length > mostWanted ? ` and ${wanted.length - mostWanted} more` : "";
  return html`<p>A partial round: ${formatCount(wanted.length, "path")} asked for, ${wanted.slice(0, mostWanted).join(", ")}${more}.</p>`;
}

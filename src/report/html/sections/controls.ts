import type { RoundPath } from "../../../history/types.js";
import { formatCount } from "../../../text/format-count.js";
import { formatControlDoings, isUnsound, listUnseen } from "../../controls.js";
import { html, type Markup } from "../markup.js";
import { formatDay } from "../values.js";
import type { View } from "../view.js";

/** The controls of a path, from its latest controls pass. */
export interface PageControls {
  /** ISO 8601. */
  readonly date: string;
  readonly path: RoundPath;
  /** Day on which the strip was last worked on since; absent if it was not. */
  readonly repaired?: string;
}

const mostUnseen = 12;

/** What the controls did when they were moved; undefined if there was no pass. */
export function renderControlsSection(
  { paths }: View,
  heard: readonly PageControls[],
): Markup | undefined {
  if (heard.length === 0) return undefined;
  const numbers = new Map(paths.map(({ path, number }) => [path.path, number]));
  const all = heard.flatMap(({ path: { controls = [] } }) => controls);
  const bad = heard.flatMap((one) =>
    (one.path.controls ?? []).filter(isUnsound).map((report) => ({ ...one, report })),
  );
  const unseen = listUnseen(heard.map(({ path }) => path));
  const rows = bad.map(({ date, path: { path }, repaired, report }) => {
    const number = numbers.get(path);
    const name = number === undefined ? path : html`<a href="#p${number}">${path}</a>`;
    const since =
      repaired === undefined
        ? ""
        : html` <span class="soft">worked on since, ${formatDay(repaired)}</span>`;
    return html`<tr><th scope="row">${name}</th><td data-l="control">${report.control}</td><td data-l="does">${formatControlDoings(report)}${since}</td><td data-l="points to">${report.points ?? ""}</td><td data-l="pass of">${formatDay(date)}</td></tr>`;
  });
  const days = [...new Set(heard.map(({ date }) => formatDay(date)))];
  return html`<section id="controls"><h2>Controls</h2>
<p>${formatCount(all.length, "control")} of ${formatCount(heard.length, "path")} moved in the controls pass${days.length > 1 ? "es" : ""} of ${days.join(", ")}: ${bad.length === 0 ? "nothing unwanted found" : `${bad.length} ${bad.length === 1 ? "needs" : "need"} attention`}.</p>
${rows.length === 0 ? "" : html`<div class="wide" role="region" aria-label="Controls, scrolls sideways" tabindex="0"><table class="controls stack"><thead><tr><th scope="col">path</th><th scope="col">control</th><th scope="col">what it does</th><th scope="col">what it points to</th><th scope="col">pass of</th></tr></thead><tbody>${rows}</tbody></table></div>`}
${unseen.length === 0 ? "" : html`<p class="soft">The level does not show whether these were moved: ${unseen.slice(0, mostUnseen).join(", ")}${unseen.length > mostUnseen ? ` and ${unseen.length - mostUnseen} more` : ""}.</p>`}
</section>`;
}

import { createHash } from "node:crypto";
import type { Round } from "../../history/types.js";
import type { PathYears } from "../../history/years.js";
import { html, type Markup, rawMarkup, renderCode } from "./markup.js";
import { pageMark } from "./own-marks.js";
import { renderChangesSection } from "./sections/changes.js";
import { type PageControls, renderControlsSection } from "./sections/controls.js";
import { renderFamiliesSection } from "./sections/families.js";
import { renderHeadSection } from "./sections/head.js";
import { renderMapSection } from "./sections/map.js";
import { renderMeasurementSection } from "./sections/measurement.js";
import { renderRankingSection } from "./sections/ranking.js";
import { renderStripsSection } from "./sections/strips.js";
import { renderToDoSection } from "./sections/to-do.js";
import { pageStyle } from "./styles/page.js";
import { type Baseline, buildView } from "./view.js";

/** What a page is made of. */
export interface PageParts {
  readonly round: Round;
  /** An earlier round of the same desk, whose curves are drawn underneath. */
  readonly baseline?: Baseline;
  /** Open notes, and oddities that are known and left alone, one line each. */
  readonly notes?: readonly string[];
  /** What the controls did in the latest controls pass of each path. */
  readonly controls?: readonly PageControls[];
  /** Noise and lower corner of paths in round after round, by their names. */
  readonly years?: ReadonlyMap<string, PathYears>;
  /** What can hurt people or the desk, one line each. */
  readonly cautions: readonly string[];
  /** The page's script; the page works without it. */
  readonly script?: string;
}

/**
 * A round as one self-contained page: it needs no network, fonts or script. Its policy forbids
 * anything from outside, and any style or script except its own.
 *
 * @returns the HTML document
 */
export function renderPage({
  round,
  baseline,
  notes = [],
  controls = [],
  years,
  cautions,
  script = "",
}: PageParts): string {
  const view = buildView(round, baseline, years);
  const changes = renderChangesSection(view);
  const moved = renderControlsSection(view, controls);
  const body = html`${renderHeadSection(view)}
${contents({ changes: changes !== undefined, notes: notes.length > 0, controls: moved !== undefined })}
<main>${renderToDoSection(view)}
${notes.length === 0 ? "" : html`<section id="notes"><h2>Notes</h2><ul class="remarks">${notes.map((line) => html`<li>${renderCode(line)}</li>`)}</ul></section>`}
${renderMapSection(view)}
${renderRankingSection(view)}
${changes}
${moved}
${renderFamiliesSection(view)}
${renderStripsSection(view)}
${renderMeasurementSection(view, cautions)}</main>`;
  const policy = [
    "default-src 'none'",
    `style-src '${hash(pageStyle)}'`,
    ...(script === "" ? [] : [`script-src '${hash(script)}'`]),
    "img-src data:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
${rawMarkup(pageMark)}
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${round.desk.name}, round ${round.id}</title>
<style>${rawMarkup(pageStyle)}</style>
</head>
<body>
<a class="skip" href="#first">Skip to what to do first</a>
<svg class="pieces" width="0" height="0" aria-hidden="true" focusable="false">${view.pieces.definitions()}</svg>
${body}
${script === "" ? "" : html`<script type="module">${rawMarkup(script)}</script>`}
</body>
</html>
`;
  return page.text;
}

/** Links to the sections of the page. */
function contents(has: {
  readonly changes: boolean;
  readonly notes: boolean;
  readonly controls: boolean;
}): Markup {
  return html`<nav aria-label="Contents"><ul><li><a href="#first">What to do first</a></li>${has.notes ? html`<li><a href="#notes">Notes</a></li>` : ""}<li><a href="#map">The desk</a></li><li><a href="#ranking">Ranking</a></li>${has.changes ? html`<li><a href="#changes">What changed</a></li>` : ""}${has.controls ? html`<li><a href="#controls">Controls</a></li>` : ""}<li><a href="#families">The families</a></li><li><a href="#strips">Strip by strip</a></li><li><a href="#measurement">The measurement</a></li></ul></nav>`;
}

/** As content-security policies require it (W3C, CSP Level 3, hash-source). */
function hash(text: string): string {
  return `sha256-${createHash("sha256").update(text).digest("base64")}`;
}

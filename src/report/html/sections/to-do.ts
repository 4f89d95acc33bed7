import type { Round } from "../../../history/types.js";
import { groupBy } from "../../../text/group-by.js";
import { formatNextCheck } from "../../next-check.js";
import { formatSharedFault, formatSharedLook } from "../../shared/format-shared.js";
import { formatCauseText, formatPercent } from "../cause-words.js";
import { html, type Markup, renderCode } from "../markup.js";
import { renderStandingMark } from "../standing-signs.js";
import type { PathView, StripView, View } from "../view.js";

const mostStrips = 10;

/** What to do first: warnings, settings, recordings, then the strips to pull. */
export function renderToDoSection(view: View): Markup {
  const { round, paths } = view;
  const setting = paths.filter(({ standing }) => standing === "setting");
  const again = paths.filter(({ path }) => path.status !== "measured" && !isDead(path));
  const strips = stripsToPull(view);
  const nothing =
    setting.length + again.length + strips.length + round.warnings.length === 0 && !round.shared;
  return html`<section id="first"><h2>What to do first</h2>
${doubts(round.warnings)}
${renderShared(round.shared)}
${round.remarks.length === 0 ? "" : html`<ul class="remarks">${round.remarks.map((line) => html`<li>${renderCode(line)}</li>`)}</ul>`}
${setting.length === 0 ? "" : html`<h3>Correct the setting, then record again</h3><ul>${setting.map(settingItem)}</ul>`}
${
  again.length === 0
    ? ""
    : html`<h3>Record again</h3><ul>${byReason(again).map(
        ([reason, names]) => html`<li>${links(names)}: ${reason}</li>`,
      )}</ul>`
}
${
  strips.length === 0
    ? ""
    : html`<h3>Strips to look into, the oddest first</h3><ol class="pull">${strips
        .slice(0, mostStrips)
        .map(
          stripItem,
        )}</ol>${strips.length > mostStrips ? html`<p>${strips.length - mostStrips} more are in the <a href="#ranking">ranking</a>.</p>` : ""}`
}
${strips.length === 0 ? "" : html`<p class="caution"><b>Before opening the desk,</b> switch it off, unplug it, and tie it so that it cannot tip or have a second person hold it. The supply stays dangerous after switch-off: check with a meter that no voltage is left before touching anything inside, and leave supply and mains work to licensed people, under local codes. All <a href="#cautions">cautions</a>.</p>`}
${nothing ? html`<p>Nothing: every measured path is like its siblings.</p>` : ""}
</section>`;
}

/** Shared faults come before any strip. */
function renderShared(shared: Round["shared"] = []): Markup | undefined {
  if (shared.length === 0) return undefined;
  return html`<h3>Shared faults: check these before any strip</h3><ol class="shared">${shared.map(
    (fault) =>
      html`<li>${renderStandingMark(fault.severity)} <b>${formatSharedFault(fault)}</b>${fault.probability === undefined ? "" : ` (${Math.round(100 * fault.probability)} %)`}; ${formatSharedLook(fault)}</li>`,
  )}</ol>`;
}

function doubts(warnings: readonly string[]): Markup | undefined {
  if (warnings.length === 0) return undefined;
  return html`<div class="doubts"><h3>Warnings. Resolve these before relying on the results below</h3><ul>${warnings.map(
    (line) => html`<li>${renderCode(line)}</li>`,
  )}</ul></div>`;
}

function isDead({ findings }: PathView["path"]): boolean {
  return findings.some(({ reading }) => reading === "return");
}

function settingItem({ path, number }: PathView): Markup {
  const [cause] = path.causes;
  return html`<li><a href="#p${number}">${path.path}</a>: ${cause ? formatCauseText(cause) : "set or patched differently"}.${cause === undefined ? "" : html` To confirm: ${cause.confirmBy}.`}</li>`;
}

function byReason(paths: readonly PathView[]): readonly [string, readonly PathView[]][] {
  const groups = new Map<string, PathView[]>();
  for (const one of paths) {
    const { status, reason } = one.path;
    const why = reason ?? (status === "missing" ? "no return was assigned to it" : "unusable");
    groups.set(why, [...(groups.get(why) ?? []), one]);
  }
  return [...groups];
}

function links(paths: readonly PathView[]): Markup {
  return html`${paths.map(
    ({ path, number }, k) => html`${k === 0 ? "" : ", "}<a href="#p${number}">${path.path}</a>`,
  )}`;
}

/** Strips with a path that needs service or watching, the one with the oddest path first. */
function stripsToPull({ strips }: View): readonly StripView[] {
  const worst = ({ paths }: StripView) => Math.max(...paths.map(({ path }) => path.oddness));
  return strips
    .map((strip) => ({ ...strip, paths: strip.paths.filter(isAiling).sort(byOddness) }))
    .filter(({ paths }) => paths.length > 0)
    .sort((a, b) => worst(b) - worst(a));
}

function isAiling({ standing }: PathView): boolean {
  return standing === "service" || standing === "watch";
}

function byOddness(a: PathView, b: PathView): number {
  return b.path.oddness - a.path.oddness;
}

function stripItem({ name, number, paths }: StripView): Markup {
  const alike = [...groupBy(paths, toDoOf).values()];
  return html`<li data-s="${number}"><b>Strip ${name}</b>${alike.map(pathLines)}</li>`;
}

/** What to do for a path: paths of a strip that need the same are listed together. */
function toDoOf({ path, standing }: PathView): string {
  const [cause] = path.causes;
  const { check, setting } = path.next ?? {};
  return JSON.stringify([standing, cause?.cause, cause?.confirmBy, check, setting]);
}

/** Paths that need the same, in the words for the oddest. */
function pathLines(paths: readonly PathView[]): Markup {
  const [{ path, standing }] = paths;
  const [cause] = path.causes;
  const what = cause === undefined ? "cause not clear from the readings" : causeOf(paths);
  return html`<p>${renderStandingMark(standing)} ${links(paths)}: ${what}.</p>${
    cause === undefined
      ? ""
      : html`<dl class="do">${row("first", path.next && formatNextCheck(path.next))}${row("confirm", cause.confirmBy)}${row("ready", cause.ready)}${row("care", cause.care)}</dl>`
  }`;
}

/** "dried coupling capacitor (81 to 96 %)". */
function causeOf(paths: readonly PathView[]): string {
  const [cause] = paths[0].path.causes;
  const shares = paths.flatMap(({ path }) => path.causes[0]?.probability ?? []);
  if (shares.length === 0) return cause.name;
  const [least, most] = [Math.min(...shares), Math.max(...shares)];
  if (formatPercent(least) === formatPercent(most)) return formatCauseText(cause);
  return `${cause.name} (${Math.round(100 * least)} to ${formatPercent(most)})`;
}

function row(name: string, text: string | undefined): Markup | undefined {
  return text === undefined ? undefined : html`<div><dt>${name}</dt><dd>${text}</dd></div>`;
}

import { readingKinds } from "../../../measure/reading-kinds.js";
import { formatCount } from "../../../text/format-count.js";
import { formatStoredAbsence } from "../../absences/format-absence.js";
import { formatNamedValue, formatReading, interfaceMark } from "../../format-reading.js";
import { html, type Markup } from "../markup.js";
import { renderSiblingDotPlot } from "../siblings.js";
import { formatDifference, formatFamilyValue } from "../values.js";
import type { PathView, View } from "../view.js";

const oddMark = html`<span class="odd-mark" title="stands out">►</span>`;

/** Every reading of a path beside its siblings'. */
export function renderReadingsPart(view: View, one: PathView): Markup | undefined {
  const { path, family } = one;
  const made = readingKinds.flatMap(({ id, name, values }) => {
    const reading = path.readings[id];
    if (reading === undefined) return [];
    const crowd = family.usual?.readings[id];
    const odd = path.findings.some(
      (f) =>
        f.reading === id &&
        (f.side === undefined || f.side !== path.partner?.side) &&
        f.severity !== "remark",
    );
    const head = html`<th scope="row">${odd ? oddMark : ""}${name}</th>`;
    if (values) {
      return [
        html`<tr>${head}<td>${formatNamedValue(values, reading.value)}</td><td>${crowd ? formatNamedValue(values, crowd.median) : ""}</td><td></td><td></td></tr>`,
      ];
    }
    return [
      html`<tr data-r="${id}">${head}<td>${formatReading(reading)}</td><td>${crowd ? formatFamilyValue(crowd, reading.unit) : ""}</td><td>${crowd ? formatDifference(reading, crowd) : ""}</td><td>${renderSiblingDotPlot(view, one, id)}</td></tr>`,
    ];
  });
  const limited = Object.values(path.readings).some(({ limitedBy }) => limitedBy === "interface");
  return html`<div>${
    made.length === 0
      ? ""
      : html`<h4>Readings</h4><div class="wide" role="region" aria-label="Readings of ${path.path}, scrolls sideways" tabindex="0"><table class="readings"><caption>Values with their uncertainty (95 %)${family.usual ? `; siblings: median of ${formatCount(family.usual.count, "path")}` : ""}.${limited ? ` ${interfaceMark} within 3 dB of the interface's own: says little about the path.` : ""}</caption><thead><tr><th scope="col">reading</th><th scope="col">value</th><th scope="col">siblings</th><th scope="col">difference</th><th scope="col">among siblings</th></tr></thead><tbody>${made}</tbody></table></div>`
  }${sidePart(view, one)}</div>`;
}

/** Readings that could not be made, and why. */
export function renderAbsentPart({ path }: PathView): Markup | undefined {
  const absent = readingKinds.flatMap(({ id, name }) => {
    const why = formatStoredAbsence(path, id);
    return why === undefined ? [] : [html`<li>${name}: ${why}</li>`];
  });
  if (absent.length === 0) return undefined;
  return html`<h4>Not measured</h4><ul class="absent">${absent}</ul>`;
}

/** The readings of the other side of a stereo bus, next to those of the other second sides. */
function sidePart(view: View, { path, other }: PathView): Markup | undefined {
  const { partner } = path;
  if (partner === undefined) return undefined;
  const rows = readingKinds.flatMap(({ id, name }) => {
    const reading = partner.readings[id];
    if (reading === undefined) return [];
    const crowd = other?.family.usual?.readings[id];
    const odd = path.findings.some(
      (f) => f.reading === id && f.side === partner.side && f.severity !== "remark",
    );
    const head = html`<th scope="row">${odd ? oddMark : ""}${name}</th>`;
    return [
      html`<tr>${head}<td>${formatReading(reading)}</td><td>${crowd ? formatFamilyValue(crowd, reading.unit) : ""}</td><td>${crowd ? formatDifference(reading, crowd) : ""}</td><td>${other ? renderSiblingDotPlot(view, other, id) : ""}</td></tr>`,
    ];
  });
  if (rows.length === 0) return html`<p>The ${partner.side} side could not be read.</p>`;
  return html`<h4>The ${partner.side} side</h4><div class="wide" role="region" aria-label="Readings of the ${partner.side} side of ${path.path}, scrolls sideways" tabindex="0"><table class="readings"><thead><tr><th scope="col">reading</th><th scope="col">value</th><th scope="col">siblings</th><th scope="col">difference</th><th scope="col">among siblings</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

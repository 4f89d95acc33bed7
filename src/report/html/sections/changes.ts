import type {
  CommonShift,
  CurveChange,
  PathState,
  ReadingChange,
} from "../../../history/compare/types.js";
import { getReadingName } from "../../../measure/reading-kinds.js";
import { capitalize } from "../../../text/capitalize.js";
import { formatCount } from "../../../text/format-count.js";
import { formatHertz } from "../../../text/format-hertz.js";
import { formatSigned } from "../../../text/format-signed.js";
import { formatCondition } from "../../conditions/format-condition.js";
import { formatNoPartner } from "../../conditions/format-incomparable.js";
import { getDecimals } from "../../format-reading.js";
import { html, type Markup } from "../markup.js";
import { formatDay } from "../values.js";
import type { PathView, View } from "../view.js";

const stateWords: Readonly<Record<PathState, string>> = {
  "new-fault": "new fault",
  "other-fault": "a different fault",
  "fault-still": "same fault as before",
  "fault-gone": "fault gone",
  "set-wrong": "now set or patched differently",
  "set-right": "set right",
  drift: "drifts, without standing out yet",
  better: "better than before",
  unsure: "stands out in one round only, but nothing changed significantly",
  steady: "steady",
  "no-partner": "measured in one round only",
};

/** What changed on the desk since the baseline. */
export function renderChangesSection({ baseline, paths }: View): Markup | undefined {
  if (baseline === undefined) return undefined;
  const { conditions, shifts, earlier, days } = baseline.comparison;
  const notes = conditions.map(formatCondition);
  const states = (Object.keys(stateWords) as PathState[]).flatMap((state) => {
    const found = paths.filter(({ change }) => change?.state === state);
    return found.length === 0 ? [] : [{ state, found }];
  });
  return html`<section id="changes"><h2>Since round ${earlier.id}</h2><p>${formatDay(earlier.date)}, ${formatCount(days, "day")} before.</p>${
    notes.length === 0
      ? ""
      : html`<ul class="notes">${notes.map((note) => html`<li>${note}</li>`)}</ul>`
  }<dl class="states">${states.map(
    ({ state, found }) =>
      html`<div><dt>${stateWords[state]}</dt><dd>${named(state, found)}</dd></div>`,
  )}</dl>${
    shifts.length === 0
      ? ""
      : html`<h3>Changes common to siblings</h3><p>Listed once, and subtracted from every path's own change.</p><ul>${shifts.map(shiftItem)}</ul>`
  }</section>`;
}

/** Unchanged paths are counted, not named. */
function named(state: PathState, paths: readonly PathView[]): Markup {
  if (state === "steady") return html`${formatCount(paths.length, "path")}`;
  return html`${paths.map(
    ({ path, number }, k) => html`${k === 0 ? "" : ", "}<a href="#p${number}">${path.path}</a>`,
  )}`;
}

function shiftItem(shift: CommonShift): Markup {
  const { reading, families, paths, uncertainty, unit, atHz } = shift;
  const where = atHz === undefined ? "" : ` at ${formatHertz(atHz)}`;
  return html`<li>${getReadingName(reading)}${where}: ${signedValue(shift.shift, uncertainty)} ± ${uncertainty.toFixed(digitsOf(uncertainty))} ${unit} (${families.join(", ")}; ${formatCount(paths, "path")})</li>`;
}

/** The significant changes of one path. */
export function renderChangesPart({ baseline }: View, { change }: PathView): Markup | undefined {
  if (baseline === undefined || change === undefined) return undefined;
  const readings = change.readings.filter(({ real }) => real);
  const curves = change.curves.filter(({ real }) => real);
  const why = change.noPartner === undefined ? "" : `: ${formatNoPartner(change.noPartner)}`;
  return html`<h4>Since round ${baseline.round.id}</h4><p>${capitalize(stateWords[change.state])}${why}.</p>${
    readings.length + curves.length === 0
      ? ""
      : html`<ul>${readings.map(readingItem)}${curves.map(curveItem)}</ul>`
  }`;
}

function readingItem(change: ReadingChange): Markup {
  return html`<li>${getReadingName(change.reading)}: ${ownWords(change)}</li>`;
}

function curveItem(change: CurveChange): Markup {
  return html`<li>${change.curve} at ${formatHertz(change.atHz)}: ${ownWords(change)}</li>`;
}

function ownWords({ own, uncertainty, unit, course, shift }: ReadingChange | CurveChange): string {
  const beside = shift === undefined ? "" : ", on top of the change of its siblings";
  const way = course === "neither" ? "" : ` (${course})`;
  return `${signedValue(own, uncertainty)} ± ${uncertainty.toFixed(digitsOf(uncertainty))} ${unit}${beside}${way}`;
}

function digitsOf(uncertainty: number): number {
  return Math.min(2, getDecimals(uncertainty));
}

function signedValue(value: number, uncertainty: number): string {
  const text = value.toFixed(digitsOf(uncertainty));
  return Number(text) > 0 ? `+${text}` : formatSigned(text);
}

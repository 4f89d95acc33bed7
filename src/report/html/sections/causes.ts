import type { NextCheck } from "../../../diagnose/checks/types.js";
import type { Cause } from "../../../diagnose/types.js";
import { formatEvidence } from "../../evidence/format-evidence.js";
import { formatNextCheck } from "../../next-check.js";
import { formatPercent } from "../cause-words.js";
import { html, type Markup } from "../markup.js";

/** The causes of a path, most likely first, with the evidence and the check that confirms each. */
export function renderCausesPart(causes: readonly Cause[]): Markup | undefined {
  if (causes.length === 0) return undefined;
  return html`<h4>${causes.length === 1 ? "Likely cause" : "Likely causes, most likely first"}</h4><ol class="causes">${causes.map((cause, k) => causeItem(cause, k === 0))}</ol>`;
}

/** The most worthwhile check, in one line. */
export function renderNextCheck(next: NextCheck | undefined): Markup | undefined {
  if (next === undefined) return undefined;
  return html`<h4>Check next</h4><p>${formatNextCheck(next)}</p>`;
}

/** What to rule out is listed once, under the most likely cause. */
function causeItem(cause: Cause, first: boolean): Markup {
  const { name, kind, probability, evidence, against = [], where, confirmBy, ready, care } = cause;
  return html`<li><p class="cause"><b>${name}</b>${kind === "fault" ? "" : html` <span class="soft">${kind}, not a fault</span>`}${probability === undefined ? "" : bar(probability)}</p><dl class="do">${rows("because", evidence.map(formatEvidence))}${rows("although", against.map(formatEvidence))}${rows("where", where)}${rows("confirm", confirmBy)}${rows("rule out", first ? cause.unlike : undefined)}${rows("ready", ready)}${rows("care", care)}</dl></li>`;
}

function bar(probability: number): Markup {
  return html`<span class="chance"><svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true"><path class="all" d="M0 0H100V8H0z"/><path class="share" d="M0 0H${Math.round(100 * probability)}V8H0z"/></svg>${formatPercent(probability)}</span>`;
}

function rows(name: string, texts: string | readonly string[] | undefined): Markup | undefined {
  const list = texts === undefined ? [] : typeof texts === "string" ? [texts] : texts;
  if (list.length === 0) return undefined;
  return html`<div><dt>${name}</dt>${list.map((text) => html`<dd>${text}</dd>`)}</div>`;
}

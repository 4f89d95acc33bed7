import type { FindingNow, RetestFigure } from "../service/retest/figures.js";
import type { GateReason, Retest, RetestItem, WorseReading } from "../service/retest/types.js";
import { formatChange } from "../text/format-signed.js";
import { formatAbsence } from "./absences/format-absence.js";
import { addNotes } from "./conditions/format-condition.js";
import { formatIncomparable } from "./conditions/format-incomparable.js";
import { formatFinding } from "./findings/format-finding.js";
import { formatMeterSaying, formatMeterValues } from "./meter/format-meter.js";
import { formatReason } from "./not-measured/format-reason.js";
import { formatItemName } from "./plan/word-plan.js";

/**
 * What was measured for an item, then and now.
 *
 * @example
 * formatRetestFigure({ code: "signal-gone", path: "7/mic" });
 * // "7/mic: nothing of the signal comes back now"
 */
export function formatRetestFigure(figure: RetestFigure): string {
  switch (figure.code) {
    case "noted-only":
      return "noted in use only: no measurement shows it";
    case "answered-by":
      return `noted in use; measured and fixed: ${formatItemName(figure.name)}`;
    case "not-measured":
      return `${figure.path}: ${formatReason(figure) ?? "not measured"}`;
    case "not-again":
      return `${figure.path}: not measured again`;
    case "signal-back": {
      const more = figure.finding === undefined ? "" : `; ${formatFinding(figure.finding)}`;
      return `${figure.path}: the signal comes back${more}`;
    }
    case "signal-gone":
      return `${figure.path}: nothing of the signal comes back now`;
    case "findings": {
      const each = figure.findings.map(
        ({ finding, now }) => `${formatFinding(finding)}, now ${formatNow(now)}`,
      );
      return `${figure.path}: ${each.join("; ")}`;
    }
    case "new-findings":
      return `${figure.path}: ${figure.findings.map((one) => formatFinding(one)).join("; ")}`;
    case "metered": {
      const { what, earlier, later } = figure;
      const then = `${what} ${formatMeterValues(earlier)}`;
      if (later === undefined) return `${then}: not measured again since`;
      return `${then}, now ${formatMeterValues(later)}${figure.isInOrder ? ": in order" : ""}`;
    }
  }
}

function formatNow(now: FindingNow): string {
  switch (now.code) {
    case "not-read":
      return `not read: ${now.because ? formatAbsence(now.because) : "the signal does not provide it"}`;
    case "not-comparable":
      return `not comparable: ${formatIncomparable(now.because)}`;
    case "gone-in-sum":
      return `less on ${now.strips} strips together than the fault alone would cause: gone`;
    case "hidden-in-sum":
      return `measured only together with ${now.strips - 1} other strip${now.strips === 2 ? "" : "s"}, where it may be hidden`;
    case "still":
      return `${formatChange(now.off.toFixed(1))} ${now.unit}`;
    case "alike":
      return `${formatChange(now.off.toFixed(1))} ${now.unit}: like its siblings`;
    case "unclear":
      return `${formatChange(now.off.toFixed(1))} ${now.unit}: no clear change`;
    case "hidden": {
      const why =
        now.riseDb > 0
          ? `the level common to all rose by ${now.riseDb.toFixed(1)} dB and hides it`
          : "too little to tell";
      return `${formatChange(now.off.toFixed(1))} ${now.unit}, but with the fault still there it would be no more than ${formatChange(now.withFault.toFixed(1))} ${now.unit}: ${why}`;
    }
  }
}

/** A re-test with its words beside the data, as `--json` prints it. */
export function wordRetest({ items, gate, ...retest }: Retest) {
  return addNotes({
    ...retest,
    gate: { ...gate, reasons: gate.reasons.map(wordReason) },
    items: items.map(wordItem),
  });
}

function wordItem({ figures, ...item }: RetestItem) {
  return {
    ...item,
    name: formatItemName(item.name),
    figures: figures.map(formatRetestFigure),
    measured: figures.map(wordFigure),
  };
}

/** A figure with the words of the findings in it. */
function wordFigure(figure: RetestFigure): object {
  switch (figure.code) {
    case "answered-by":
      return { ...figure, name: formatItemName(figure.name) };
    case "signal-back":
      return figure.finding === undefined
        ? figure
        : { ...figure, finding: formatFinding(figure.finding) };
    case "findings":
      return {
        ...figure,
        findings: figure.findings.map(({ finding, now }) => ({
          words: formatFinding(finding),
          now,
        })),
      };
    case "new-findings":
      return { ...figure, findings: figure.findings.map((one) => formatFinding(one)) };
    case "not-measured": {
      const reason = formatReason(figure);
      return reason === undefined ? figure : { ...figure, reason };
    }
    default:
      return figure;
  }
}

function wordReading({ reading, finding }: WorseReading) {
  return { reading, words: formatFinding(finding) };
}

function wordReason(reason: GateReason) {
  switch (reason.code) {
    case "neighbour-worse": {
      const { figures = [], readings, ...rest } = reason;
      const items = figures.map((one) => ({ reading: "item", words: formatRetestFigure(one) }));
      return {
        ...rest,
        readings: [...readings.map(wordReading), ...items],
        ...(figures.length === 0 ? {} : { measured: figures.map(wordFigure) }),
      };
    }
    case "item-unclear":
    case "not-mended":
      return { ...reason, name: formatItemName(reason.name) };
    case "section-out": {
      const { said, ...rest } = reason;
      return { ...rest, words: said.map(formatMeterSaying).join("; ") };
    }
    case "new-fault":
      return { ...reason, readings: reason.readings.map(wordReading) };
    case "not-comparable": {
      const { because, ...rest } = reason;
      return { ...rest, why: formatNotComparable(because), because };
    }
    default:
      return reason;
  }
}

/** Why a reading that all paths need cannot be compared. */
export function formatNotComparable(
  because: Extract<GateReason, { code: "not-comparable" }>["because"],
): string {
  return because.code === "not-read-now" ? "not read now" : formatIncomparable(because);
}

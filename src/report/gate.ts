import { getCurveId } from "../history/standing.js";
import { findCurveKind } from "../measure/curve-kinds.js";
import { findReadingKind } from "../measure/reading-kinds.js";
import { countMostPlays } from "../service/halving.js";
import type { StillOff } from "../service/notebook/opening.js";
import type { SumOutcome } from "../service/retest/sum-outcome.js";
import type {
  GateReason,
  RetestGate,
  SharedChange,
  SharedOutcome,
  WorseReading,
} from "../service/retest/types.js";
import { formatCount } from "../text/format-count.js";
import { formatList } from "../text/format-list.js";
import { formatChange } from "../text/format-signed.js";
import { toDifferenceUnit } from "../text/level-units.js";
import { formatCommand } from "../text/program-name.js";
import { formatDangerHead, formatDangerNames } from "./danger.js";
import { formatFinding } from "./findings/format-finding.js";
import { formatMeterSaying } from "./meter/format-meter.js";
import { formatFamilies, withoutSecondSides } from "./name-sides.js";
import { formatBackAdvice, formatStillOff } from "./opening.js";
import { formatItemName } from "./plan/word-plan.js";
import { formatNotComparable, formatRetestFigure } from "./retest-figures.js";
import { formatSharedFault, formatSharedLook, formatSharedPart } from "./shared/format-shared.js";

/** Whether the desk can be closed, in one sentence. */
export function formatGate({ verdict, reasons }: RetestGate): string {
  if (verdict === "close") return "The desk can be closed.";
  const own = reasons.filter(isOfVerdict(verdict));
  const why = formatList([...new Set(own.map((reason) => formatShort(reason, own)))]);
  return verdict === "do-not-close"
    ? `Do not close the desk: ${why}.`
    : `Cannot tell whether the desk can be closed: ${why}.`;
}

function toStillOff(reason: Extract<GateReason, { code: "taken-off" }>): StillOff {
  const { note, place, what, unplugged, fixing } = reason;
  const state = fixing !== undefined ? "fixings" : unplugged ? "unplugged" : "off";
  return { note, place, what, state, ...(fixing && { fixing }) };
}

/**
 * Selects the reasons for a verdict: those that forbid closing, or those that leave it undecided.
 */
function isOfVerdict(verdict: RetestGate["verdict"]) {
  return ({ code }: GateReason) => (verdict === "do-not-close") === stops.has(code);
}

const stops: ReadonlySet<GateReason["code"]> = new Set([
  "danger-open",
  "neighbour-worse",
  "shared-worse",
  "sum-worse",
  "shared-fault",
  "shared-not-mended",
  "new-fault",
  "not-mended",
  "taken-off",
] as const);

/**
 * @param all reasons for the verdict, to name together the readings that got worse on the same
 * paths
 */
function formatShort(reason: GateReason, all: readonly GateReason[]): string {
  switch (reason.code) {
    case "danger-open":
      return `note ${reason.danger.note} reports a danger (${formatDangerNames(reason.danger.dangers)})`;
    case "neighbour-worse":
      return `${reason.path}, which nobody worked on, got worse`;
    case "shared-worse":
      return formatWorseOnAll(reason.change, all);
    case "sum-worse":
      return `${nameSum(reason.sum)} is too high`;
    case "sum-unsure":
      return `${nameSum(reason.sum)} does not show that each of them is good`;
    case "shared-fault":
      return `shared by several paths: ${formatSharedFault(reason.fault)}`;
    case "shared-not-mended":
      return `${formatSharedPart(reason.shared.fault.part)} is not fixed`;
    case "shared-unclear":
      return `nothing shows whether ${formatSharedPart(reason.shared.fault.part)} is fixed`;
    case "new-fault":
      return `${reason.path} has a new fault`;
    case "not-mended":
      return `strip ${reason.strip} is not fixed`;
    case "taken-off":
      return formatStillOff(toStillOff(reason));
    case "order-doubt":
      return "which path each return belongs to is in doubt";
    case "not-measured":
      return reason.strips === "touched"
        ? "strips that were worked on were not measured again"
        : "strips beside them were not measured again";
    case "level-drifted":
      return "the level changed while the re-test was recorded";
    case "shared-unsure":
      return `${nameReading(reason.change.reading)} of all ${formatFamilies(reason.change.families)} paths may have got worse`;
    case "not-comparable":
      return `${nameReading(reason.reading)} cannot be compared`;
    case "item-unclear":
      return `nothing shows whether strip ${reason.strip} is fixed`;
    case "note-unanswered":
    case "section-unanswered":
      return `note ${reason.note} is not answered`;
    case "section-out":
      return `${reason.section} is out of range`;
  }
}

/** All readings that got worse on the same paths as this one, in one clause. */
function formatWorseOnAll({ families }: SharedChange, all: readonly GateReason[]): string {
  const readings = all.flatMap((one) =>
    one.code === "shared-worse" && one.change.families.join() === families.join()
      ? [nameReading(one.change.reading)]
      : [],
  );
  return `${formatList([...new Set(readings)])} got worse on all ${formatFamilies(families)} paths that were measured again`;
}

function formatNotMeasured(paths: readonly string[]): string {
  return `Not measured again: ${paths.join(", ")}. Record ${paths.length === 1 ? "it" : "them"} with the others and analyze them together.`;
}

/** A reason in full, and what to do about it. */
export function formatGateReason(reason: GateReason): string {
  switch (reason.code) {
    case "danger-open":
      return `${reason.danger.note}, ${formatDangerHead(reason.danger)}: no measurement shows that it is gone. Find the cause with the desk unplugged; when it is repaired: ${formatCommand(`note close ${reason.danger.note}`)}`;
    case "neighbour-worse":
      return `${reason.path} was not worked on and got worse: ${formatWorse(reason)}. Check what is between it and the strips that were pulled: ribbons, earth leads, cards not pushed home.`;
    case "shared-worse":
      return `${formatSharedChange(reason.change)}. All paths changed, not just one: check ${placesToLook(reason.change)}, then measure again.`;
    case "sum-worse":
      return `${formatSumOutcome(reason.sum)}. \`${formatCommand("halve")}\` says which of them to mute for the next play, and finds the strip in ${formatCount(countMostPlays(reason.sum.strips.length), "play")} at most.`;
    case "sum-unsure":
      return `${formatSumOutcome(reason.sum)}, and one that got worse could be hidden in it. Play the strips that were worked on one at a time, all others muted: \`${formatCommand("plan --retest --single")}\` makes that sheet.`;
    case "shared-fault":
      return `${formatSharedFault(reason.fault)}; the earlier round did not show it. ${formatSharedLook(reason.fault)}`;
    case "shared-not-mended":
      return `${formatSharedOutcome(reason.shared)}. ${formatSharedLook(reason.shared.fault)}`;
    case "shared-unclear":
      return `${formatSharedOutcome(reason.shared)}: what would show it was not measured, or is hidden.`;
    case "new-fault":
      return `${reason.path} did not show this before: ${formatWords(reason.readings)}.`;
    case "not-mended":
      return `strip ${reason.strip}, ${formatItemName(reason.name)}: ${reason.outcome}.`;
    case "taken-off":
      return `${reason.note}: ${formatStillOff(toStillOff(reason))} (${reason.place}). ${formatBackAdvice(toStillOff(reason))}`;
    case "order-doubt":
      return `Recordings may have been assigned to the wrong paths: \`${formatCommand("show")}\` says which.`;
    case "not-measured":
      return formatNotMeasured(withoutSecondSides(reason.paths));
    case "level-drifted":
      return `The level of the reference path changed by ${formatChange(reason.changeDb.toFixed(1))} dB from first to last, and the paths in between do not show when. Let the desk warm up, touch no level, and record the re-test again.`;
    case "shared-unsure":
      return `${formatSharedChange(reason.change)}, too close to the bound for the measurement to decide.`;
    case "not-comparable":
      return `${nameReading(reason.reading)} of ${formatFamilies(reason.families)}: ${formatNotComparable(reason.because)}. Without it, a change common to all paths would go unnoticed. Measure with the signal, the settings and the calibration of the earlier round.`;
    case "item-unclear":
      return `strip ${reason.strip}, ${formatItemName(reason.name)}: see below.`;
    case "section-unanswered":
      return `${reason.note} of ${reason.section}: the strips' readings do not show it. If use shows that it is fixed, close it (${formatCommand(`note close ${reason.note}`)}) and analyze the re-test again.`;
    case "section-out":
      return `${reason.note} of ${reason.section}: ${reason.said.map(formatMeterSaying).join("; ")}. Leave supply and mains work to licensed people, under local codes; when it is in order, note the new reading (${formatCommand("note meter")}).`;
    case "note-unanswered":
      return `${reason.note} of strip ${reason.strip}: no measurement shows it. If use shows that it is fixed, close it (${formatCommand(`note close ${reason.note}`)}) and analyze the re-test again.`;
  }
}

/** "noise of 8 strips together (1 to 8)". */
function nameSum({ reading, strips }: SumOutcome): string {
  return `${nameReading(reading)} of strips ${formatList(strips)} together`;
}

/** What they measured together, and what that is compared with. */
function formatSumOutcome(sum: SumOutcome): string {
  const { value, unit, expected, against, most } = sum;
  const bound = `${Number(most.toPrecision(2))} ${toDifferenceUnit(unit)}`;
  if (expected === undefined) {
    return `${nameSum(sum)}: ${value.toFixed(1)} ${unit}; the earlier round has nothing to compare it with`;
  }
  const than =
    against === "before" ? "what they gave together before" : "what they had one by one, added up";
  return `${nameSum(sum)}: ${formatChange((value - expected).toFixed(1))} ${toDifferenceUnit(unit)} against ${than} (bound: ${bound})`;
}

/** "supply feed 2 (strips 5 to 8): hum 30 dB above that of the other strips; unchanged, now 29.4 dB". */
export function formatSharedOutcome({ fault, outcome, left }: SharedOutcome): string {
  const word = outcome === "mended" ? "fixed" : outcome;
  const [finding] = fault.findings;
  const now =
    left === undefined || finding === undefined
      ? ""
      : `, now ${formatChange(left.toFixed(1))} ${toDifferenceUnit(finding.unit)}`;
  return `${formatSharedFault(fault)}; ${word}${now}`;
}

function formatWorse({
  readings,
  figures = [],
}: Extract<GateReason, { code: "neighbour-worse" }>): string {
  return figures.length === 0
    ? formatWords(readings)
    : figures.slice(0, 3).map(formatRetestFigure).join("; ");
}

function formatWords(readings: readonly WorseReading[]): string {
  return readings
    .slice(0, 3)
    .map(({ finding }) => formatFinding(finding))
    .join("; ");
}

/** "hum of all mic and line paths: +80.0 dB since the earlier round, on 16 paths (bound: 6 dB)". */
export function formatSharedChange(change: SharedChange): string {
  const { reading, families, unit, bound, atHz, scale, paths } = change;
  const where = atHz === undefined ? "" : ` at ${formatHz(atHz)}`;
  const against = scale === "against-level" ? " against the level" : "";
  const isTurned = findReadingKind(reading)?.aspect === "polarity";
  const size = isTurned ? "inverted" : `${formatChange(change.change.toFixed(1))} ${unit}`;
  const limit = bound === 0 ? "" : ` (bound: ${Number(bound.toPrecision(3))} ${unit})`;
  return `${nameReading(reading)}${where} of all ${formatFamilies(families)} paths: ${size}${against} since the earlier round, on ${formatCount(paths, "path")}${limit}`;
}

/** Where to look if all paths changed together, by aspect (common practice). */
function placesToLook({ reading, scale, reference }: SharedChange): string {
  if (reference === "shows") {
    return "the interface, its cable and the master output, since the reference path shows it too";
  }
  if (reference === "clean") {
    return "the mix bus and what feeds the strips, since the reference path does not show it: not the interface";
  }
  switch ((findReadingKind(reading) ?? findCurveKind(getCurveId(reading)))?.aspect) {
    case "hum":
      return "earth leads, screens and covers that are not back, then the cable to the interface";
    case "gain":
      return scale === "absolute"
        ? "the playing level, the master and the interface's input"
        : "the playing level and the interface's input";
    case "band":
      return "the master's output, the cable and the interface's input";
    case "polarity":
      return "the cable to the interface and the connectors of the mix output";
    case "overload":
    case "distortion":
      return "the supply, the master and the interface's input";
    default:
      return "the bus and the master, the supply, and earth leads that are not back";
  }
}

function nameReading(reading: string): string {
  const kind = findReadingKind(reading) ?? findCurveKind(getCurveId(reading));
  return kind?.name ?? reading;
}

function formatHz(hz: number): string {
  return hz < 1000 ? `${Math.round(hz)} Hz` : `${Number((hz / 1000).toPrecision(3))} kHz`;
}

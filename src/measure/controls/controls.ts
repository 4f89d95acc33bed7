import { type Crackle, computePeakQuantile, findCrackle } from "../../dsp/crackle.js";
import { trackPhase } from "../../dsp/phase-track.js";
import { median } from "../../dsp/robust.js";
import type { ControlAction, Move, SilenceSegment, ToneSegment } from "../../signal/types.js";
import { type Absent, isAbsent } from "../absence.js";
import { findSegment, isClipped, type ReturnAudio, sliceSegment } from "../return-audio.js";
import { blockS, findLevelBreaks } from "./level-breaks.js";
import type { ControlEvent, ControlReport, ControlVerdict, ControlWear } from "./types.js";

/**
 * Decibels relative to the tone with the control at its mark; weaker crackle is below the noise of
 * a desk in use (common practice, no source).
 */
const leastCrackleDb = -66;
/** Decibels; noise may rise with gain or equaliser, but more than this comes from the control. */
const rustleDb = 24;
/** Share of blocks with noise for a control to count as rustling. */
const rustleShare = 0.1;
/** Fewer scratches than this are chance. */
const leastScratches = 3;
/**
 * Seconds; scratches closer than this are one event, and one this close to a dropout belongs to it.
 */
const breathS = 0.04;
/** Seconds; a switch clicks once when pressed, but longer crackle is dirt. */
const switchClickS = 0.02;
/** Decibels; if the level changes less, the control was not moved or does not change it. */
const seenDb = 1;
const lowestDb = -60;
const mostEvents = 12;

/** A window of the pass, both halves. */
interface Window {
  readonly move: Move;
  readonly tone: ToneSegment;
  readonly silence: SilenceSegment;
}

/** Reference values from parts in which nothing is moved. */
interface Unmoved {
  /** Amplitude of the tone with all controls at their marks. */
  readonly mark: number;
  /** Scratches per second. */
  readonly perS: number;
  /** Typical block peak of the silence. */
  readonly quiet: number;
}

/**
 * Measures what each control did while moved: scratches under the tone and in the silence, dropouts
 * and jumps of the level, relative to the parts at the beginning in which nothing is moved. Level
 * changes at hand speed are expected, faster ones are faults; noise that the control itself turns
 * up is recognised because its neighbouring blocks are equally loud. Common practice, no source.
 * The user may be late by two seconds: the pips of the next control come that much later, and
 * everything before them belongs to this one.
 *
 * @param audio a return of a controls pass
 *
 * @returns one report for each window, or why there is none
 * @example
 * // The recording is of no controls pass.
 * measureControls(audio).absent.part; // "moves"
 */
export function measureControls(audio: ReturnAudio): readonly ControlReport[] | Absent {
  const unmoved = unmovedOf(audio);
  if (isAbsent(unmoved)) return unmoved;
  const reports: ControlReport[] = [];
  for (const window of windowsIn(audio)) {
    const report = reportOf(audio, window, unmoved);
    if (isAbsent(report)) return report;
    reports.push(report);
  }
  return reports.length > 0
    ? reports
    : { absent: { code: "not-in-signal", part: "moves", profile: audio.table.profile } };
}

/** Seconds left out at the start of each part, while the path settles. */
const settleS = 0.06;

function unmovedOf(audio: ReturnAudio): Unmoved | Absent {
  const silence = findSegment(audio.table, "silence", "silence");
  const tone = findSegment(audio.table, "tone", "tone-1k");
  if (!silence || !tone)
    return { absent: { code: "not-in-signal", part: "unmoved", profile: audio.table.profile } };
  const quiet = sliceSegment(audio, silence.startS, 0.15, silence.lengthS);
  const steady = sliceSegment(audio, tone.startS, settleS, tone.lengthS - 0.02);
  if (!quiet || !steady) return { absent: { code: "not-in-capture", part: "beginning" } };
  if (isClipped(steady.samples, audio)) return { absent: { code: "converter-clipped" } };
  const mark = median([...trackOf(audio, steady.samples, tone.frequencyHz)]);
  if (!(mark > 0) || mark < 20 * rms(quiet.samples))
    return { absent: { code: "no-tone", hz: tone.frequencyHz } };
  const least = mark * 10 ** (leastCrackleDb / 20);
  const count =
    findCrackle(quiet.samples, audio.sampleRate, least).length +
    findCrackle(steady.samples, audio.sampleRate, least).length;
  const seconds = (quiet.samples.length + steady.samples.length) / audio.clock;
  const counted = countIns(audio, least);
  return {
    mark,
    perS: (count + counted.count) / (seconds + counted.seconds),
    quiet: computePeakQuantile(quiet.samples, audio.sampleRate, 0.5),
  };
}

/**
 * Scratches between the count-in pips, when no control is touched: also background. The count-in
 * with the most is left out, since the previous movement may have been late.
 */
function countIns(audio: ReturnAudio, least: number): { count: number; seconds: number } {
  const each = audio.table.segments.flatMap((pips) => {
    if (pips.kind !== "pips" || pips.count < 2) return [];
    const gaps = Array.from({ length: pips.count }, (_, k) => {
      const fromS = pips.startS + k * pips.spacingS + pips.pipS + afterPipS;
      const untilS = pips.startS + Math.min(pips.lengthS, (k + 1) * pips.spacingS) - beforePipS;
      return sliceSegment(audio, fromS, 0, untilS - fromS)?.samples ?? new Float64Array(0);
    });
    return [
      {
        count: gaps.reduce((n, gap) => n + findCrackle(gap, audio.sampleRate, least).length, 0),
        seconds: gaps.reduce((sum, gap) => sum + gap.length, 0) / audio.clock,
      },
    ];
  });
  const kept = each.sort((a, b) => b.count - a.count).slice(1);
  return {
    count: kept.reduce((sum, one) => sum + one.count, 0),
    seconds: kept.reduce((sum, one) => sum + one.seconds, 0),
  };
}

/** Seconds left out around a pip: its ringing, and its flank. */
const afterPipS = 0.08;
const beforePipS = 0.01;

function rms(samples: Float64Array): number {
  let sum = 0;
  for (const x of samples) sum += x * x;
  return Math.sqrt(sum / Math.max(1, samples.length));
}

function windowsIn({ table }: ReturnAudio): readonly Window[] {
  return table.segments.flatMap((tone) => {
    if (tone.kind !== "tone" || tone.move === undefined) return [];
    const silence = table.segments.find(
      (s): s is SilenceSegment => s.kind === "silence" && s.startS > tone.startS,
    );
    return silence === undefined ? [] : [{ move: tone.move, tone, silence }];
  });
}

function reportOf(
  audio: ReturnAudio,
  { move, tone, silence }: Window,
  unmoved: Unmoved,
): ControlReport | Absent {
  const { control, hand } = move;
  const sounding = sliceSegment(audio, tone.startS, settleS, tone.lengthS - 0.02);
  const parts = quietParts(audio, silence);
  if (!sounding || parts === undefined)
    return { absent: { code: "not-in-capture", part: "moves", control } };
  const amplitudes = trackOf(audio, sounding.samples, tone.frequencyHz);
  const soundStartS = tone.startS + sounding.startS;
  const breaks = findLevelBreaks(amplitudes, unmoved.mark, hand).map(
    ({ kind, at, length, levelDb }): ControlEvent => ({
      kind,
      during: "tone",
      atS: soundStartS + at * blockS,
      lengthS: length * blockS,
      levelDb,
    }),
  );
  const least = unmoved.mark * 10 ** (leastCrackleDb / 20);
  const inTone = toEvents(findCrackle(sounding.samples, audio.sampleRate, least), {
    during: "tone",
    startS: soundStartS,
    clock: audio.clock,
    mark: unmoved.mark,
  }).filter(
    ({ atS }) =>
      !stepsNear(amplitudes, (atS - soundStartS) / blockS, hand) && !besides(breaks, atS),
  );
  const inSilence = parts.flatMap(({ samples, startS }) =>
    toEvents(findCrackle(samples, audio.sampleRate, least), {
      during: "silence",
      startS,
      clock: audio.clock,
      mark: unmoved.mark,
    }),
  );
  const range = rangeOf(amplitudes, unmoved.mark);
  const rustle = rustleOf(parts, range.highestDb, unmoved, audio);
  const scratches = {
    tone: countOf(inTone, hand),
    silence: countOf(inSilence, hand),
  };
  const seconds =
    (sounding.samples.length + parts.reduce((sum, p) => sum + p.samples.length, 0)) / audio.clock;
  const events = [
    ...breaks,
    ...breaths(inTone, hand),
    ...breaths(inSilence, hand),
    ...(rustle === undefined ? [] : [rustle]),
  ];
  return judged({
    control,
    hand,
    fromS: tone.startS,
    untilS: silence.startS + silence.lengthS,
    moved: range.highestDb - range.lowestDb >= seenDb ? "seen" : "not seen",
    rangeDb: range.highestDb - range.lowestDb,
    scratches,
    dropouts: breaks.filter(({ kind }) => kind === "dropout").length,
    jumps: breaks.filter(({ kind }) => kind === "jump").length,
    expected: unmoved.perS * seconds,
    events,
  });
}

/** The silence of a window, and the time after its final pip, up to the next count-in. */
function quietParts(audio: ReturnAudio, silence: SilenceSegment) {
  const { segments, lengthS } = audio.table;
  const first = sliceSegment(audio, silence.startS, 0.08, silence.lengthS);
  if (!first) return undefined;
  const parts = [{ samples: first.samples, startS: silence.startS + first.startS }];
  const after = segments.filter(({ startS }) => startS > silence.startS);
  const [end, next] = after;
  if (end?.kind === "pips") {
    const fromS = end.startS + end.pipS + 0.08;
    const back = sliceSegment(audio, fromS, 0, (next?.startS ?? lengthS) - fromS - 0.01);
    if (back) parts.push({ samples: back.samples, startS: fromS + back.startS });
  }
  return parts;
}

function trackOf(audio: ReturnAudio, samples: Float64Array, frequencyHz: number): Float64Array {
  const step = Math.round(blockS * audio.clock);
  return trackPhase(samples, frequencyHz / audio.clock, step).amplitudes;
}

interface Stretch {
  readonly during: "tone" | "silence";
  readonly startS: number;
  readonly clock: number;
  readonly mark: number;
}

function toEvents(found: readonly Crackle[], stretch: Stretch): readonly ControlEvent[] {
  const { during, startS, clock, mark } = stretch;
  return found.map(({ at, peak }) => ({
    kind: "scratch",
    during,
    atS: startS + at / clock,
    lengthS: 0,
    levelDb: 20 * Math.log10(peak / mark),
  }));
}

/** Whether a switch was pressed here: its level step makes a click. */
function stepsNear(amplitudes: Float64Array, piece: number, hand: ControlAction): boolean {
  if (hand !== "press") return false;
  const reach = Math.round(breathS / blockS / 2);
  const from = Math.max(0, Math.round(piece) - reach);
  const to = Math.min(amplitudes.length - 1, Math.round(piece) + reach);
  const [before, after] = [amplitudes[from], amplitudes[to]];
  return Math.abs(after - before) > 0.05 * Math.max(before, after);
}

function besides(breaks: readonly ControlEvent[], atS: number): boolean {
  return breaks.some((b) => atS > b.atS - breathS && atS < b.atS + b.lengthS + breathS);
}

/** Merges scratches closer than `breathS` into one event; for a switch, keeps only long ones. */
function breaths(events: readonly ControlEvent[], hand: ControlAction): readonly ControlEvent[] {
  const joined: ControlEvent[] = [];
  for (const event of events) {
    const last = joined.at(-1);
    if (last && event.atS - (last.atS + last.lengthS) < breathS) {
      const lengthS = event.atS - last.atS;
      const levelDb = Math.max(last.levelDb, event.levelDb);
      joined[joined.length - 1] = { ...last, lengthS, levelDb };
    } else joined.push(event);
  }
  return hand === "press" ? joined.filter(({ lengthS }) => lengthS >= switchClickS) : joined;
}

/**
 * For knobs and faders every crackling block counts, for switches every press with long crackle.
 */
function countOf(events: readonly ControlEvent[], hand: ControlAction): number {
  return hand === "press" ? breaths(events, hand).length : events.length;
}

function rangeOf(amplitudes: Float64Array, mark: number) {
  // Quantiles, so that a single piece at a break does not count as movement.
  const sorted = amplitudes.slice().sort();
  const at = (part: number) => sorted[Math.round(part * (sorted.length - 1))] / mark;
  const db = (ratio: number) => Math.max(lowestDb, 20 * Math.log10(Math.max(1e-9, ratio)));
  return { lowestDb: db(at(0.02)), highestDb: db(at(0.98)) };
}

function rustleOf(
  parts: readonly { readonly samples: Float64Array; readonly startS: number }[],
  highestDb: number,
  { quiet, mark }: Unmoved,
  audio: ReturnAudio,
): ControlEvent | undefined {
  const [{ samples, startS }] = parts;
  const loud = computePeakQuantile(samples, audio.sampleRate, rustleShare);
  const over = 20 * Math.log10(loud / Math.max(quiet, 1e-12)) - Math.max(0, highestDb);
  const levelDb = 20 * Math.log10(Math.max(loud, 1e-12) / mark);
  if (over < rustleDb || levelDb < leastCrackleDb) return undefined;
  const lengthS = samples.length / audio.clock;
  return { kind: "rustle", during: "silence", atS: startS, lengthS, levelDb };
}

function judged(report: Omit<ControlReport, "verdicts" | "wear">): ControlReport {
  const { scratches, expected, dropouts, jumps, hand, events } = report;
  const rustles = events.some(({ kind }) => kind === "rustle");
  // A switch is pressed only a few times: two presses with crackle are enough.
  const least = (hand === "press" ? 2 : leastScratches) + 4 * expected;
  const many = (count: number) => count >= least;
  const scratchy = many(scratches.tone + scratches.silence) || rustles;
  const verdicts: ControlVerdict[] = [
    ...(dropouts > 0 ? (["drops out"] as const) : []),
    ...(jumps > 0 ? (["jumps"] as const) : []),
    ...(scratchy ? (["scratchy"] as const) : []),
  ];
  const shown = [...events].sort(
    (a, b) =>
      order.indexOf(a.kind) - order.indexOf(b.kind) || Math.abs(b.levelDb) - Math.abs(a.levelDb),
  );
  const kept = verdicts.length === 0 ? [] : shown.slice(0, mostEvents);
  const wear = wearOf(hand, verdicts, many(scratches.silence) || rustles);
  return {
    ...report,
    events: kept,
    verdicts: verdicts.length === 0 ? ["sound"] : verdicts,
    ...(wear === undefined ? {} : { wear }),
  };
}

const order: readonly ControlEvent["kind"][] = ["dropout", "jump", "rustle", "scratch"];

function wearOf(
  hand: ControlAction,
  verdicts: readonly ControlVerdict[],
  unfed: boolean,
): ControlWear | undefined {
  if (verdicts.length === 0) return undefined;
  if (unfed) return "leak";
  return hand === "press" ? "contact" : "track";
}

import { toDisplayName } from "../../capture/containers/open-file.js";
import { buildReturnTable } from "../../capture/find/return-table.js";
import { amplitudeToDb } from "../../dsp/decibels.js";
import { median } from "../../dsp/robust.js";
import { formatList } from "../../text/format-list.js";
import { groupBy } from "../../text/group-by.js";
import type { ReadCapture } from "../read/read-captures.js";
import type { MeasuredTake } from "./measure-takes.js";

/**
 * Doubts about how the returns were recorded, each said once for all paths that share it.
 *
 * @param measured by path
 */
export function listRecordingWarnings(
  measured: ReadonlyMap<string, MeasuredTake>,
  captures: readonly ReadCapture[],
): readonly string[] {
  const rates = new Map(captures.map(({ info }) => [info.file, info.sampleRate]));
  const taken = [...measured].map(([path, one]) => ({
    path,
    one,
    rate: rates.get(one.found.file) ?? 0,
  }));
  return [
    ...kinds(taken),
    ...bandBeyondRate(taken),
    ...lowLevel(taken),
    ...clipped(taken),
    ...emptySides(taken),
    ...oddClocks(taken),
  ];
}

interface Taken {
  readonly path: string;
  readonly one: MeasuredTake;
  /** Of the capture, hertz. */
  readonly rate: number;
}

function kinds(taken: readonly Taken[]): readonly string[] {
  const names = new Set(taken.map(({ one, rate }) => `${one.found.profile} at ${rate / 1000} kHz`));
  if (names.size < 2) return [];
  return [
    `The returns are of several kinds (${[...names].join(", ")}); siblings compare best when all are of one.`,
  ];
}

function bandBeyondRate(taken: readonly Taken[]): readonly string[] {
  const beyond = taken.filter(({ one, rate }) => sweepTop(one) > rate / 2);
  if (beyond.length === 0) return [];
  const [{ one, rate }] = beyond;
  return [
    `${pathsOf(beyond)}: recorded at ${rate / 1000} kHz, but the sweep runs to ${sweepTop(one) / 1000} kHz: the response is read up to 20 kHz, and no corner above it. Record at the rate of the signal to see more.`,
  ];
}

function sweepTop({ found }: MeasuredTake): number {
  const sweep = buildReturnTable(found).segments.find((s) => s.kind === "sweep");
  return sweep?.kind === "sweep" ? sweep.toHz : 0;
}

/** Returns as low as this leave too little between the path's noise and the interface's own. */
const lowDb = -24;

/** One low return is a path's fault; all of them are the recording's. */
function lowLevel(taken: readonly Taken[]): readonly string[] {
  const gains = taken.map(({ one }) => amplitudeToDb(one.found.gain));
  if (gains.length < 2 || Math.max(...gains) > lowDb) return [];
  const most = Math.abs(Math.max(...gains)).toFixed(0);
  return [
    `All returns are at least ${most} dB below what was played, so the interface's own noise may hide the paths'. Turn up its input until a healthy path returns about −18 dBFS, and record again.`,
  ];
}

function clipped(taken: readonly Taken[]): readonly string[] {
  const concerned = taken.filter(({ one }) => one.doubts?.includes("clipped"));
  return concerned.length === 0 ? [] : [`${pathsOf(concerned)}: ${clippedWords}`];
}

const clippedWords =
  "the converter clipped in a part of the return; what is read from that part is missing. Turn down the interface's input and record again.";

/** The noise of a desk and a converter is never nought: a silent side would leave it. */
function emptySides(taken: readonly Taken[]): readonly string[] {
  const concerned = taken.filter(({ one }) => one.doubts?.includes("empty-side"));
  const sides = groupBy(concerned, ({ one }) => one.measurement?.partner?.side ?? "other");
  return [...sides].map(
    ([side, own]) =>
      `${pathsOf(own)}: the ${side} side is digital silence, as of a track that was not armed, while other returns have both; only one side was measured. Check the recording, and record it again.`,
  );
}

/** Clocks of one session keep to each other within a few millionths (common practice). */
const mostApartPpm = 20;
const leastReturns = 3;

/** A clock unlike the others' is more likely a few samples lost or repeated in between. */
function oddClocks(taken: readonly Taken[]): readonly string[] {
  const whole = taken.filter(({ one }) => one.found.slipSamples === undefined);
  if (whole.length < leastReturns) return [];
  const usual = median(whole.map(({ one }) => one.found.driftPpm));
  return whole.flatMap(({ path, one, rate }) => {
    const off = one.found.driftPpm - usual;
    if (Math.abs(off) < mostApartPpm) return [];
    const samples = Math.round(Math.abs(off) * 1e-6 * buildReturnTable(one.found).lengthS * rate);
    const did = off > 0 ? "repeated" : "lost";
    return [
      `${path}: the clocks ran ${Math.abs(off).toFixed(0)} ppm off those of the other returns. If player and recorder were the same, about ${samples} samples were ${did} in ${toDisplayName(one.found.file)}: record it again.`,
    ];
  });
}

function pathsOf(taken: readonly Taken[]): string {
  return formatList(taken.map(({ path }) => path));
}

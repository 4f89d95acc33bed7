import { buildReturnTable } from "../../capture/find/return-table.js";
import type { Doubt } from "../../doubt.js";
import { amplitudeToDb } from "../../dsp/decibels.js";
import { median } from "../../dsp/robust.js";
import { groupBy } from "../../text/group-by.js";
import type { ReadCapture } from "../read/read-captures.js";
import type { MeasuredTake } from "./measure-takes.js";

/**
 * Doubts about the recording of returns, each once for all paths that share it.
 *
 * @param measured by path
 */
export function listRecordingDoubts(
  measured: ReadonlyMap<string, MeasuredTake>,
  captures: readonly ReadCapture[],
): readonly Doubt[] {
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

function kinds(taken: readonly Taken[]): readonly Doubt[] {
  const all = new Map(
    taken.map(({ one: { found }, rate }) => [
      `${found.profile} ${rate}`,
      { profile: found.profile, sampleRateHz: rate },
    ]),
  );
  return all.size < 2 ? [] : [{ code: "mixed-signals", kinds: [...all.values()] }];
}

function bandBeyondRate(taken: readonly Taken[]): readonly Doubt[] {
  const beyond = taken.filter(({ one, rate }) => sweepTop(one) > rate / 2);
  if (beyond.length === 0) return [];
  const [{ one, rate }] = beyond;
  return [
    {
      code: "sweep-beyond-rate",
      paths: pathsOf(beyond),
      sampleRateHz: rate,
      sweepTopHz: sweepTop(one),
    },
  ];
}

function sweepTop({ found }: MeasuredTake): number {
  const sweep = buildReturnTable(found).segments.find((s) => s.kind === "sweep");
  return sweep?.kind === "sweep" ? sweep.toHz : 0;
}

/** dBFS; returns this low leave too little margin between the path's noise and the interface's. */
const lowDb = -24;

/** One low return is a fault of the path; all of them are a fault of the recording. */
function lowLevel(taken: readonly Taken[]): readonly Doubt[] {
  const gains = taken.map(({ one }) => amplitudeToDb(one.found.gain));
  if (gains.length < 2 || Math.max(...gains) > lowDb) return [];
  return [{ code: "low-level", belowDb: Math.abs(Math.max(...gains)) }];
}

function clipped(taken: readonly Taken[]): readonly Doubt[] {
  const concerned = taken.filter(({ one }) => one.doubts?.includes("clipped"));
  return concerned.length === 0 ? [] : [{ code: "clipped", paths: pathsOf(concerned) }];
}

/** Digital silence on one side: noise of desk and converter would never be zero. */
function emptySides(taken: readonly Taken[]): readonly Doubt[] {
  const concerned = taken.filter(({ one }) => one.doubts?.includes("empty-side"));
  const sides = groupBy(concerned, ({ one }) => one.measurement?.partner?.side ?? "other");
  return [...sides].map(
    ([side, own]): Doubt => ({ code: "empty-side", paths: pathsOf(own), side }),
  );
}

/** Clocks of one session agree within a few ppm (common practice, no source). */
const mostApartPpm = 20;
const leastReturns = 3;

/** A clock that differs from the others more likely means a few samples lost or repeated. */
function oddClocks(taken: readonly Taken[]): readonly Doubt[] {
  const whole = taken.filter(({ one }) => one.found.slipSamples === undefined);
  if (whole.length < leastReturns) return [];
  const usual = median(whole.map(({ one }) => one.found.driftPpm));
  return whole.flatMap(({ path, one, rate }): readonly Doubt[] => {
    const off = one.found.driftPpm - usual;
    if (Math.abs(off) < mostApartPpm) return [];
    const samples = Math.round(Math.abs(off) * 1e-6 * buildReturnTable(one.found).lengthS * rate);
    return [{ code: "odd-clock", path, file: one.found.file, offPpm: off, samples }];
  });
}

function pathsOf(taken: readonly Taken[]): readonly string[] {
  return taken.map(({ path }) => path);
}

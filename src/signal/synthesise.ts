import { chirp, toneFadeS } from "./signal-table.js";
import type {
  MarkerSegment,
  PipsSegment,
  Segment,
  SignalTable,
  StepsSegment,
  SweepSegment,
  ToneSegment,
  TwinSegment,
} from "./types.js";

/**
 * The signal as a function of time, sampled at times the caller chooses: at the file's own rate for
 * playing, on a recording's drifted clock for measuring. Nothing is resampled, so the reference is
 * exact for any clock.
 */

/**
 * Peak amplitude of a sine at a level; a full-scale sine is 0 dBFS (AES17).
 *
 * @example
 * computePeakAmplitude(-20).toFixed(6); // "0.100000"
 */
export function computePeakAmplitude(levelDbfs: number): number {
  return 10 ** (levelDbfs / 20);
}

/**
 * Synthesises the whole signal.
 *
 * @param table segment table
 * @param sampleRate samples per second of the playing clock
 * @returns samples, full scale ±1, `round(lengthS·sampleRate)` of them
 * @example
 * const samples = synthesise(buildSignalTable("quick", "base"), 48000);
 * samples.length > 5 * 48000; // true
 */
export function synthesise(table: SignalTable, sampleRate: number): Float64Array {
  const out = new Float64Array(Math.round(table.lengthS * sampleRate));
  for (const segment of table.segments) {
    const first = Math.max(0, Math.ceil(segment.startS * sampleRate - 1e-6));
    const last = Math.min(out.length, Math.ceil((segment.startS + segment.lengthS) * sampleRate));
    const startS = first / sampleRate - segment.startS;
    renderSegment(segment, startS, 1 / sampleRate, out.subarray(first, last));
  }
  return out;
}

/**
 * Renders one segment at equidistant times and adds it to `out`.
 *
 * @param segment what to render
 * @param startS time of the first sample, seconds from the segment's start; may be negative
 * @param stepS seconds from sample to sample, on the playing clock
 * @param out samples to add to, full scale ±1
 * @example
 * const out = new Float64Array(48);
 * const tone = { kind: "tone", name: "tone", startS: 0, lengthS: 1, frequencyHz: 1000, levelDbfs: -20 };
 * renderSegment(tone, 0.5, 1 / 48000, out);
 * Math.max(...out).toFixed(4); // "0.1000"
 */
export function renderSegment(
  segment: Segment,
  startS: number,
  stepS: number,
  out: Float64Array,
): void {
  switch (segment.kind) {
    case "silence":
      break;
    case "marker":
      renderMarker(segment, startS, stepS, out);
      break;
    case "sweep":
      renderSweep(segment, startS, stepS, out);
      break;
    case "tone":
      renderTone(segment, startS, stepS, out);
      break;
    case "twin":
      renderTwin(segment, startS, stepS, out);
      break;
    case "pips":
      renderPips(segment, startS, stepS, out);
      break;
    case "steps":
      renderSteps(segment, startS, stepS, out);
      break;
  }
}

function renderMarker(marker: MarkerSegment, startS: number, stepS: number, out: Float64Array) {
  const peak = computePeakAmplitude(marker.levelDbfs);
  const second = marker.which === "start" ? peak : -peak;
  renderChirp(peak, startS, stepS, out);
  renderChirp(second, startS - marker.spacingS, stepS, out);
}

/**
 * A linear chirp, phase in cycles f0·t + (f1−f0)·t²/(2T), with raised-cosine flanks.
 *
 * @example
 * const out = new Float64Array(480);
 * renderChirp(0.5, 0, 1 / 48000, out);
 * out.every((x) => Math.abs(x) <= 0.5); // true
 */
export function renderChirp(peak: number, startS: number, stepS: number, out: Float64Array): void {
  const { fromHz, toHz, lengthS } = chirp;
  const slope = (toHz - fromHz) / (2 * lengthS);
  const [first, last] = clip(startS, stepS, lengthS, out.length);
  // The phase is a parabola, so its step grows by a constant: one phasor rotates the other. Both are
  // recomputed every few samples, which keeps the rounding error at that of a sine.
  const bend = 2 * Math.PI * ((2 * slope * stepS * stepS) % 1);
  const bendCos = Math.cos(bend);
  const bendSin = Math.sin(bend);
  for (let block = first; block < last; block += exactEvery) {
    const t0 = startS + block * stepS;
    const phase = 2 * Math.PI * ((t0 * (fromHz + slope * t0)) % 1);
    const turn = 2 * Math.PI * ((stepS * (fromHz + slope * (2 * t0 + stepS))) % 1);
    let c = Math.cos(phase);
    let s = Math.sin(phase);
    let turnCos = Math.cos(turn);
    let turnSin = Math.sin(turn);
    const end = Math.min(last, block + exactEvery);
    for (let i = block; i < end; i++) {
      out[i] += peak * flank(startS + i * stepS, lengthS, toneFadeS, toneFadeS) * s;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
      const turnedStep = turnCos * bendCos - turnSin * bendSin;
      turnSin = turnCos * bendSin + turnSin * bendCos;
      turnCos = turnedStep;
    }
  }
}

const exactEvery = 128;

/** Flanks of the sweep: it fades in over a third of an octave and out within a few milliseconds. */
const sweepFadeInOctaves = 1 / 3;
const sweepFadeOutS = 0.004;

function renderSweep(sweep: SweepSegment, startS: number, stepS: number, out: Float64Array) {
  const { fromHz, rateS, sweepS } = sweep;
  const peak = computePeakAmplitude(sweep.levelDbfs);
  const fadeInS = rateS * Math.LN2 * sweepFadeInOctaves;
  const cyclesPerUnit = fromHz * rateS;
  const [first, last] = clip(startS, stepS, sweepS, out.length);
  for (let i = first; i < last; i++) {
    const t = startS + i * stepS;
    const cycles = cyclesPerUnit * Math.exp(t / rateS);
    out[i] +=
      peak * flank(t, sweepS, fadeInS, sweepFadeOutS) * Math.sin(2 * Math.PI * (cycles % 1));
  }
}

function renderTone(tone: ToneSegment, startS: number, stepS: number, out: Float64Array) {
  addTone(tone.frequencyHz, computePeakAmplitude(tone.levelDbfs), tone.lengthS, startS, stepS, out);
}

function renderTwin(twin: TwinSegment, startS: number, stepS: number, out: Float64Array) {
  const peak = computePeakAmplitude(twin.levelDbfs) / 2;
  addTone(twin.lowHz, peak, twin.lengthS, startS, stepS, out);
  addTone(twin.highHz, peak, twin.lengthS, startS, stepS, out);
}

function renderSteps(steps: StepsSegment, startS: number, stepS: number, out: Float64Array) {
  steps.levelsDbfs.forEach((level, k) => {
    addTone(
      steps.frequencyHz,
      computePeakAmplitude(level),
      steps.stepS,
      startS - k * steps.stepS,
      stepS,
      out,
    );
  });
}

function renderPips(pips: PipsSegment, startS: number, stepS: number, out: Float64Array) {
  const peak = computePeakAmplitude(pips.levelDbfs);
  for (let k = 0; k < pips.count; k++) {
    addTone(pips.frequencyHz, peak, pips.pipS, startS - k * pips.spacingS, stepS, out);
  }
}

function addTone(
  frequencyHz: number,
  peak: number,
  lengthS: number,
  startS: number,
  stepS: number,
  out: Float64Array,
) {
  const [first, last] = clip(startS, stepS, lengthS, out.length);
  for (let i = first; i < last; i++) {
    const t = startS + i * stepS;
    out[i] +=
      peak *
      flank(t, lengthS, toneFadeS, toneFadeS) *
      Math.sin(2 * Math.PI * ((frequencyHz * t) % 1));
  }
}

/** Indices whose times lie in [0, lengthS). */
function clip(startS: number, stepS: number, lengthS: number, length: number): [number, number] {
  const first = Math.max(0, Math.ceil(-startS / stepS - 1e-9));
  const last = Math.min(length, Math.ceil((lengthS - startS) / stepS - 1e-9));
  return [first, last];
}

/** Raised-cosine envelope. */
function flank(t: number, lengthS: number, inS: number, outS: number): number {
  if (t < inS) return 0.5 - 0.5 * Math.cos((Math.PI * t) / inS);
  const left = lengthS - t;
  if (left < outS) return 0.5 - 0.5 * Math.cos((Math.PI * left) / outS);
  return 1;
}

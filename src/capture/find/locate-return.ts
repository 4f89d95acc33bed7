import { createOwnBuffer } from "../../dsp/buffer-pool.js";
import { renderSegment } from "../../signal/synthesise.js";
import type { MarkerSegment, SignalTable } from "../../signal/types.js";
import type { SampleReader } from "../containers/sample-reader.js";
import type { Marker } from "./markers.js";

/** Position of a return, to a fraction of a sample. */
export interface Location {
  /** Sample frame of the capture on which the signal's first sample falls. */
  readonly startSample: number;
  /** Capture clock relative to playing clock, parts per million. */
  readonly driftPpm: number;
  /** Amplitude of the start marker relative to the one sent; negative when inverted. */
  readonly gain: number;
}

/**
 * Lays the exact marker, stretched by the clock difference, over the capture at fractional
 * positions and takes the maximum of their correlation, first for start and end marker separately,
 * then again with the clock difference that they show.
 *
 * The maximum of the correlation is the maximum-likelihood delay in white noise; its spread at 10
 * dB signal-to-noise is near 0.003 samples (Cramér–Rao bound, S. M. Kay, "Fundamentals of
 * Statistical Signal Processing: Estimation Theory", ex. 3.13).
 *
 * @param reader the capture
 * @param channel 0-based
 * @param start marker found at the beginning
 * @param end marker found at the end
 * @param table the signal's segments
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const whole = [0, reader.frames];
 * const { pairs } = pairMarkers([scanBlock(reader, whole, whole)], reader.info.sampleRate);
 * const [{ start, end }] = pairs;
 * const place = locateReturn(reader, 0, start, end, buildSignalTable("quick", "base"));
 * // Played and recorded by one clock.
 * Math.abs(place.driftPpm) < 0.01; // true
 * reader.close();
 */
export function locateReturn(
  reader: SampleReader,
  channel: number,
  start: Marker,
  end: Marker,
  table: SignalTable,
): Location {
  const rate = reader.info.sampleRate;
  const first = findMarker(table, "start");
  const last = findMarker(table, "end");
  const spanS = last.startS - first.startS;
  let drift = 0;
  const [startsAt, endsAt] = alike(
    peaksNear(reader, channel, first, start.at),
    peaksNear(reader, channel, last, end.at),
  );
  let startAt: Fit = { at: startsAt, gain: 0 };
  let endAt: Fit = { at: endsAt, gain: 0 };
  for (let pass = 0; pass < 2; pass++) {
    const clock = rate * (1 + drift);
    startAt = fitMarker(reader, channel, first, startAt.at, clock);
    endAt = fitMarker(reader, channel, last, endAt.at, clock);
    drift = (endAt.at - startAt.at) / (spanS * rate) - 1;
  }
  return {
    startSample: startAt.at - first.startS * rate * (1 + drift),
    driftPpm: drift * 1e6,
    gain: startAt.gain,
  };
}

/**
 * The marker segment of a table.
 *
 * @example
 * // A tenth of a second into the signal.
 * findMarker(buildSignalTable("quick", "base"), "start").startS; // 0.1
 */
export function findMarker(table: SignalTable, which: "start" | "end"): MarkerSegment {
  const marker = table.segments.find((s) => s.kind === "marker" && s.which === which);
  if (marker?.kind !== "marker") throw new RangeError(`a signal without its ${which} marker`);
  return marker;
}

interface Fit {
  readonly at: number;
  readonly gain: number;
}

/** Maximum and minimum of a correlation, with their positions in sample frames. */
type Peaks = readonly [Fit, Fit];

/**
 * The peaks of both signs near a position. A path with 90° phase shift, e.g. from a dried-out
 * coupling capacitor, gives two of similar height, 180° apart.
 */
function peaksNear(
  reader: SampleReader,
  channel: number,
  marker: MarkerSegment,
  near: number,
): Peaks {
  const { sampleRate } = reader.info;
  const off = Math.ceil(besideS * sampleRate);
  const from = Math.max(0, Math.floor(near) - 2 * off);
  const length = Math.ceil(marker.lengthS * sampleRate) + 4 * off;
  const [heard, template] = roomFor(length + atOnce);
  heard.fill(0);
  reader.read(from, length, channel, heard);
  template.fill(0);
  renderSegment(marker, (from - near) / sampleRate, 1 / sampleRate, template);
  let highest: Fit = { at: near, gain: Number.NEGATIVE_INFINITY };
  let lowest: Fit = { at: near, gain: Number.POSITIVE_INFINITY };
  const gains = new Float64Array(atOnce);
  for (let first = -off; first <= off; first += atOnce) {
    correlate(heard, template, off, length - off, first, gains);
    for (let move = first; move < first + atOnce && move <= off; move++) {
      const gain = gains[move - first];
      if (gain > highest.gain) highest = { at: near + move, gain };
      if (gain < lowest.gain) lowest = { at: near + move, gain };
    }
  }
  return [highest, lowest];
}

/** Shifts computed together: independent sums need not wait for each other's additions. */
const atOnce = 4;

/**
 * Correlation of a template with the samples heard, shifted by `move` samples and by up to three
 * more.
 *
 * @param heard silence beyond its end
 *
 * @param from first sample of the template used
 *
 * @param until the one after the last
 * @param gains filled
 */
function correlate(
  heard: Float64Array,
  template: Float64Array,
  from: number,
  until: number,
  move: number,
  gains: Float64Array,
): void {
  let first = 0;
  let second = 0;
  let third = 0;
  let fourth = 0;
  for (let n = from, at = from + move; n < until; n++, at++) {
    const sent = template[n];
    first += heard[at] * sent;
    second += heard[at + 1] * sent;
    third += heard[at + 2] * sent;
    fourth += heard[at + 3] * sent;
  }
  gains[0] = first;
  gains[1] = second;
  gains[2] = third;
  gains[3] = fourth;
}

/** Both markers went through the same path, so both get the sign that is stronger in their sum. */
function alike(start: Peaks, end: Peaks): readonly [number, number] {
  const height = (k: 0 | 1) => Math.abs(start[k].gain + end[k].gain);
  const sign = height(0) >= height(1) ? 0 : 1;
  return [start[sign].at, end[sign].at];
}

/**
 * Seconds; a marker's peak is searched this far from its position: three quarters of its mean
 * period.
 */
const besideS = 1.5e-4;

function fitMarker(
  reader: SampleReader,
  channel: number,
  marker: MarkerSegment,
  near: number,
  clock: number,
): Fit {
  const from = Math.max(0, Math.floor(near) - pad);
  const length = Math.ceil(marker.lengthS * clock) + 2 * pad;
  const [heard, template] = roomFor(length);
  heard.fill(0);
  reader.read(from, length, channel, heard);
  const stepS = 1 / clock;
  const mostMove = mostMoveS * clock;

  // Each iteration makes the template at a fractional position once and correlates it at three: one
  // sample earlier, there and one sample later. The closer the vertex of the parabola through them,
  // the more exact it is.
  let at = near;
  let gain = 0;
  for (let round = 0; round < mostRounds; round++) {
    template.fill(0);
    renderSegment(marker, (from - at) * stepS, stepS, template);
    let before = 0;
    let here = 0;
    let after = 0;
    let energy = 0;
    for (let n = 1; n < length - 1; n++) {
      const sent = template[n];
      before += heard[n - 1] * sent;
      here += heard[n] * sent;
      after += heard[n + 1] * sent;
      energy += sent * sent;
    }
    gain = here / energy;
    const bend = before - 2 * here + after;
    // If inverted, the maximum is a minimum; its offset is found in the same way.
    const peaked = here < 0 ? bend > 0 : bend < 0;
    const uphill = Math.abs(after) > Math.abs(before) ? mostMove : -mostMove;
    const move = peaked ? (before - after) / (2 * bend) : uphill;
    at += Math.max(-mostMove, Math.min(mostMove, move));
    if (Math.abs(move) < settled) break;
  }
  return { at, gain };
}

/** Extra samples read on either side of a marker. */
const pad = 8;
/** Seconds; largest shift per iteration: the peak of the correlation is no wider. */
const mostMoveS = 3e-5;
const mostRounds = 8;
/** Samples; iteration ends below this, far less than the effect of noise. */
const settled = 2e-4;

const heardRoom = createOwnBuffer();
const templateRoom = createOwnBuffer();

/** Buffers for a marker as heard and as sent, kept between fits. */
function roomFor(length: number): readonly [Float64Array, Float64Array] {
  return [heardRoom(length), templateRoom(length)];
}

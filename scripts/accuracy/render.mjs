// Makes the samples of a virtual return. None of it is shared with src/simulate.
import { createFftPlan } from "../../dist/dsp/fft.js";
import { buildSignalTable } from "../../dist/signal/signal-table.js";
import { renderSegment } from "../../dist/signal/synthesise.js";

export const nominalDbfs = -18;
export const nominal = 10 ** (nominalDbfs / 20);

/**
 * A signal with some of its segments only, moved together: what a reading does not look at need not be
 * rendered.
 */
export function tableOf(names, band = "base", profile = "standard") {
  const whole = buildSignalTable(profile, band);
  let atS = 0.05;
  const segments = whole.segments
    .filter(({ name, kind }) => kind === "marker" || names.includes(name))
    .map((segment) => {
      const startS = atS;
      atS = Math.round((atS + segment.lengthS + 0.05) * 1e6) / 1e6;
      return { ...segment, startS };
    });
  return { ...whole, lengthS: atS, segments };
}

/** The signal as played, on a capture's clock, beginning at a fraction of a sample. */
export function playedSignal(table, sampleRate, next) {
  const clock = sampleRate * (1 + (400 * next() - 200) * 1e-6);
  const origin = 1200 + next();
  const samples = new Float64Array(Math.ceil(origin + table.lengthS * clock + 1200));
  for (const segment of table.segments) {
    if (segment.kind === "silence") continue;
    const first = Math.floor(origin + segment.startS * clock);
    const last = Math.ceil(origin + (segment.startS + segment.lengthS) * clock);
    const startS = (first - origin) / clock - segment.startS;
    renderSegment(segment, startS, 1 / clock, samples.subarray(first, last));
  }
  return { samples, origin, clock };
}

/** |H| at a frequency of gain, first-order high-pass and first-order low-pass. */
export function magnitude({ gainDb, lowHz, highHz }, hz) {
  const low = 1 / Math.sqrt(1 + (lowHz / hz) ** 2);
  const high = 1 / Math.sqrt(1 + (hz / highHz) ** 2);
  return 10 ** (gainDb / 20) * low * high;
}

/** Its phase, radians. */
export function phase({ lowHz, highHz }, hz) {
  return Math.atan(lowHz / hz) - Math.atan(hz / highHz);
}

/** Puts samples through the two filters, in the frequency domain, so exactly. */
export function throughFilters(samples, { gainDb, lowHz, highHz }, clock) {
  let size = 4;
  // Room for the slowest high-pass to die away before it wraps around.
  while (size < samples.length + clock / 2) size *= 2;
  const plan = createFftPlan(size);
  const room = roomOf(size);
  room.real.set(samples);
  room.real.fill(0, samples.length);
  plan.forwardReal(room.real, room.spectrum);
  const gain = 10 ** (gainDb / 20);
  const { spectrum } = room;
  for (let k = 0; k <= size / 2; k++) {
    const hz = (k * clock) / size;
    // jx/(1+jx) · 1/(1+jy)
    const x = hz / lowHz;
    const y = hz / highHz;
    const scale = gain / ((1 + x * x) * (1 + y * y));
    const hr = scale * (x * x + x * y);
    const hi = scale * (x - x * x * y);
    const re = spectrum[2 * k];
    const im = spectrum[2 * k + 1];
    spectrum[2 * k] = re * hr - im * hi;
    spectrum[2 * k + 1] = k === size / 2 ? 0 : re * hi + im * hr;
  }
  plan.inverseReal(spectrum, room.real);
  samples.set(room.real.subarray(0, samples.length));
  return samples;
}

const rooms = new Map();

function roomOf(size) {
  if (!rooms.has(size)) {
    rooms.set(size, { real: new Float64Array(size), spectrum: new Float64Array(size + 2) });
  }
  return rooms.get(size);
}

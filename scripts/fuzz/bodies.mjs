import assert from "node:assert/strict";
import { findReturns } from "../../dist/capture/find/find-returns.js";
import { buildSignalTable } from "../../dist/signal/signal-table.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { randomOf } from "./random.mjs";

const sampleRate = 48_000;
const table = buildSignalTable("quick", "base");
let sent;

/**
 * A capture that holds a return, spoilt in some of the ways recorders and people know; most are
 * short, as the markers are what the finder looks for.
 *
 * @returns channels, and where a return must be found, if it must
 */
export function bodyCase(seed) {
  const r = randomOf(seed);
  sent ??= synthesise(table, sampleRate);
  const kind = r.below(8);
  if (kind > 0) return { channels: [fragment(r)] };
  const before = r.below(sampleRate / 2);
  const gain = (r.chance(0.5) ? 1 : -1) * 10 ** (-r.next() * 2);
  const capture = new Float64Array(before + sent.length + r.below(5000));
  for (let n = 0; n < sent.length; n++) capture[before + n] = gain * sent[n];
  const noise = Math.abs(gain) * 0.01 * r.next();
  for (let n = 0; n < capture.length; n++) capture[n] += noise * (r.next() - 0.5);
  const harm = r.below(4);
  if (harm === 0) return { channels: [spoilt(capture, r)] };
  if (harm === 1)
    return { channels: [capture, capture.map((x) => x * r.of([0, 1, -1, 0.01]))], at: before };
  return { channels: [capture], at: before };
}

/** A second or so of anything: parts of the signal, steps, noise, numbers at the edge. */
function fragment(r) {
  const out = new Float64Array(1 + r.below(sampleRate));
  for (let k = r.below(4); k >= 0; k--) {
    const at = r.below(out.length);
    const count = r.below(out.length - at + 1);
    const from = r.below(sent.length - 1);
    const what = r.below(7);
    const size = 10 ** (2 - 8 * r.next());
    for (let n = 0; n < count; n++) {
      if (what === 0) out[at + n] += size * (r.next() - 0.5);
      else if (what === 1) out[at + n] = r.of([1, -1, 0]);
      else if (what === 2) out[at + n] += size * Math.sin((n * (k + 1)) / 7);
      else if (what === 3) out[at + n] = size;
      else if (what === 4) out[at + n] = n % 2 ? size : -size;
      else out[at + n] += size * (sent[from + n] ?? 0);
    }
  }
  return out;
}

function spoilt(capture, r) {
  const at = r.below(capture.length);
  const count = r.below(capture.length - at);
  const what = r.below(5);
  if (what === 0) return capture.slice(at);
  if (what === 1) return capture.slice(0, at);
  if (what === 2) return capture.fill(0, at, at + count);
  if (what === 3) return capture.copyWithin(at, r.below(capture.length));
  return capture.map((x) => Math.max(-0.05, Math.min(0.05, 20 * x)));
}

/** @returns {"found" | "none"} */
export function findBodyCase(seed) {
  const { channels, at } = bodyCase(seed);
  const frames = channels[0].length;
  const info = {
    file: "fuzz.wav",
    sampleFormat: "float",
    bits: 64,
    channels: channels.length,
    sampleRate,
    frames,
    dataOffset: 0,
    cues: [],
    doubts: [],
  };
  const reader = {
    info,
    frames,
    badSamples: 0,
    read(first, count, channel, out) {
      const part = channels[channel].subarray(first, first + count);
      out.set(part);
      return part.length;
    },
    close() {},
  };
  const { returns, cuts, heard } = findReturns(reader);
  for (const { startSample, lengthSamples, gain, driftPpm, likeness } of returns) {
    assert([startSample, lengthSamples, gain, driftPpm].every(Number.isFinite), "no number");
    assert(startSample > -sampleRate && startSample < frames, "a return outside the capture");
    assert(likeness > 0 && likeness <= 1 + 1e-9, "a likeness that is none");
  }
  for (const { startSample, atSample } of cuts) {
    assert(Number.isFinite(startSample) && atSample > -sampleRate && atSample < frames);
  }
  assert(
    heard.every(({ peak, rms }) => peak >= 0 && rms <= peak + 1e-12),
    "what was heard",
  );
  if (at !== undefined) {
    assert(returns.length === 1, `${returns.length} returns where one was put`);
    assert(Math.abs(returns[0].startSample - at) < 1, "a return in the wrong place");
  }
  return returns.length > 0 ? "found" : "none";
}

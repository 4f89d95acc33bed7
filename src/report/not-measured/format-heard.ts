import type { Heard, Unheard } from "../../not-measured.js";
import { formatSigned } from "../../text/format-signed.js";
import { formatMissingMiddle } from "../doubts/format-incomplete-doubt.js";

type Wording = {
  readonly [C in Unheard["code"]]: (heard: Extract<Unheard, { code: C }>) => string;
};

const wording: Wording = {
  "other-version": () => "markers of another version of the signal",
  "outputs-mixed": () => "several outputs at once on one channel",
  incomplete: ({ part, isInvalid }) =>
    isInvalid
      ? `${formatPart(part)}, and some of whose samples are NaN or infinite`
      : formatPart(part),
  "digital-silence": () => "digital silence",
  "invalid-samples": ({ share }) =>
    `no sound: ${formatShare(share)} of its samples are NaN or infinite, or far beyond full scale`,
  clipped: ({ share }) => `a clipped signal, ${formatShare(share)} of its samples at full scale`,
  silence: ({ peakDbfs }) => `silence, nothing above ${formatPeak(peakDbfs)}`,
  "too-low": ({ peakDbfs }) => `a level far too low, nothing above ${formatPeak(peakDbfs)}`,
  "no-markers": ({ peakDbfs }) =>
    `sound up to ${formatPeak(peakDbfs)}, but not the signal's markers`,
  "named-silent": () => "named silent",
  "side-silent": ({ side }) => `the ${side} side is silent`,
  "as-recorded": ({ reason }) => reason,
  trace: ({ levelDb }) => `only a trace, ${formatWhole(levelDb)} dB of what was sent`,
  "silent-turn": ({ output, atS }) =>
    `nothing came back in the turn of output ${output}, ${atS.toFixed(1)} s into the recording`,
};

/**
 * What a recording holds instead of a whole return: completes "what was heard is …".
 *
 * @example
 * formatHeard({ code: "silence", peakDbfs: -90.2 }); // "silence, nothing above −90 dBFS"
 */
export function formatHeard(heard: Unheard): string {
  return (wording[heard.code] as (heard: Unheard) => string)(heard);
}

function formatPart(part: Extract<Heard, { code: "incomplete" }>["part"]): string {
  const at = `${part.atS.toFixed(1)} s`;
  switch (part.missing) {
    case "start":
      return `the end of a return, at ${at}, whose start is missing`;
    case "middle":
      return `a return that starts at ${at} and ${formatMissingMiddle(part)}`;
    case "end":
      return `a return that starts at ${at} and was cut off before its end`;
  }
}

function formatPeak(dbfs: number): string {
  return `${formatWhole(dbfs)} dBFS`;
}

function formatWhole(db: number): string {
  return formatSigned(db.toFixed(0));
}

function formatShare(share: number): string {
  const percent = 100 * share;
  return `${percent < 10 ? percent.toFixed(1) : percent.toFixed(0)} %`;
}

import { toDisplayName } from "../../capture/containers/open-file.js";
import type { IncompletePart } from "../../doubt.js";
import type { Absence } from "../../measure/absence.js";
import type { NotMeasured, SignalTimes, TakeFault } from "../../not-measured.js";
import { formatCount } from "../../text/format-count.js";
import { formatList } from "../../text/format-list.js";
import { formatAbsence } from "../absences/format-absence.js";
import { formatMissingMiddle } from "../doubts/format-incomplete-doubt.js";
import { formatHeard } from "./format-heard.js";
import { formatCutShort } from "./heard-advice.js";

type Wording = {
  readonly [C in TakeFault["code"]]: (fault: Extract<TakeFault, { code: C }>) => string;
};

const again = "record it again";

const wording: Wording = {
  missing: () => "no return was assigned to it",
  "nothing-back": ({ heard }) => `nothing of the signal came back (${formatHeard(heard)})`,
  "side-silent": ({ side }) => formatHeard({ code: "side-silent", side }),
  "no-return": ({ heard }) =>
    // A desk and a converter always make some noise, even if the path passes nothing.
    heard.code === "digital-silence"
      ? "nothing was recorded (digital silence): was the track armed, and the right input chosen? Record it again; if nothing came back from the path, name it with --silent"
      : `no return was found; what was heard is ${formatHeard(heard)}`,
  "cut-short": ({ cut }) =>
    `its recording was cut short, with ${formatCutShort(cut)} left; copy it again from the recorder, or ${again}`,
  "invalid-samples": () =>
    "some of its samples are NaN or infinite, far beyond full scale, or lost in a damaged file: the program or the disk that wrote them failed; copy the file again, or record it again, as integers if it happens again",
  incomplete: ({ part }) => formatIncomplete(part),
  slip: ({ samples, sampleRate, between }) => {
    const ms = (1000 * Math.abs(samples)) / sampleRate;
    const did = samples < 0 ? "lost" : "repeated";
    const count = `about ${Math.abs(samples)} samples (${ms.toPrecision(2)} ms)`;
    const where = between ? ` ${formatTimes(between)}` : " within the return";
    return `the recorder ${did} ${count}${where}; ${again}`;
  },
  "other-speed": ({ longerPpm }) => {
    const percent = (Math.abs(longerPpm) / 1e4).toPrecision(2);
    const how = longerPpm > 0 ? "slower" : "faster";
    return `the whole return runs ${percent} % ${how} than the signal, more than clocks differ; play and record at the signal's own sample rate, without conversion, and ${again}`;
  },
  dropout: formatDropout,
  unreadable: ({ because, clipped }) => {
    const why =
      because === undefined ? "nothing could be measured" : formatAbsence(because as Absence);
    if (clipped === undefined) return why;
    const { fromS } = clipped;
    const when = fromS === undefined ? "" : ` from ${fromS.toFixed(2)} s of the signal on`;
    return `${why}${when}; turn down the interface's input and ${again}`;
  },
  overlap: ({ other }) =>
    `another return ${other === "earlier" ? "is not over yet" : "begins before it is over"}: the two overlap; play one at a time and ${again}`,
  "copy-of-take": ({ number }) => `a copy of take ${number}, identical to the sample`,
  "copy-of-path": ({ of }) => {
    const where = of.map(({ path, file, channel }) => {
      if (file !== undefined) return `${path} in ${toDisplayName(file)}`;
      return channel === undefined ? path : `${path} on channel ${channel + 1}`;
    });
    return `identical to the sample with ${formatList(where)}: one is a copy, or one output was recorded as two; ${again}`;
  },
  "output-mute": ({ output }) =>
    `output ${output} was not found in any pass: does the player play it, and is it connected? Nothing is known about the path`,
  "channel-dropped": ({ channel }) =>
    `the recorder dropped channel ${channel + 1}, on which this path was to come back; ${again}`,
  "channel-beyond": ({ channel, channels }) =>
    `the recording has ${formatCount(channels, "channel")}, and this path was to come back on channel ${channel + 1}: the recorder dropped it; ${again}`,
  "channel-empty": ({ channel }) =>
    `channel ${channel + 1} holds digital silence: the recorder dropped it; was its track armed? Record it again`,
  "channel-missing": ({ channels, planned }) =>
    `nothing came back at its turn, but the recording has ${formatCount(channels, "channel")} and the run sheet uses ${planned}: the recorder may have dropped that of this path; ${again}`,
  "channel-copied": ({ channel, of }) =>
    `channel ${channel + 1}, on which it was to come back, is a copy of channel ${of + 1}, identical to the sample: the recorder recorded one input twice; ${again}`,
  "channel-of-other": ({ channel, output }) =>
    `channel ${channel + 1}, on which it was to come back, holds what output ${output} plays, about as strong as on its own channel: recorded twice, or mixed on the way; ${again}`,
  "mixed-down": ({ pass }) =>
    `pass ${pass} was recorded on one channel, other passes on a channel for each path: their levels cannot be compared; ${again}`,
  "turn-missing": ({ output, pass }) =>
    `the turn of output ${output} in pass ${pass} is not in the recording; ${again}`,
  "turn-incomplete": ({ atS }) =>
    `only part of its return is in the recording, ${atS.toFixed(1)} s into it; ${again}`,
  "other-channel": ({ output, channel, expected, pass }) =>
    `output ${output} came back on channel ${channel + 1}, not on ${expected + 1}: it was not patched as planned, at one end or the other; patch it again and play pass ${pass} once more`,
  "converter-clipped": () => "the converter clipped in it",
  "side-empty": () => "one of its sides was not recorded",
};

/**
 * Why a path or a take could not be measured, or what is wrong with its recording: completes
 * "7/mic: …".
 *
 * @example
 * formatNotMeasured({ code: "copy-of-take", number: 1 }); // "a copy of take 1, identical to the sample"
 */
export function formatNotMeasured(fault: TakeFault): string {
  return (wording[fault.code] as (fault: TakeFault) => string)(fault);
}

function formatIncomplete({ missing, slipS, endsIn }: IncompletePart): string {
  if (missing !== "middle") return `the ${missing} of its return is not in the recording; ${again}`;
  if (slipS > 0) {
    const longer = formatMissingMiddle({ slipS });
    return `the return ${longer}: a part of it was repeated, or the player stopped partway through; ${again}`;
  }
  const where = endsIn === undefined ? "" : ", which continues in another file";
  const lost = `more than half a second (about ${Math.abs(slipS).toFixed(1)} s)`;
  return `the recorder lost ${lost} within the return${where}; ${again}`;
}

/** What the recorder did to a return of which it lost or repeated samples. */
function formatDropout({
  what,
  samples,
  between,
  more,
}: Extract<NotMeasured, { code: "dropout" }>): string {
  const count = formatCount(samples, "sample");
  const did = what === "held" ? `held one value for ${count}` : `${what} ${count}`;
  const often = more > 0 ? `, and ${more} more times` : "";
  const isBlock = what === "held" || (what === "repeated" && samples >= minBlock);
  return `the recorder ${did} ${formatTimes(between)}${often}; ${isBlock ? blockAdvice : clockAdvice}`;
}

/**
 * From this many samples on, a buffer ran dry; fewer are lost or repeated by clocks that differ.
 */
const minBlock = 32;
const blockAdvice = `close other programs, give the interface a larger buffer and ${again}`;
const clockAdvice = `let both machines run on one clock, close other programs and ${again}`;

/** A dropout located to within this is given a single time, seconds. */
const sharpS = 0.1;

function formatTimes([fromS, toS]: SignalTimes): string {
  return toS - fromS < sharpS
    ? `${((fromS + toS) / 2).toFixed(2)} s into the signal`
    : `between ${fromS.toFixed(1)} s and ${toS.toFixed(1)} s of the signal`;
}

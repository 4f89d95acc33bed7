import { toDisplayName } from "../../capture/containers/open-file.js";
import { formatPathList } from "../../desk/format-path-list.js";
import type { Doubt, DoubtCode } from "../../doubt.js";
import { findCurveKind } from "../../measure/curve-kinds.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import { formatCount } from "../../text/format-count.js";
import { formatHertz } from "../../text/format-hertz.js";
import { formatList } from "../../text/format-list.js";
import { formatChange } from "../../text/format-signed.js";
import { formatCommand } from "../../text/program-name.js";
import { formatHeard } from "../not-measured/format-heard.js";
import { formatGaps } from "./format-gaps.js";
import { formatIncompleteDoubt } from "./format-incomplete-doubt.js";
import { formatLoopPlace } from "./format-loop-place.js";
import { formatTakes } from "./format-takes.js";
import { formatWhy } from "./word-doubt.js";

type Wording = { readonly [C in DoubtCode]: (doubt: Extract<Doubt, { code: C }>) => string };

const files = (names: readonly string[]) =>
  formatList([...new Set(names.map((name) => toDisplayName(name)))]);

const channelNumbers = (channels: readonly number[]) =>
  `${channels.length === 1 ? "channel" : "channels"} ${channels.map((channel) => channel + 1).join(", ")}`;

const kHz = (hz: number) => `${hz / 1000} kHz`;

const wording: Wording = {
  "length-not-given": ({ file, bytes }) =>
    `${toDisplayName(file)}: the recording was not closed properly, its header gives no length; all ${bytes} bytes after the header were read as samples.`,
  "samples-cut-short": ({ file, promisedBytes, bytes }) =>
    `${toDisplayName(file)}: the header promises ${promisedBytes} bytes of samples, but the file holds only ${bytes}: the recording or its copy was cut short. What there is was read; copy it again, or record the paths that are missing.`,
  "frames-not-given": ({ file, frames, upTo }) =>
    `${toDisplayName(file)}: the recording was not closed properly, its header gives no length; all ${frames} sample frames ${upTo === "end" ? "in it" : "up to the last whole frame"} were read.`,
  "frames-cut-short": ({ file, promisedFrames, frames }) =>
    `${toDisplayName(file)}: the header promises ${promisedFrames} sample frames, but the file holds only ${frames}: the recording or its copy was cut short. What there is was read; copy it again, or record the paths that are missing.`,
  "more-frames": ({ file, promisedFrames, frames, read }) =>
    `${toDisplayName(file)}: holds ${frames} sample frames, more than the ${promisedFrames} that its header gives; ${read === "all" ? "all" : "only these"} were read. The header may be wrong.`,
  "chunk-cut-short": ({ file, chunk }) =>
    `${toDisplayName(file)}: the chunk "${chunk}" after the samples is cut short and was not read.`,
  "several-recordings": ({ file }) =>
    `${toDisplayName(file)}: holds more than one recording; only the first was read.`,
  "first-samples-empty": ({ file, atByte }) =>
    `${toDisplayName(file)}: its first chunk of samples is empty; those of a later one, from byte ${atByte} on, were read.`,
  "last-frame-incomplete": ({ file }) =>
    `${toDisplayName(file)}: its last sample frame is incomplete and was left out.`,
  "unknown-bytes": ({ file, bytes, sampleBytes }) =>
    sampleBytes === undefined
      ? `${toDisplayName(file)}: ${bytes} bytes after the last frame are not described by the header, and were not read.`
      : `${toDisplayName(file)}: ${bytes} bytes after the ${sampleBytes} bytes of samples are not described by the header, and were not read; the header may be wrong.`,
  "invalid-samples": formatInvalidSamples,
  "damaged-frames": ({ file, frames, fromS, untilS, places }) =>
    `${toDisplayName(file)}: ${frames} sample frames between ${fromS.toFixed(1)} s and ${untilS.toFixed(1)} s${places > 1 ? `, in ${places} places,` : ""} are damaged (the file's checksums fail there) and were treated as silence. ${damagedAdvice}`,
  "samples-altered": ({ file }) =>
    `${toDisplayName(file)}: its samples are not those that were written: each part of it is intact, but the checksum over all of them fails. The file was changed after it was written: copy it again from the recorder.`,
  "more-than-two-channels": ({ file }) =>
    `${toDisplayName(file)}: returns are on more than two channels at once; the loudest channel of each was measured. If each channel is a path, say so with \`channels\` in desk.yaml, or with --map.`,
  "taken-for-crosstalk": ({ file, channels, atS }) =>
    `${toDisplayName(file)}: what ${channelNumbers(channels)} ${channels.length === 1 ? "holds" : "hold"} at ${atS.toFixed(1)} s is far below the return at another time and was treated as crosstalk: the path whose turn it was passed almost nothing.`,
  "outputs-mixed": ({ file, channels, of }) =>
    `${toDisplayName(file)}: outputs that play at once overlap on ${channelNumbers(channels)}${of > channels.length ? ` of ${of}` : ""}: a pass whose outputs play together was mixed before it was recorded. These returns were left out. Record each path on a channel of its own, or play the pass whose outputs take turns.`,
  "more-passes": ({ passes, planned }) =>
    `${formatCount(passes, "pass", "passes")} more than the ${planned} on the run sheet; left out. If only some paths were played, name them with --only, as for the sheet.`,
  "passes-out-of-order": ({ passes }) =>
    `${formatList(passes.map(({ file, pass }) => `pass ${pass} in ${toDisplayName(file)}`))}: the channels show that this is not the order of the run sheet; each was assigned to its own pass.`,
  "fewer-passes": ({ passes, planned, taken }) => {
    const as =
      taken === undefined
        ? "the first"
        : `${taken.length === 1 ? "pass" : "passes"} ${formatList(taken.map(String))}`;
    return `${formatCount(passes, "pass", "passes")} of the ${planned} on the run sheet: taken as ${as}. If another one is missing, name each file for its pass, e.g. "pass 3.wav".`;
  },
  "passes-of-which-sheet": ({ passes, planned }) =>
    `${formatCount(passes, "pass", "passes")}: taken as those of the sheet for the paths asked for. They could equally be among the ${planned} of the whole desk, where the same outputs feed other strips: if they are, leave out --only.`,
  "channel-copied": ({ file, channel, of }) =>
    `${toDisplayName(file)}: channel ${channel + 1} is a copy of channel ${of + 1}, identical to the sample: the recorder recorded one input twice. What channel ${channel + 1} should hold is not in the recording.`,
  "outputs-not-heard": ({ outputs }) =>
    `Nothing from ${outputs.length === 1 ? "output" : "outputs"} ${formatList(outputs.map(String))} was recorded in any pass: check that the player plays that many channels, and that they are connected. Their paths were not measured.`,
  "strip-or-output": ({ paths }) =>
    `${formatList(paths)}: strip, cable and output of the interface cannot be told apart, as no other path of the same kind was fed by the same output. Feed ${paths.length === 1 ? "it" : "them"} from another output and play again before a strip is opened.`,
  "strips-or-way": ({ part, paths, of }) =>
    `Cannot tell which: ${part}, or ${formatList(paths)} (of ${formatCount(of, "path")} that went through ${part}). Play one of them again through another output, cable and bus before a strip is opened: a fault that goes away then is not in the strip.`,
  "output-not-planned": ({ output, pass }) =>
    `Output ${output} was found in pass ${pass}, in which the run sheet does not use it; it was left out. Was the pass played with another desk file, or out of order? A file named "pass 3.wav" is assigned to pass 3.`,
  "pass-on-one-channel": ({ file, pass, isLeftOut }) =>
    `${toDisplayName(file)}: pass ${pass} was recorded on one channel, though its paths come back on separate channels${
      isLeftOut
        ? ", as those of other passes did. It was left out, as levels of a mix cannot be compared with theirs: record it again."
        : ": noise, hum and clicks are those of all its strips together."
    }`,
  "channels-fewer": ({ file, channels, named }) =>
    `${toDisplayName(file)}: ${channels} channels, and desk.yaml names ${named}: the recorder dropped one that none of these passes uses, or was set to fewer. Nothing of this recording is lost; check the recorder before you make others.`,
  "channel-dropped": ({ file, channel, from }) =>
    `${toDisplayName(file)}: ${from === undefined ? `channel ${channel + 1}` : `one of channels ${from + 1} to ${channel + 1}`} is missing and all later ones are one too low: the recorder dropped it. The others were assigned by the outputs that they respond to.`,
  "channels-exchanged": ({ file, pass, outputs }) =>
    `${toDisplayName(file)}: in pass ${pass} ${outputs.map(({ output, expected, channel }) => `output ${output} came back on channel ${channel + 1} instead of ${expected + 1}`).join(", ")}: swapped at the outputs, at the recorder or in routing; it is not known where. Their paths were left out.`,
  "other-version": ({ file }) =>
    `${toDisplayName(file)}: besides its returns it holds markers of another version of the signal, which were left out. Record these paths again with the signal of \`${formatCommand("signal")}\`.`,
  "is-the-signal": ({ file }) =>
    `${toDisplayName(file)}: is the test signal itself and was left out.`,
  "no-return": ({ file, instead, heard: words, path }) => {
    const heard = instead === undefined ? words : formatHeard(instead);
    const what = `${toDisplayName(file)}: no return was found; what was heard is ${heard}.`;
    return path === undefined
      ? what
      : `${what} By the order of the files it is the recording of ${path}.`;
  },
  "name-near-pattern": ({ file, pattern, strip }) =>
    `${toDisplayName(file)}: fits the pattern "${pattern}" except for strip ${strip}, which this desk does not have.`,
  "name-without-strip": ({ file, words, inputs }) =>
    `${toDisplayName(file)}: "${words.join('", "')}" in its name is not a strip of this desk; treated as all strips of ${inputs.join(" and ")}.`,
  "name-of-unknown-strip": ({ file, strip }) =>
    `${toDisplayName(file)}: its name says strip ${strip}, but this desk has no strip ${strip}.`,
  "number-as-strip": ({ file, strip }) =>
    `${toDisplayName(file)}: "${strip}" in its name is read as strip ${strip}; if it means something else, say with --map what the file holds.`,
  "not-asked-for": ({ file, paths }) =>
    `${toDisplayName(file)}: is named for ${formatList(paths)}, which was not asked for.`,
  "channel-without-path": ({ file, channels }) =>
    `${toDisplayName(file)}: returns are on ${channelNumbers(channels)}, for which no path is known; they were left out. Name them in \`channels\` of the desk file, or with --map.`,
  "order-repeated": ({ files: names, returns, paths, times, first, last, instead }) => {
    const taken = `${files(names)}: ${formatCount(returns, "return")} for ${formatCount(paths, "path")}; taken as ${times} takes of each: ${first} to ${last} in order, ${times} times over.`;
    const other =
      instead === undefined
        ? " If the later ones are of another input, say which return is which with --map."
        : ` If they are ${first} to ${instead.at(-1)} in the run sheet's order, add: --map ${formatPathList(instead)}`;
    return `${taken} If each path was played ${times} times in a row, say which return is which with --map.${other}`;
  },
  "more-played-than-asked": ({ files: names, returns, first, last, kept }) =>
    `${files(names)}: ${formatCount(returns, "return")} for ${formatCount(kept.length, "path")} asked for; taken as ${first} to ${last} in order, of which ${formatList(kept)} ${kept.length === 1 ? "was" : "were"} kept. If others were played, say which with --map.`,
  "more-returns-than-paths": ({ files: names, returns, paths }) => {
    const surplus = returns - paths;
    const last = surplus === 1 ? "the last one was" : `the last ${surplus} were`;
    const what =
      paths === 0
        ? `${files(names)}: no path is left for ${formatCount(surplus, "return")}`
        : `${files(names)}: ${formatCount(returns, "return")} for ${formatCount(paths, "path")}; ${last} left out`;
    return `${what}. If one was played twice, say which with --map.`;
  },
  "fewer-returns-than-paths": ({ files: names, returns, paths, without: [first, last] }) =>
    `${files(names)}: ${formatCount(returns, "return")} for ${formatCount(paths, "path")}; taken in order, which leaves ${first === last ? first : `${first} to ${last}`} without a return. If another path was skipped, record it in a separate file named for it, and analyze it with the others; name with --silent what was played and gave nothing back.`,
  "not-in-map": ({ files: names, returns }) =>
    `${files(names)}: ${formatCount(returns, "return")} not named by the map ${returns === 1 ? "was" : "were"} left out.`,
  "room-for-a-signal": formatGaps,
  "order-against-numbers": ({ before, after }) =>
    `${toDisplayName(before)} is listed before ${toDisplayName(after)}, though its number is the higher one; the order was kept as given. If it is not that of the paths, name the recordings in the order of their numbers.`,
  "silent-channel": ({ file, channel, path, otherFile }) =>
    `${toDisplayName(file)}: nothing came back on channel ${channel + 1} for ${path}, but ${toDisplayName(otherFile)} holds a return of it.`,
  "incomplete-return": formatIncompleteDoubt,
  "inputs-exchanged": ({ inputs: [a, b], affected, round }) =>
    `${affected} returns fit ${round === undefined ? "what their inputs amplify" : `round ${round}`} better with ${a} and ${b} swapped on all strips. Were the recordings named, or the inputs patched, the wrong way round? If so, name the recordings for their inputs (${a}.wav, ${b}.wav) in the other order, or say with --map which return is which.`,
  "many-newly-odd": ({ family, paths, of: all, round }) =>
    `${paths.length} of ${all} ${family} paths stand out that did not in round ${round} (${formatList(paths.slice(0, 3))}${paths.length > 3 ? ", …" : ""}): more than new faults explain. First check the order of the recordings, the patch and the run sheet's settings; if a path was mistaken for another, record it in a separate file named for it, or say with --map which return is which.`,
  "order-shifted": ({ places, first, file, affected, between, round }) => {
    const whom = round === undefined ? "the families" : `round ${round}`;
    if (between !== undefined) {
      const [from, to] = between;
      return places === "late"
        ? `${toDisplayName(file)}: from somewhere between ${from} and ${to} on the returns look one place late against ${whom}: most likely one of these paths was skipped. Find which (ticks on the run sheet, what was said while recording), record it in a separate file named for it and analyze that with the others, or say with --map which return is which. --silent is for paths that were played and gave nothing back.`
        : `${toDisplayName(file)}: from somewhere between ${from} and ${to} on the returns look one place early against ${whom}: most likely one path there was played twice. Say with --map which return is which, with \`-\` for the one to leave out.`;
    }
    const what =
      places === "late"
        ? `From ${first} on the returns look one place late against ${whom}, ${affected} of them: was ${first} skipped? Then record ${first} in a separate file named for it, and analyze it with the others`
        : `From ${first} on the returns look one place early against ${whom}, ${affected} of them: was the path before played twice? Then leave that return out with \`-\` in a map`;
    return `${toDisplayName(file)}: ${what}, or say with --map which return is which. --silent is for paths that were played and gave nothing back.`;
  },
  "files-exchanged": ({ likelier, affected, round }) =>
    `${affected} returns fit ${round === undefined ? "the families" : `round ${round}`} better with the recordings in another order: ${likelier.map(toDisplayName).join(" ")}. If that is the order in which they were made, name them so.`,
  "takes-unlike": ({ paths, instead }) =>
    `The takes of ${formatList(paths.slice(0, 3))}${paths.length > 3 ? " and others" : ""} differ more than two different paths do.${instead === undefined ? " Are they of different inputs? Say" : ` If the later ones are ${instead[0]} to ${instead[1]} in the order of the run sheet, say`} with --map which return is which.`,
  "reference-missing": ({ name, turns }) =>
    turns === "both"
      ? `The reference path (${name}) was not recorded: faults of bus, interface and strips are harder to tell apart, and what drifted is not known. Play it first and last, or take \`reference-path\` out of desk.yaml.`
      : `The reference path (${name}) was recorded only ${turns === "last" ? "first" : "last"}: what drifted over the round is not known. Play it ${turns} too.`,
  "reference-unusable": ({ name, turn, ...why }) =>
    `The reference path (${name}), played ${turn}, could not be measured: ${formatWhy(why)}.`,
  "level-drifted": ({ name, changeDb, course }) =>
    `The level of the reference path (${name}) changed by ${signedDb(changeDb)} over the round${course === "unclear" ? ", at an unknown time" : ""}; it was not subtracted. Levels of paths are uncertain by as much. Let the desk warm up, touch no level, and record again.`,
  "readings-drifted": ({ name, readings }) =>
    `Over the round the reference path (${name}) changed: ${readings.slice(0, 4).map(formatDrifted).join(", ")}. If paths in between show the same, the cause may be the desk or the interface, not the strips. Let the desk warm up and record again.`,
  "round-passed-over": ({ because }) =>
    `Nothing was compared with a round that was skipped. ${because}`,
  "same-recordings": ({ round, files: names, share }) =>
    `${share === "all" ? "The recordings are" : `${files(names)} ${names.length === 1 ? "is" : "are"}`} the same as in round ${round}. If this round is to take its place: ${formatCommand(`withdraw ${round}`)}.`,
  "without-path": ({ returns }) =>
    `${returns} ${returns === 1 ? "return belongs" : "returns belong"} to no path and ${returns === 1 ? "was" : "were"} left out.`,
  "several-takes": formatTakes,
  "paths-with-takes": ({ count, paths }) =>
    `${count} paths were recorded more than once (${paths.join(", ")}, …); the last take of each counts.`,
  "mixed-signals": ({ kinds }) =>
    `The returns are of several kinds (${kinds.map(({ profile, sampleRateHz }) => `${profile} at ${kHz(sampleRateHz)}`).join(", ")}); siblings compare best when all are of one kind.`,
  "sweep-beyond-rate": ({ paths, sampleRateHz, sweepTopHz }) =>
    `${formatList(paths)}: recorded at ${kHz(sampleRateHz)}, but the sweep runs to ${kHz(sweepTopHz)}: the response is read up to 20 kHz, and no corner above it. Record at the rate of the signal to see more.`,
  "low-level": ({ belowDb }) =>
    `All returns are at least ${belowDb.toFixed(0)} dB below what was played, so the interface's own noise may hide the paths'. Turn up its input until a healthy path returns about −18 dBFS, and record again.`,
  "all-inverted": ({ paths, calibrated }) =>
    `All ${paths} paths come back inverted, which comparing them with each other does not show. If the desk is meant to keep polarity, ${
      calibrated
        ? "check the cables between desk and interface (pins 2 and 3 swapped), then at the master output."
        : "record a loopback of the interface: if that is inverted too, it is the interface or its cable (pins 2 and 3 swapped); otherwise it is the cable to the desk or the master output."
    }`,
  clipped: ({ paths }) =>
    `${formatList(paths)}: the converter clipped in a part of the return; what is read from that part is missing. Turn down the interface's input and record again.`,
  "empty-side": ({ paths, side }) =>
    `${formatList(paths)}: the ${side} side is digital silence, as from a track that was not armed, while other returns have both; only one side was measured. Check the recording, and record it again.`,
  "odd-clock": ({ path, file, offPpm, samples }) =>
    `${path}: the clocks ran ${Math.abs(offPpm).toFixed(0)} ppm off those of the other returns. If player and recorder were the same, about ${samples} samples were ${offPpm > 0 ? "repeated" : "lost"} in ${toDisplayName(file)}: record it again.`,
  "calibration-of-another-year": ({ day, days }) =>
    `The calibration is of ${day}, ${formatCount(Math.round(days / 30.44), "month")} ${days > 0 ? "before" : "after"} the recordings. If another interface or setting has been used since, record a loopback now, run \`${formatCommand("calibrate")}\`, and analyze again.`,
  "calibration-of-other-words": ({ day, loopback, round }) =>
    `The loopback of ${day} was recorded at ${loopback} bits and the round at ${round}: the noise of the ${Math.min(loopback, round)} bits is in only one of them, and how much of it is not known, so the noise of quiet paths is less certain. Record both at ${Math.max(loopback, round)} bits.`,
  "loopback-of-two-clocks": ({ driftPpm, ...place }) =>
    `${formatLoopPlace(place)}: player and recorder ran ${Math.abs(driftPpm).toFixed(0)} ppm apart, so they are two devices; the calibration is valid for the two together.`,
  "loopback-inverted": ({ channel }) =>
    `Channel ${channel + 1}: the loopback comes back inverted. This is attributed to the interface; if the loopback cable swaps pins 2 and 3, the polarity of every path will be wrong.`,
  "half-voltage": ({ wholeDbu, wholeVolts }) =>
    `The voltage at the output is half of the ${wholeVolts.toPrecision(4)} V (${wholeDbu} dBu) at which desk.yaml feeds the inputs. If it was measured between pin 2 or 3 and ground, measure between pin 2 and pin 3 and calibrate again; if the output is unbalanced or set lower on purpose, it is right.`,
  "calibration-misfit": ({ day, misfit }) =>
    `Measured uncalibrated, levels in dBFS and gains relative: ${formatMisfit(misfit)}, which the calibration of ${day} does not cover. Record a loopback like the round, run \`${formatCommand("calibrate")}\`, then analyze again.`,
};

/**
 * The words of a doubt: one or a few sentences for the person at the desk, with what to do.
 *
 * @param doubt what may make a verdict wrong
 * @returns sentences on one line
 * @example
 * formatDoubt({ code: "without-path", returns: 2 });
 * // "2 returns belong to no path and were left out."
 */
export function formatDoubt(doubt: Doubt): string {
  return (wording[doubt.code] as (one: Doubt) => string)(doubt);
}

function signedDb(db: number): string {
  return `${formatSignedFixed(db)} dB`;
}

function formatSignedFixed(value: number): string {
  return formatChange(value.toFixed(Math.abs(value) < 9.95 ? 1 : 0));
}

function formatDrifted({
  reading,
  change,
  unit,
  atHz,
}: Of<"readings-drifted">["readings"][number]): string {
  const name = findReadingKind(reading)?.name ?? findCurveKind(reading)?.name ?? reading;
  const at = atHz === undefined ? "" : ` at ${formatHertz(atHz)}`;
  return `${name}${at} ${formatSignedFixed(change)} ${unit}`.trimEnd();
}

type Of<C extends DoubtCode> = Extract<Doubt, { code: C }>;

function formatInvalidSamples(doubt: Of<"invalid-samples">): string {
  const { file, count, channel, fromS, untilS, places } = doubt;
  const whose = channel === undefined ? "" : ` of channel ${channel + 1}`;
  const where = `between ${fromS.toFixed(1)} s and ${untilS.toFixed(1)} s`;
  const often = places > 1 ? `, in ${places} places,` : "";
  const what =
    count === 1
      ? `1 sample${whose} ${where} is NaN or infinite, or far beyond full scale, and was`
      : `${count} samples${whose} ${where}${often} are NaN or infinite, or far beyond full scale, and were`;
  return `${toDisplayName(file)}: ${what} treated as silence. ${invalidAdvice}`;
}

/** What to do about a recording with samples that no converter gives. */
const invalidAdvice =
  "The program or the disk that wrote them failed: record again, as integers if it happens again.";

/** The same for damaged compressed files, of which the recorder may still have intact ones. */
const damagedAdvice =
  "Copy the file again from the recorder; if that one is damaged too, record again.";

function formatMisfit(misfit: Of<"calibration-misfit">["misfit"]): string {
  switch (misfit.of) {
    case "rate":
      return `recordings are at ${kHz(misfit.sampleRateHz)}`;
    case "band":
      return `the signal's sweep is that of the ${misfit.band} band`;
    case "channel":
      return `returns were recorded on channel ${misfit.channel + 1}`;
  }
}

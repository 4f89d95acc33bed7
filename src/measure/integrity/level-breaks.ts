import { median } from "../../dsp/robust.js";
import { followSweepPower } from "../../dsp/sweep-powers.js";
import type { Segment, SweepSegment } from "../../signal/types.js";
import { type ReturnAudio, sliceSegment } from "../return-audio.js";
import { toneEndS, toneFlankS } from "../tone-edges.js";
import type { LevelBreakMark } from "../types.js";

/** A part of the signal whose level is followed. */
interface Track {
  readonly segment: string;
  /** Seconds of the signal at the first block. */
  readonly startS: number;
  readonly pieceS: number;
  /** Decibels, block by block; the usual level is not yet subtracted. */
  readonly levelsDb: Float64Array;
  /** Blocks on either side whose median is the usual level; 0: that of the whole part. */
  readonly reach: number;
}

/** Seconds per block, whole periods of the tone: 4 ms, or two periods for low tones. */
const pieceS = 0.004;
const leastPeriods = 2;
/** Blocks left out at least at the beginning, while the path settles. */
const settlePieces = 3;
/** Decibels relative to nominal; lower steps beat with hum. */
const leastStepDb = -20;
/**
 * Hertz; the sweep is followed from here, where a block has several periods, to the end of its
 * band.
 */
const sweepFromHz = 400;
const sweepToHz = 18_000;
/** Blocks on either side for the usual level in a sweep: a quarter of an octave. */
const sweepReach = 13;
/** The tail behind it is another frequency's: a sweep's beginning and end do not count, pieces. */
const besideSweep = 4;

/** Least depth of a break: decibels, and standard deviations of the track. */
const leastDb = 0.25;
const leastDeviations = 8;
/**
 * Blocks on either side for the local scatter: noise that falls with frequency affects the low end
 * of a sweep more.
 */
const scatterReach = 40;
/** Quantile used as the usual level of a tone. */
const usualShare = 0.7;
/** Blocks; a shorter break may be a click. */
const leastPieces = 2;
/** Share of the depth that must occur within a few blocks: a contact is fast, drift is not. */
const fastShare = 0.6;
const fastPieces = 2;
/** dBFS; lowest level used. */
const deepestDb = -160;
/** Number of breaks listed, the deepest. */
const mostBreaks = 40;
/** Decibels; if the track scatters more, it is mostly noise. */
const mostScatterDb = 1.5;

/**
 * Breaks of the level in time, in every part of the signal with a level: the effect of a contact
 * that opens, wholly or in part, but of no filter, clipping or drift.
 *
 * @returns in order of time; none for a steady return
 * @example
 * listLevelBreaks(audio); // []
 */
export function listLevelBreaks(audio: ReturnAudio): readonly LevelBreakMark[] {
  const found = audio.table.segments.flatMap((segment) =>
    listTracks(audio, segment).flatMap((track) => findBreaks(track)),
  );
  return found
    .sort((a, b) => Math.abs(b.levelDb) - Math.abs(a.levelDb))
    .slice(0, mostBreaks)
    .sort((a, b) => a.atS - b.atS);
}

function listTracks(audio: ReturnAudio, segment: Segment): readonly Track[] {
  const { name, startS, lengthS } = segment;
  switch (segment.kind) {
    case "tone":
      return toneTrack(audio, name, startS, lengthS, [segment.frequencyHz]);
    case "twin":
      return toneTrack(audio, name, startS, lengthS, [segment.lowHz, segment.highHz]);
    case "steps":
      return segment.levelsDbfs.flatMap((levelDbfs, k) =>
        levelDbfs - audio.table.nominalDbfs < leastStepDb
          ? []
          : toneTrack(audio, name, startS + k * segment.stepS, segment.stepS, [
              segment.frequencyHz,
            ]),
      );
    case "sweep":
      return sweepTrack(audio, segment);
    default:
      return [];
  }
}

function toneTrack(
  audio: ReturnAudio,
  segment: string,
  startS: number,
  lengthS: number,
  frequenciesHz: readonly number[],
): readonly Track[] {
  const lowest = Math.min(...frequenciesHz);
  const periods = Math.max(leastPeriods, Math.round(pieceS * lowest));
  const piece = periods / lowest;
  const from = Math.max(toneFlankS, settlePieces * piece);
  const part = sliceSegment(audio, startS, from, lengthS - toneEndS);
  if (!part) return [];
  const size = Math.round(piece * audio.clock);
  const count = Math.floor(part.samples.length / size);
  if (count < 2 * fastPieces + leastPieces) return [];
  const powers = new Float64Array(count);
  for (const hz of frequenciesHz) {
    addPowers(powers, part.samples, size, (2 * Math.PI * hz) / audio.clock);
  }
  const at = startS + part.startS;
  return [{ segment, startS: at, pieceS: piece, levelsDb: toDb(powers), reach: 0 }];
}

/** Adds the power of one frequency in each block. */
function addPowers(powers: Float64Array, samples: Float64Array, size: number, omega: number) {
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  for (let k = 0; k < powers.length; k++) {
    let c = 1;
    let s = 0;
    let x = 0;
    let y = 0;
    for (let n = k * size; n < (k + 1) * size; n++) {
      x += samples[n] * c;
      y += samples[n] * s;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
    powers[k] += (4 * (x * x + y * y)) / (size * size);
  }
}

/** The sweep's frequency changes within a block, so it is demodulated by its phase. */
function sweepTrack(audio: ReturnAudio, segment: SweepSegment): readonly Track[] {
  const { name, startS, fromHz, toHz, rateS, sweepS } = segment;
  const top = Math.min(sweepToHz, toHz, 0.4 * audio.sampleRate);
  const fromS = rateS * Math.log(sweepFromHz / fromHz);
  const untilS = Math.min(sweepS, rateS * Math.log(top / fromHz));
  if (!(untilS > fromS)) return [];
  const part = sliceSegment(audio, startS, fromS, untilS);
  if (!part) return [];
  const size = Math.round(pieceS * audio.clock);
  const phase = {
    radians: 2 * Math.PI * fromHz * rateS * Math.exp(part.startS / rateS),
    growth: 1 / (audio.clock * rateS),
  };
  const powers = followSweepPower(part.samples, phase, size);
  const at = startS + part.startS;
  return [{ segment: name, startS: at, pieceS, levelsDb: toDb(powers), reach: sweepReach }];
}

function toDb(powers: Float64Array): Float64Array {
  return powers.map((power) => Math.max(deepestDb, 10 * Math.log10(power)));
}

function findBreaks({ segment, startS, pieceS: piece, levelsDb, reach }: Track) {
  const count = levelsDb.length;
  const away = reach === 0 ? awayFromUsual(levelsDb) : awayFromAround(levelsDb, reach);
  const steps = Array.from(away.subarray(1), (db, k) => Math.abs(db - away[k]));
  const scatter = scatterOf(steps);
  if (!(scatter < mostScatterDb)) return [];
  const margin = reach === 0 ? 0 : besideSweep;
  const found: LevelBreakMark[] = [];
  for (let from = margin; from < count - margin; from++) {
    if (Math.abs(away[from]) < leastDb / 2) continue;
    const around = reach === 0 ? 0 : scatterOf(steps.slice(...spanAround(from, steps.length)));
    const least = Math.max(leastDb, leastDeviations * Math.max(scatter, around));
    const sign = Math.sign(away[from]);
    let until = from;
    let deepest = 0;
    while (until < count - margin && sign * away[until] >= least / 2) {
      deepest = Math.max(deepest, sign * away[until]);
      until++;
    }
    const isDeep = deepest >= least && until - from >= leastPieces;
    // At an end of the part one edge is not visible.
    const edges = [...(from > margin ? [from] : []), ...(until < count - margin ? [until] : [])];
    if (isDeep && edges.length > 0 && edges.every((k) => isEdge(levelsDb, k, deepest))) {
      found.push({
        kind: "level-break",
        segment,
        atS: startS + from * piece,
        untilS: startS + until * piece,
        levelDb: sign * deepest,
      });
    }
    from = until;
  }
  return found;
}

/**
 * From successive differences, so that a break itself does not count; Gaussian: 1.4826/√2 of the
 * median.
 */
const scatterOf = (steps: readonly number[]) => (1.4826 / Math.SQRT2) * median(steps);

function spanAround(at: number, length: number): readonly [number, number] {
  return [Math.max(0, at - scatterReach), Math.min(length, at + scatterReach)];
}

/**
 * Whether most of a break's depth occurs abruptly near a block, beyond the slope before and after
 * it.
 */
function isEdge(levelsDb: Float64Array, at: number, depth: number): boolean {
  const level = (k: number) => levelsDb[Math.max(0, Math.min(levelsDb.length - 1, k))];
  return [at - 1, at, at + 1].some((k) => {
    const [before, behind] = [k - fastPieces, k + fastPieces - 1];
    const length = behind - before;
    const slopes = [
      ...(before - length >= 0 ? [level(before) - level(before - length)] : []),
      ...(behind + length < levelsDb.length ? [level(behind + length) - level(behind)] : []),
    ];
    const slope = slopes.reduce((sum, one) => sum + one, 0) / Math.max(1, slopes.length);
    return Math.abs(level(behind) - level(before) - slope) >= fastShare * depth;
  });
}

function awayFromUsual(levelsDb: Float64Array): Float64Array {
  const sorted = Float64Array.from(levelsDb).sort();
  const usual = sorted[Math.floor(usualShare * (sorted.length - 1))];
  return levelsDb.map((db) => db - usual);
}

function awayFromAround(levelsDb: Float64Array, reach: number): Float64Array {
  return levelsDb.map((db, k) => {
    // Equally far on either side, so that a slope does not shift the median.
    const own = Math.min(reach, k, levelsDb.length - 1 - k);
    return db - median([...levelsDb.subarray(k - own, k + own + 1)]);
  });
}

import { maxControls, validateControlName } from "../desk/controls.js";
import { normalizeName } from "../desk/names.js";
import { DeskroundError } from "../errors.js";
import { parseHeading, parseSegment } from "../signal/labels.js";
import { signalOriginator } from "../signal/own-files.js";
import type { PassForm } from "../signal/pass-signal.js";
import {
  bands,
  buildSignalTable,
  findSignalProfile,
  profiles,
  signalProfiles,
} from "../signal/signal-table.js";
import { passReference } from "../signal/signal-wav.js";
import type { Move, Profile, Segment, SignalTable } from "../signal/types.js";
import { formatCommand } from "../text/program-name.js";
import { toDisplayName } from "./containers/open-file.js";
import type { RecordingInfo } from "./types.js";

/** The signal in a file, and its sample rate. */
export interface SignalFile {
  readonly table: SignalTable;
  /** Hertz. */
  readonly sampleRate: number;
}

/**
 * The signal of a pass in a file, by its `bext` chunk; undefined for any other file.
 *
 * @example
 * findEmbeddedPass(inspectRecording(recording)); // undefined
 */
export function findEmbeddedPass({ bext }: RecordingInfo): EmbeddedPass | undefined {
  if (bext?.originator !== signalOriginator) return undefined;
  const [, form, used] = passReference.exec(bext.originatorReference) ?? [];
  if (used === undefined) return undefined;
  return { used: [...used].map((digit) => digit === "1"), form: form as PassForm };
}

export interface EmbeddedPass {
  /** By channel, whether its output plays. */
  readonly used: readonly boolean[];
  readonly form: PassForm;
}

/**
 * The segment table of a file that `deskround signal` wrote; of the file of a pass, that of one
 * output.
 *
 * @throws DeskroundError `signal-version` when it is of another version, or not a signal
 * @example
 * try {
 *   readSignalFile(inspectRecording(recording)).table.profile;
 * } catch (error) {
 *   error.code; // "signal-version"
 * }
 */
export function readSignalFile(info: RecordingInfo): SignalFile {
  const signal = findEmbeddedSignal(info);
  if (signal !== undefined) return signal;
  throw new DeskroundError(
    "signal-version",
    `${toDisplayName(info.file)}: is not a test signal of deskround, or has lost its chunks.`,
    `Write it again with \`${formatCommand("signal")}\`.`,
  );
}

/**
 * The same for any recording: undefined for an ordinary capture. The labels of the cue points
 * identify the table or, if a program has dropped them, the name in the `bext` chunk.
 *
 * @throws DeskroundError `signal-version` when it is of another version, or its labels are corrupt
 * @example
 * findEmbeddedSignal(inspectRecording(recording)); // undefined
 */
export function findEmbeddedSignal(info: RecordingInfo): SignalFile | undefined {
  const table = tableFromCues(info) ?? tableFromBext(info);
  return table && { table, sampleRate: info.sampleRate };
}

function tableFromCues(info: RecordingInfo): SignalTable | undefined {
  const labels = info.cues.map(({ label }) => label);
  const heading = labels.map(parseHeading).find((found) => found !== undefined);
  if (heading === undefined) return undefined;
  const profile = profiles.find((name) => name === heading.profile);
  checkVersion(info, heading.version, profile);
  const band = bands.find((name) => name === heading.band);
  const segments = segmentsOf(labels);
  if (profile === undefined || band === undefined || segments === undefined) throw spoilt(info);
  const moves = profile === "controls" ? movesIn(segments) : [];
  if (!areMoves(moves)) throw spoilt(info);
  // The labels only identify the signal: their numbers must not decide how much is synthesised.
  const known = buildSignalTable(profile, band, moves, heading.version);
  if (!isAlike({ ...heading, profile, band, segments }, known)) throw spoilt(info);
  return known;
}

function segmentsOf(labels: readonly string[]): readonly Segment[] | undefined {
  try {
    const segments = labels.map(parseSegment).filter((segment) => segment !== undefined);
    return [...segments].sort((a, b) => a.startS - b.startS);
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

/** The controls moved in the windows of a controls pass, in order. */
function movesIn(segments: readonly Segment[]): readonly Move[] {
  return segments.flatMap((one) => (one.kind === "tone" && one.move ? [one.move] : []));
}

/** Whether these are valid names of controls in a desk file. */
function areMoves(moves: readonly Move[]): boolean {
  const names = moves.map(({ control }) => control);
  if (names.length > maxControls || new Set(names.map(normalizeName)).size < names.length)
    return false;
  return names.every((name) => validateControlName(name) === undefined);
}

/** Relative tolerance: the last digits of a logarithm differ between processors. */
const sameNumber = 1e-9;

/** Whether a table read from labels equals a known one. */
function isAlike(read: unknown, known: unknown): boolean {
  if (typeof read === "number" && typeof known === "number") {
    return Math.abs(read - known) <= sameNumber * Math.abs(known);
  }
  if (!isBlock(read) || !isBlock(known)) return read === known;
  const keys = Object.keys(known);
  if (Object.keys(read).length !== keys.length) return false;
  return keys.every((key) => isAlike(read[key], known[key]));
}

function isBlock(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null;
}

function tableFromBext({ bext, ...info }: RecordingInfo): SignalTable | undefined {
  if (bext?.originator !== signalOriginator) return undefined;
  const name = passReference.test(bext.originatorReference)
    ? bext.description.slice(bext.description.search(/\bv\d+-/))
    : bext.originatorReference;
  const [, version, profileName, bandName] = /^v(\d+)-([a-z]+)-([a-z]+)-/.exec(name) ?? [];
  if (version === undefined) return undefined;
  const profile = profiles.find((name) => name === profileName);
  checkVersion(info, Number(version), profile);
  const band = bands.find((name) => name === bandName);
  // Only the labels name the controls of a controls pass.
  if (profile === undefined || band === undefined || profile === "controls") throw spoilt(info);
  return buildSignalTable(profile, band, undefined, Number(version));
}

function checkVersion(
  { file }: Pick<RecordingInfo, "file">,
  version: number,
  profile: Profile = "standard",
): void {
  if (findSignalProfile(profile, version) !== undefined) return;
  throw new DeskroundError(
    "signal-version",
    `${toDisplayName(file)}: made by another version of deskround (signal ${version}; this one reads ${readable(profile)}).`,
    `Write it again with \`${formatCommand("signal")}\`, or use the version that made it.`,
  );
}

/** The versions of a profile that can be read: "1", "1 and 2". */
function readable(profile: Profile): string {
  const own = signalProfiles.filter((row) => row.profile === profile);
  return own.map(({ version }) => version).join(" and ");
}

function spoilt({ file }: Pick<RecordingInfo, "file">): DeskroundError {
  return new DeskroundError(
    "signal-version",
    `${toDisplayName(file)}: is a test signal of deskround, but the table of its segments is corrupt.`,
    `Write it again with \`${formatCommand("signal")}\`.`,
  );
}

import type { Setting } from "../desk/controls.js";
import { listSettings } from "../desk/controls.js";
import { applyPads } from "../desk/pads.js";
import { handlingTimesS, type PatchStep, planPatchSteps } from "../desk/patch-steps.js";
import { formatRecordingKinds } from "../desk/recording-kinds.js";
import { type ReferencePath, referenceSockets } from "../desk/reference-path.js";
import type { Desk, DeskInput, DeskPath, PathOrder } from "../desk/types.js";
import { zeroDbuVolts } from "../dsp/dbu.js";
import { dbToAmplitude } from "../dsp/decibels.js";
import type { Move, SignalTable, ToneSegment } from "../signal/types.js";
import { formatCommand } from "../text/program-name.js";
import type { OpenDanger } from "./notebook/open-dangers.js";

/** Inputs of the run sheet besides desk and signal. */
export interface RunSheetOptions {
  readonly sampleRate: number;
  /** Name of the WAV file to play. */
  readonly file: string;
  /** Paths to play, e.g. for a re-test; the whole desk when absent. */
  readonly paths?: readonly DeskPath[];
  /** Set if the desk is open while playing, as in a re-test before it is closed. */
  readonly open?: true;
  /** For a controls pass, the signal of each path, if they differ. */
  readonly signals?: ReadonlyMap<string, PathSignal>;
  /** Number of paths of a complete sheet; those of the desk when absent. */
  readonly of?: number;
  /** File with the order of the sheet, for `analyze --map`, if it differs from the desk's. */
  readonly map?: string;
  /** Results of a round, by path, in a few words, for the column of results. */
  readonly heard?: RunSheetResults;
  /** Dangers in open notes; none when absent. */
  readonly dangers?: readonly OpenDanger[];
}

/** The signal of one path. */
export interface PathSignal {
  /** Name of its WAV file. */
  readonly file: string;
  readonly table: SignalTable;
}

/** Results of a round for the run sheet. */
export interface RunSheetResults {
  readonly round: string;
  readonly words: ReadonlyMap<string, string>;
}

export interface RunSheetInput {
  readonly name: string;
  readonly nominalDbu: number;
  /** The nominal level as a voltmeter shows it, V r.m.s. */
  readonly nominalVolts: number;
  readonly setup: string;
  /** Attenuation between a line output and this input, dB; absent if none is needed. */
  readonly padDb?: number;
}

/** A control of the strip under test. */
export interface RunSheetSetting extends Setting {
  /** `set` if it must be changed, or was not checked yet. */
  readonly move: "set" | "as it is";
}

export interface RunSheetPatch {
  /** 1 for the first. */
  readonly number: number;
  readonly path: string;
  /** The reference path's name in place of a strip and an input. */
  readonly strip: string;
  readonly input: string;
  /** Set for the reference path, which bypasses the strips. */
  readonly reference?: "first" | "last";
  readonly nominalDbu: number;
  readonly nominalVolts: number;
  /** Where the plug goes. */
  readonly plug: string;
  readonly padDb?: number;
  /** What to do with the pad first. */
  readonly pad: PatchStep["pad"];
  /** All controls with a setting in the desk file. */
  readonly settings: readonly RunSheetSetting[];
  /** The WAV file to play, if the sheet has several. */
  readonly file?: string;
  /** Result in a few words; absent without a round. */
  readonly heard?: string;
}

/** The moving of one control; seconds from the signal's first sample. */
export interface RunSheetMove extends Move {
  readonly countInS: number;
  readonly fromS: number;
  /** Where the tone ends and the silence begins. */
  readonly quietS: number;
  readonly untilS: number;
}

/** A further file to play. */
export interface RunSheetOther {
  readonly file: string;
  readonly lengthS: number;
  readonly moves: readonly RunSheetMove[];
}

/** Total of manual work. */
export interface RunSheetWork {
  readonly plugs: number;
  readonly pads: number;
  readonly mutes: number;
  readonly controls: number;
}

/** What to patch, in which order, set how. */
export interface RunSheet {
  readonly desk: string;
  readonly order: PathOrder;
  /** `retest`: paths of strips worked on, before the desk is closed. */
  readonly purpose: "round" | "retest";
  /** Set if only some paths of the desk are to be played. */
  readonly partial?: { readonly paths: number; readonly of: number };
  readonly signal: {
    readonly file: string;
    readonly profile: string;
    readonly sampleRate: number;
    readonly lengthS: number;
    readonly nominalDbfs: number;
  };
  /** Dangers in open notes, for which the power must stay off; absent if none. */
  readonly dangers?: readonly OpenDanger[];
  readonly cautions: readonly string[];
  readonly steps: readonly string[];
  readonly inputs: readonly RunSheetInput[];
  /** What to move when, in a controls pass; none otherwise. */
  readonly moves: readonly RunSheetMove[];
  /** The same for further files with fewer controls; absent if there is only one. */
  readonly others?: readonly RunSheetOther[];
  readonly patches: readonly RunSheetPatch[];
  /** File that gives `analyze` the order of the sheet; absent if that is the desk's. */
  readonly map?: string;
  /** The round whose results fill the column. */
  readonly heardIn?: string;
  readonly work: RunSheetWork;
  /** Plugs, pads and controls of all paths, seconds. */
  readonly handsS: number;
  /** All paths played and patched, seconds. */
  readonly totalS: number;
}

/** Seconds; a shorter tone cannot be read on a meter. */
const shortToneS = 5;

/** The run sheet of a desk for a signal, or of some of its paths. */
export function buildRunSheet(desk: Desk, table: SignalTable, options: RunSheetOptions): RunSheet {
  const { sampleRate, file, paths = desk.paths, heard, signals, dangers = [] } = options;
  const { profile, lengthS, nominalDbfs } = table;
  const used = new Set(paths.map(({ input }) => input));
  const padded = applyPads(desk.inputs, desk.referenceDbu).filter(({ name }) => used.has(name));
  const inputs = padded.map(sheetInput);
  const work = planPatchSteps(desk, paths);
  const ofPaths = paths.map((path, i) => {
    const patch = sheetPatch(i, path, desk, padded, work[i], heard);
    const signal = signals?.get(path.path);
    return signal === undefined ? patch : { ...patch, file: signal.file };
  });
  const files = new Map([...(signals ?? [])].map(([, one]) => [one.file, one.table]));
  files.delete(file);
  const others = [...files].map(([name, one]) => ({
    file: name,
    lengthS: one.lengthS,
    moves: movesIn(one),
  }));
  // A controls pass needs no reference path: drift does not matter.
  const past = profile === "controls" ? undefined : desk.referencePath;
  const patches =
    past === undefined
      ? ofPaths
      : [referencePatch(past, "first"), ...ofPaths, referencePatch(past, "last")].map(
          (patch, i) => ({ ...patch, number: i + 1 }),
        );
  const pluggingS = (patches.length - ofPaths.length) * (handlingTimesS.plug + handlingTimesS.play);
  const handsS = work.reduce((sum, { seconds }) => sum + seconds, pluggingS);
  const { of = desk.paths.length } = options;
  const partial = paths.length < of;
  return {
    desk: desk.name,
    order: desk.order,
    purpose: options.open ? "retest" : "round",
    ...(partial ? { partial: { paths: paths.length, of } } : {}),
    signal: { file, profile, sampleRate, lengthS, nominalDbfs },
    ...(dangers.length === 0 ? {} : { dangers }),
    cautions: [
      ...(options.open ? openCautions : listCautions()),
      ...(table.profile === "controls" ? movingCautions : []),
    ],
    steps: [
      ...steps(desk, table, options, inputs),
      ...(past === undefined ? [] : [referenceStep(past)]),
    ],
    inputs,
    moves: movesIn(table),
    ...(others.length === 0 ? {} : { others }),
    patches,
    ...(options.map === undefined ? {} : { map: options.map }),
    ...(heard === undefined ? {} : { heardIn: heard.round }),
    work: {
      plugs: patches.length,
      pads: work.filter(({ pad }) => pad !== "as it is").length,
      mutes: work.reduce((sum, { mutes }) => sum + mutes, 0),
      controls: work.reduce((sum, { changes }) => sum + changes.length, 0),
    },
    handsS,
    totalS:
      patches.reduce((sum, patch) => sum + (files.get(patch.file ?? file)?.lengthS ?? lengthS), 0) +
      handsS,
  };
}

type PaddedInput = DeskInput & { readonly padDb: number };

function sheetInput({ name, nominalDbu, setup, padDb }: PaddedInput): RunSheetInput {
  return { name, nominalDbu, nominalVolts: volts(nominalDbu), setup, ...padOf(padDb) };
}

function padOf(padDb: number): { padDb?: number } {
  return padDb === 0 ? {} : { padDb };
}

function volts(dbu: number): number {
  return zeroDbuVolts * dbToAmplitude(dbu);
}

function sheetPatch(
  index: number,
  { path, strip, input }: DeskPath,
  desk: Desk,
  inputs: readonly PaddedInput[],
  work: PatchStep,
  heard: RunSheetResults | undefined,
): RunSheetPatch {
  const own = inputs.find(({ name }) => name === input);
  const settings = own === undefined ? [] : listSettings(desk.controls, own);
  const changed = new Set(work.changes.map(({ control }) => control));
  const words = heard?.words.get(path);
  return {
    number: index + 1,
    path,
    strip,
    input,
    nominalDbu: own?.nominalDbu ?? 0,
    nominalVolts: volts(own?.nominalDbu ?? 0),
    plug: `strip ${strip}, ${own?.plug ?? `${input} socket`}`,
    ...padOf(own?.padDb ?? 0),
    pad: work.pad,
    settings: settings.map((setting) => ({
      ...setting,
      move: changed.has(setting.control) ? "set" : "as it is",
    })),
    ...(words === undefined ? {} : { heard: words }),
  };
}

/** The reference path, before and after all others. */
function referencePatch(
  { name, nominalDbu, plug, padDb }: ReferencePath,
  turn: "first" | "last",
): RunSheetPatch {
  return {
    number: 1,
    path: name,
    strip: name,
    input: name,
    reference: turn,
    nominalDbu,
    nominalVolts: volts(nominalDbu),
    plug: `${plug}: the reference path, ${turn === "first" ? "before all others" : "after all others"}`,
    ...padOf(padDb),
    pad: padDb === 0 ? "as it is" : "in",
    settings: [],
  };
}

function referenceStep({ name, plug, into, nominalDbu, setup }: ReferencePath): string {
  const where = plug === referenceSockets[into] ? plug : `${referenceSockets[into]} (${plug})`;
  return (
    `Reference path (${name}): mute all strips and patch the interface's output into the ${where} at ` +
    `${signed(nominalDbu)} dBu. Play it first and last, with the master as for all other paths.` +
    (setup === "" ? "" : ` ${setup}`)
  );
}

const quiet: readonly string[] = [
  "Mute the monitors and turn headphones down before any sweep or tone.",
  "Switch phantom power off on every path that the interface feeds, then wait a minute before patching.",
];

/** Cautions for a desk that is tested open and powered. */
const openCautions: readonly string[] = [
  "The desk is open and live: leave every cover over mains and power supply fitted, and all strips " +
    "and earth leads in place. Keep the frame tied. Wear no rings, chains or earthed wrist " +
    "strap, keep hands and tools out of the desk and everybody else away from it.",
  "Switch off, pull the mains plug and wait before you touch anything inside again. Leave mains and " +
    "supply work to licensed people, under local codes: the supply stays dangerous after switch-off.",
  ...quiet,
];

/** Cautions about ears, loudspeakers, desk and people. */
export function listCautions(): readonly string[] {
  return [
    ...quiet,
    "Nothing here needs the desk opened. Leave mains and supply work to licensed people, " +
      "under local codes: the supply stays dangerous after switch-off.",
  ];
}

/** Further cautions for a controls pass. */
const movingCautions: readonly string[] = [
  "Keep phantom power off throughout: do not move its switch in this pass.",
  "A control may turn the gain up: keep the monitors muted, and headphones low and off the ears.",
];

function steps(
  desk: Desk,
  table: SignalTable,
  options: RunSheetOptions,
  inputs: readonly RunSheetInput[],
): readonly string[] {
  const { sampleRate, file, open } = options;
  const { nominalDbfs } = table;
  const rate = `${sampleRate / 1000} kHz`;
  return [
    `Play ${file} at ${rate} from one output of the interface: no processing, no sample-rate ` +
      "conversion, every software fader at 0 dB.",
    ...toneSteps(table),
    ...(options.signals === undefined
      ? []
      : [
          "Move the controls that all inputs of a strip share once, at its first path; the file to play is listed beside each path.",
        ]),
    ...(inputs.some(({ padDb }) => padDb !== undefined)
      ? [
          "Feed each input marked `pad` through the pad box, and set line level at the pad box's input.",
        ]
      : []),
    `Strip under test: ${stripStep}; route it to the mix. Mute all other strips.`,
    `Patch the mix output (${signed(desk.referenceDbu)} dBu) into one input of the interface. Set that ` +
      `input once: a healthy path returns about ${nominalDbfs} dBFS.${hotWords(table)}`,
    `Record mono (or stereo) at ${rate}, 24 bit or more, as a lossless file (${formatRecordingKinds()}): ` +
      "no processing, no sample-rate conversion, no normalising.",
    "Let the recording run. For each path below: patch, set the strip, play the signal once to " +
      "its end, tick. Keep the order.",
    ...(table.profile === "controls"
      ? [
          "Three pips count each control in, on the interface's own headphone output. On the beat " +
            "after them, start to move it: knobs and faders from end to end and back, a second and a half each " +
            "way; switches every second. Keep moving when the tone stops, until a single pip ends it. Then " +
            "set it back to its mark. Being a second late does no harm.",
        ]
      : []),
    "If nothing comes back from a path, still play the signal to its end and note the path, for " +
      `\`${formatCommand(`analyze ${open ? "--retest " : ""}--silent`)}\`.`,
  ];
}

function movesIn({ segments }: SignalTable): readonly RunSheetMove[] {
  return segments.flatMap((tone, k) => {
    if (tone.kind !== "tone" || tone.move === undefined) return [];
    const [before, after] = [segments[k - 1], segments[k + 1]];
    const quietS = after?.startS ?? tone.startS + tone.lengthS;
    return [
      {
        ...tone.move,
        countInS: before?.startS ?? tone.startS,
        fromS: tone.startS,
        quietS,
        untilS: quietS + (after?.lengthS ?? 0),
      },
    ];
  });
}

/** Settings of a strip under test, for any input. */
export const stripStep =
  "fader and pan at their marks; EQ, filters, dynamics, inserts and sends off";

/** How to set the level at the socket, by a tone long enough to read a meter. */
export function toneSteps(table: SignalTable): readonly string[] {
  const tone = meterTone(table);
  if (tone === undefined) return [];
  const longer =
    tone.lengthS < shortToneS
      ? ` It is short; \`${formatCommand(`signal --tone ${tone.frequencyHz}`)}\` writes five minutes of the same tone.`
      : "";
  return [
    `Set the playing level by the ${tone.frequencyHz / 1000} kHz tone (${tone.levelDbfs} dBFS): ` +
      `an AC voltmeter at the plug shows the level given for the input.${longer}`,
  ];
}

function meterTone({ segments, nominalDbfs }: SignalTable): ToneSegment | undefined {
  return segments.find(
    (segment): segment is ToneSegment =>
      segment.kind === "tone" && segment.frequencyHz === 1000 && segment.levelDbfs === nominalDbfs,
  );
}

/** How far above nominal the loudest step is. */
export function hotWords({ segments, nominalDbfs }: SignalTable): string {
  const levels = segments.flatMap((segment) =>
    segment.kind === "steps" ? segment.levelsDbfs : [],
  );
  if (levels.length === 0) return "";
  const hotDb = Math.max(...levels) - nominalDbfs;
  return ` The loudest step is ${hotDb} dB above: leave ${hotDb + 1} dB of headroom.`;
}

function signed(value: number): string {
  return value > 0 ? `+${value}` : String(value);
}

/**
 * What to patch and set for one path, also out of the sheet's order.
 *
 * @param before the path played last; absent for the first
 */
export function buildNextPatch(desk: Desk, path: DeskPath, before?: DeskPath): RunSheetPatch {
  const work = planPatchSteps(desk, before === undefined ? [path] : [before, path]);
  const padded = applyPads(desk.inputs, desk.referenceDbu);
  return sheetPatch(0, path, desk, padded, work[work.length - 1], undefined);
}

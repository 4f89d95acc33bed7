import type { Desk, DeskInput } from "../desk/types.js";
import { fromAmplitudeDb } from "../dsp/decibels.js";
import { zeroDbuVolts } from "../measure/dbu.js";
import { signalTable } from "../signal/profiles.js";
import type { SignalTable, ToneSegment } from "../signal/table.js";

/** What the run sheet must know beside desk and signal. */
export interface RunSheetOptions {
  readonly sampleRate: number;
  /** Name of the WAV file to play. */
  readonly file: string;
  /** Seconds it takes to move the plug and set the strip. */
  readonly patchingS?: number;
}

export interface RunSheetInput {
  readonly name: string;
  readonly nominalDbu: number;
  /** The nominal level as a voltmeter shows it, V r.m.s. */
  readonly nominalVolts: number;
  readonly setup: string;
  /** Attenuation between a line output and this input, dB; absent where none is needed. */
  readonly padDb?: number;
}

export interface RunSheetPatch {
  /** 1 for the first. */
  readonly number: number;
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  readonly nominalDbu: number;
}

/** What to patch, in which order, set how. */
export interface RunSheet {
  readonly desk: string;
  readonly order: Desk["order"];
  readonly signal: {
    readonly file: string;
    readonly profile: string;
    readonly sampleRate: number;
    readonly lengthS: number;
    readonly nominalDbfs: number;
  };
  readonly cautions: readonly string[];
  readonly steps: readonly string[];
  readonly inputs: readonly RunSheetInput[];
  readonly patches: readonly RunSheetPatch[];
  readonly patchingS: number;
  /** All paths played and patched, seconds. */
  readonly totalS: number;
}

/** Moving a plug and setting a strip takes about this long (common practice). */
const usualPatchingS = 20;

/** Inputs below this level are fed through a pad: line outputs turned down so far are noisy. */
const padBelowDbu = -20;

/** A tone shorter than this cannot be read from a meter. */
const shortToneS = 5;

/** The run sheet of a desk for a signal. */
export function runSheet(desk: Desk, table: SignalTable, options: RunSheetOptions): RunSheet {
  const { sampleRate, file, patchingS = usualPatchingS } = options;
  const { profile, lengthS, nominalDbfs } = table;
  const inputs = desk.inputs.map((input) => sheetInput(input, lineLevel(desk)));
  const levels = new Map(desk.inputs.map((input) => [input.name, input.nominalDbu]));
  const patches = desk.paths.map(({ path, strip, input }, i) => {
    return { number: i + 1, path, strip, input, nominalDbu: levels.get(input) ?? 0 };
  });
  return {
    desk: desk.name,
    order: desk.order,
    signal: { file, profile, sampleRate, lengthS, nominalDbfs },
    cautions: cautions(),
    steps: steps(desk, table, options, inputs),
    inputs,
    patches,
    patchingS,
    totalS: patches.length * (lengthS + patchingS),
  };
}

/** Level that the interface gives into inputs without a pad. */
function lineLevel({ inputs, referenceDbu }: Desk): number {
  const direct = inputs.map(({ nominalDbu }) => nominalDbu).filter((dbu) => dbu >= padBelowDbu);
  return direct.length === 0 ? referenceDbu : Math.max(...direct);
}

function sheetInput({ name, nominalDbu, setup }: DeskInput, lineDbu: number): RunSheetInput {
  const nominalVolts = zeroDbuVolts * fromAmplitudeDb(nominalDbu);
  const padDb = Math.round((lineDbu - nominalDbu) * 10) / 10;
  return { name, nominalDbu, nominalVolts, setup, ...(nominalDbu < padBelowDbu ? { padDb } : {}) };
}

/** What can hurt ears, loudspeakers, desk or people, in the words of the trade. */
export function cautions(): readonly string[] {
  return [
    "Mute the monitors and turn headphones down before any sweep or tone.",
    "Phantom power off on the path fed by the interface; then wait a minute before patching.",
    "Nothing here needs the desk opened. Mains and supply work is for licensed people and " +
      "local codes: the supply stays dangerous after switch-off.",
  ];
}

function steps(
  desk: Desk,
  table: SignalTable,
  { sampleRate, file }: RunSheetOptions,
  inputs: readonly RunSheetInput[],
): readonly string[] {
  const { nominalDbfs } = table;
  const rate = `${sampleRate / 1000} kHz`;
  return [
    `Play ${file} at ${rate} from one output of the interface: no processing, no sample-rate ` +
      "conversion, every software fader at 0 dB.",
    ...toneSteps(table),
    ...(inputs.some(({ padDb }) => padDb !== undefined)
      ? ["Feed the inputs marked `pad` through one, with the line level before it."]
      : []),
    "Strip under test: fader and pan at their marks; EQ, filters, dynamics, inserts and sends " +
      "off; routed to the mix. All other strips muted.",
    `Mix output (${signed(desk.referenceDbu)} dBu) into one input of the interface. Set that ` +
      `input once: a healthy path returns about ${nominalDbfs} dBFS.${hotWords(table)}`,
    `Record mono (or stereo) at ${rate}, 24 bit or more, as a lossless WAV file: no processing, ` +
      "no sample-rate conversion, no normalising.",
    "Let the recording run. For each line below: patch, set the strip, play the signal once to " +
      "its end, tick. Keep the order.",
    ...(table.profile === "controls"
      ? [
          "While the tone plays, turn every knob from end to end and press every switch; again " +
            "in the silence after it.",
        ]
      : []),
    "A path that gives nothing back: play to the end all the same and note it, for " +
      "`deskround analyze --silent`.",
  ];
}

/** How to set the level at the socket, by a tone long enough to read a meter. */
function toneSteps(table: SignalTable): readonly string[] {
  const tone = meterTone(table);
  const controlsTone = meterTone(signalTable("controls", table.band));
  if (tone === undefined || controlsTone === undefined) return [];
  const longer =
    tone.lengthS < shortToneS
      ? ` It is short; the same tone lasts ${controlsTone.lengthS} s in \`deskround signal --profile controls\`.`
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

function hotWords({ segments, nominalDbfs }: SignalTable): string {
  const levels = segments.flatMap((segment) =>
    segment.kind === "steps" ? segment.levelsDbfs : [],
  );
  if (levels.length === 0) return "";
  const hotDb = Math.max(...levels) - nominalDbfs;
  return ` The loudest step is ${hotDb} dB above: leave ${hotDb + 1} dB to clipping.`;
}

function signed(value: number): string {
  return value > 0 ? `+${value}` : String(value);
}

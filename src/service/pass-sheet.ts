import { listSettings } from "../desk/controls.js";
import { applyPads } from "../desk/pads.js";
import {
  type PassForm,
  type PassPlan,
  type PlannedPass,
  planPassWork,
  sumPassTimes,
} from "../desk/passes.js";
import { planPatchSteps } from "../desk/patch-steps.js";
import { formatRecordingKinds } from "../desk/recording-kinds.js";
import type { Desk, DeskInput, DeskPath } from "../desk/types.js";
import { zeroDbuVolts } from "../dsp/dbu.js";
import { dbToAmplitude } from "../dsp/decibels.js";
import type { SignalTable } from "../signal/types.js";
import type { OpenDanger } from "./notebook/open-dangers.js";
import {
  hotWords,
  listCautions,
  type RunSheetInput,
  type RunSheetSetting,
  stripStep,
  toneSteps,
} from "./run-sheet.js";

/** One patched or wired path. */
export interface PassSheetPlay {
  readonly output: number;
  readonly path: string;
  readonly nominalDbu: number;
  readonly nominalVolts: number;
  /** Where the plug goes; absent if it stays. */
  readonly plug?: string;
  readonly padDb?: number;
  /** Bus that the strip is routed to. */
  readonly bus?: string;
  /** Recorder channel of its return, from 1. */
  readonly channel?: number;
  readonly settings: readonly RunSheetSetting[];
}

export interface PassSheetPass {
  readonly number: number;
  readonly use: PlannedPass["use"];
  readonly form: PassForm;
  /** Name of the WAV file to play. */
  readonly file: string;
  /** Strips to open; all others are muted. */
  readonly open: readonly string[];
  /** Paths recorded together on one channel: noise, hum and clicks are measured for their sum. */
  readonly together: readonly (readonly string[])[];
  readonly plays: readonly PassSheetPlay[];
  readonly plugs: number;
  readonly handsS: number;
  readonly playS: number;
  /** Set if it can be patched while the previous pass plays. */
  readonly isAhead?: true;
}

/** Manual work, and its time. */
export interface PassSheetWork {
  readonly plugs: number;
  readonly plays: number;
  readonly handsS: number;
  readonly totalS: number;
}

/** The run sheet of passes: what to patch, route and open before each. */
export interface PassSheet {
  readonly desk: string;
  readonly profile: string;
  readonly sampleRate: number;
  /** Dangers in open notes, for which the power must stay off; absent if none. */
  readonly dangers?: readonly OpenDanger[];
  readonly cautions: readonly string[];
  readonly steps: readonly string[];
  readonly inputs: readonly RunSheetInput[];
  readonly passes: readonly PassSheetPass[];
  /** Paths that no output reaches. */
  readonly left: readonly string[];
  readonly work: PassSheetWork;
  /** The same paths played one by one. */
  readonly single: PassSheetWork;
  /** Set if only some paths are to be played. */
  readonly only?: readonly string[];
  /** Set for a re-test: passes of the whole desk, with their numbers there. */
  readonly isRetest?: true;
}

/** Inputs of the sheet besides desk and plan. */
export interface PassSheetOptions {
  readonly profile: string;
  readonly sampleRate: number;
  /** The signal of one output. */
  readonly table: SignalTable;
  readonly paths: readonly DeskPath[];
  readonly fileOf: (pass: PlannedPass) => { readonly file: string; readonly lengthS: number };
  readonly only?: readonly string[];
  readonly isRetest?: true;
  /** Dangers in open notes; none when absent. */
  readonly dangers?: readonly OpenDanger[];
}

/** The run sheet of a plan of passes. */
export function buildPassSheet(desk: Desk, plan: PassPlan, options: PassSheetOptions): PassSheet {
  const { profile, sampleRate, table, paths, fileOf, only, isRetest, dangers = [] } = options;
  const inputs = new Map(
    applyPads(desk.inputs, desk.referenceDbu).map((input) => [input.name, input]),
  );
  const works = planPassWork(desk, plan.passes);
  const passes = plan.passes.map((pass, k): PassSheetPass => {
    const { number, use, form, plays } = pass;
    const { plugs, changes, seconds, aheadS } = works[k];
    const { file, lengthS: playS } = fileOf(pass);
    const channels = [...new Set(plays.map(({ channel }) => channel))];
    return {
      number,
      use,
      form,
      file,
      open: [...new Set(plays.map(({ strip }) => strip))],
      together: channels
        .map((channel) => plays.filter((play) => play.channel === channel).map(({ path }) => path))
        .filter(({ length }) => length > 1),
      plays: plays.map((play): PassSheetPlay => {
        const input = inputs.get(play.input);
        const changed = new Set((changes.get(play.strip) ?? []).map(({ control }) => control));
        const { output, path, strip, bus, channel } = play;
        const nominalDbu = input?.nominalDbu ?? 0;
        return {
          output,
          path,
          nominalDbu,
          nominalVolts: zeroDbuVolts * dbToAmplitude(nominalDbu),
          ...(plugs.includes(output) ? { plug: plugOf(strip, play.input, input) } : {}),
          ...(use === "hand" && input !== undefined && input.padDb > 0
            ? { padDb: input.padDb }
            : {}),
          ...(bus === undefined ? {} : { bus }),
          ...(channel === undefined ? {} : { channel: channel + 1 }),
          settings: (input === undefined ? [] : listSettings(desk.controls, input)).map(
            (setting) => ({
              ...setting,
              move: changed.has(setting.control) ? ("set" as const) : ("as it is" as const),
            }),
          ),
        };
      }),
      plugs: plugs.length,
      handsS: seconds,
      playS,
      ...(aheadS > 0 ? { isAhead: true as const } : {}),
    };
  });
  const used = new Set(plan.passes.flatMap(({ plays }) => plays.map(({ input }) => input)));
  const reached = new Set(plan.passes.flatMap(({ plays }) => plays.map(({ path }) => path)));
  const handsS = passes.reduce((sum, pass) => sum + pass.handsS, 0);
  return {
    desk: desk.name,
    profile,
    sampleRate,
    ...(dangers.length === 0 ? {} : { dangers }),
    cautions: listCautions(),
    steps: steps(desk, table, passes, sampleRate),
    inputs: [...inputs.values()]
      .filter(({ name }) => used.has(name))
      .map(({ name, nominalDbu, setup, padDb }) => ({
        name,
        nominalDbu,
        nominalVolts: zeroDbuVolts * dbToAmplitude(nominalDbu),
        setup,
        ...(padDb === 0 ? {} : { padDb }),
      })),
    passes,
    left: plan.left,
    work: {
      plugs: passes.reduce((sum, { plugs }) => sum + plugs, 0),
      plays: passes.length,
      handsS,
      totalS: sumPassTimes(
        works,
        passes.map(({ playS }) => playS),
      ),
    },
    single: singly(
      desk,
      paths.filter(({ path }) => reached.has(path)),
      table.lengthS,
    ),
    ...(only === undefined ? {} : { only }),
    ...(isRetest === undefined ? {} : { isRetest }),
  };
}

/** The work if the same paths are patched one by one. */
function singly(desk: Desk, paths: readonly DeskPath[], lengthS: number): PassSheetWork {
  const handsS = planPatchSteps(desk, paths).reduce((sum, { seconds }) => sum + seconds, 0);
  return {
    plugs: paths.length,
    plays: paths.length,
    handsS,
    totalS: handsS + paths.length * lengthS,
  };
}

function plugOf(strip: string, name: string, input: DeskInput | undefined): string {
  return `strip ${strip}, ${input?.plug ?? `${name} socket`}`;
}

function steps(
  desk: Desk,
  table: SignalTable,
  passes: readonly PassSheetPass[],
  sampleRate: number,
): string[] {
  const rate = `${sampleRate / 1000} kHz`;
  const sums = passes.some(({ together }) => together.length > 0);
  const split = passes.some(({ use }) => use === "split");
  const [closed, movers] =
    desk.buses === undefined ? ["muted", "mutes"] : ["off the buses", "routes"];
  return [
    `Play each pass's file at ${rate} from all its outputs at once, channel 1 from output 1 and so on: no processing, no sample-rate conversion, every software fader at 0 dB.`,
    ...toneSteps(table),
    desk.buses === undefined
      ? `Set the strips that are open: ${stripStep}. Mute all others.`
      : `Set the strips that are routed: ${stripStep}. Before the first pass unmute all strips and take them off ${desk.buses[0]} to ${desk.buses.at(-1)}: from then on routes alone open and close them.`,
    `${whereRecorded(desk)} Set each recording input once: a healthy path returns about ${table.nominalDbfs} dBFS.${hotWords(table)}`,
    `Record at the same rate, 24 bit or more, as a lossless file (${formatRecordingKinds()}), in one file or one per pass; a file named \`pass 3.wav\` is taken for pass 3.`,
    `For each pass: patch and set what is listed, ${
      desk.buses === undefined
        ? "open the strips named, mute all others"
        : "route the strips named, take all others off the buses"
    }, play the file once to its end, tick.`,
    ...(passes.some(({ isAhead }) => isAhead)
      ? [
          `If a pass says so, patch and set it while the previous pass plays: keep its strips ${closed}, touch no strip that is open, and change ${movers} only when that pass has ended.`,
        ]
      : []),
    ...(sums
      ? [
          "Several strips are open on one channel at once: level, response, distortion and polarity are measured for each strip; noise, hum and clicks are measured for all of them together.",
        ]
      : []),
    ...(split
      ? [
          "Keep phantom power off on every input that the splitter feeds for as long as it is connected.",
        ]
      : []),
    "If nothing comes back from a path, still play the pass to its end: the recording shows whose turn was silent.",
  ];
}

function whereRecorded({ buses, channels, referenceDbu }: Desk): string {
  const level = referenceDbu > 0 ? `+${referenceDbu}` : String(referenceDbu);
  if (buses !== undefined) {
    return `Record ${buses.length} channels: ${buses[0]} on channel 1 to ${buses.at(-1)} on channel ${buses.length}.`;
  }
  if (channels !== undefined) {
    return `Record ${channels.length} channels, each the strip that desk.yaml names for it.`;
  }
  return `Record the mix output (${level} dBu) on one channel, or two in stereo.`;
}

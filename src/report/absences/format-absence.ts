import { getAbsence, type StoredAbsences } from "../../history/absences.js";
import type { Absence, SignalPart } from "../../measure/absence.js";
import { formatChange } from "../../text/format-signed.js";

type Wording = {
  readonly [C in Absence["code"]]: (absence: Extract<Absence, { code: C }>) => string;
};

const partNames: Readonly<Record<SignalPart | "beginning", string>> = {
  tone: "tone",
  step: "step",
  "level-steps": "level steps",
  "low-steps": "steps below nominal",
  "twin-tone": "twin tone",
  silence: "silence",
  sweep: "sweep",
  moves: "windows in which a control is moved",
  unmoved: "stretch in which nothing is moved",
  beginning: "beginning",
};

const plural: ReadonlySet<keyof typeof partNames> = new Set(["level-steps", "low-steps", "moves"]);

const emptyNames = {
  silence: "the silence is digital zero: nothing was recorded",
  "one-side": "one side is digital zero: nothing was recorded there",
  undriven: "the undriven channel is digital zero: nothing was recorded",
} as const;

const drownedNames = {
  reference: "the noise hides the sweep",
  middle: "the sweep is not clear of the noise in the middle of the band",
  "both-sides": "the sweep is not clear of the noise on both sides",
} as const;

const wording: Wording = {
  "as-recorded": ({ reason }) => reason,
  "not-in-signal": ({ part, profile }) => {
    const such = part === "tone" || part === "step" ? "such " : "";
    return `the ${profile} signal has no ${such}${partNames[part]}`;
  },
  "not-in-capture": ({ part, control }) => {
    if (control !== undefined) return `the window of ${control} is not in the recording`;
    const [whose, are] =
      part === "beginning" ? ["its", "is"] : ["the", plural.has(part) ? "are" : "is"];
    return `${whose} ${partNames[part]} ${are} not in the recording`;
  },
  "converter-clipped": () => "the converter clipped",
  "no-tone": ({ hz }) => `no ${hz} Hz tone above the noise`,
  "tone-beyond-rate": ({ hz, sampleRate }) =>
    `${hz} Hz is too high for ${sampleRate} samples per second`,
  "digital-zero": ({ of }) => emptyNames[of],
  "undriven-invalid": () => "some samples of the undriven channel are NaN or infinite",
  "of-undriven": ({ because }) => `the undriven channel: ${formatAbsence(because)}`,
  "of-other-side": ({ because }) => `the other side: ${formatAbsence(because)}`,
  "one-side-recorded": () => "only one side was recorded",
  "noise-unknown": ({ of }) =>
    of === "sweep" ? "the noise during the sweep is not known" : "the noise under it is not known",
  "sweep-gone": () => "nothing of the sweep came back",
  "sweep-in-noise": ({ where }) => drownedNames[where],
  "low-steps-in-noise": () => "the noise hides the steps below nominal",
  uncalibrated: () => "it needs a calibration",
  "input-not-calibrated": () =>
    "the calibration does not cover the input that it was recorded through",
  "calibration-without-noise": () =>
    "the calibration does not include the interface's noise from 20 Hz to 20 kHz: calibrate again",
  "without-noise": () => "the noise could not be read",
  "without-level": () => "the level could not be read",
  "below-thermal-noise": ({ belowDb, sourceOhm }) =>
    `it would be ${belowDb.toFixed(1)} dB below the thermal noise of ${sourceOhm} ohms: the level at the socket or the source is not what the desk file says`,
  "between-polarities": () => "the phase in the middle of the band is neither upright nor inverted",
  "overload-in-noise": () => "the noise hides 1 % of distortion",
  "clipped-before-overload": ({ aboveNominalDb }) =>
    `the converter clipped at ${formatStep(aboveNominalDb)}, before the path reached 1 % of distortion`,
  "above-highest-step": ({ aboveNominalDb }) =>
    `above ${formatStep(aboveNominalDb)}, the highest level sent`,
  "below-lowest-step": ({ aboveNominalDb }) =>
    `below ${formatStep(aboveNominalDb)}: more than 1 % of distortion already there`,
  "nothing-clips": ({ because }) => `nothing clips: ${formatAbsence(because)}`,
  "not-a-tone": () => "the waveform is no longer that of a tone",
  "no-mains-line": ({ mainsHz, withinHz }) =>
    `no mains line stands out within ${withinHz} Hz of ${mainsHz} Hz and its multiples`,
  "no-stray-tone": () => "no tone stands out in the silence",
  "harmonic-beyond-band": ({ order }) => `harmonic ${order} is above 20 kHz`,
  "corner-beyond-sweep": ({ end, edgeHz, isOtherShape }) => {
    const beyond = `lies ${end === "low" ? "below" : "above"} ${Math.round(edgeHz)} Hz`;
    return isOtherShape ? `${beyond}: ${formatOtherShape(end)}` : beyond;
  },
  "no-roll-off": () => "no roll-off within the range of the sweep",
  "other-shape": ({ end }) => formatOtherShape(end),
  "order-unclear": () =>
    "in the range of the sweep, a single capacitor and a filter would look the same",
  "not-finite": () => "the result is not a finite number",
  "hidden-by-share": () => "hidden by what it shares with its siblings",
  "of-open-strips": ({ strips }) =>
    `${strips} strips were open at once, so it belongs to all of them together`,
};

/**
 * Why a reading or a curve could not be made, in words.
 *
 * @example
 * formatAbsence({ code: "no-tone", hz: 1000 }); // "no 1000 Hz tone above the noise"
 */
export function formatAbsence(absence: Absence): string {
  // Rounds of a later program may hold codes that this one does not know.
  const format = wording[absence.code] as ((absence: Absence) => string) | undefined;
  return format?.(absence) ?? absence.code;
}

/**
 * Why a reading or a curve of a stored path could not be made; undefined if no reason is stored.
 */
export function formatStoredAbsence(stored: StoredAbsences, id: string): string | undefined {
  const absence = getAbsence(stored, id);
  return absence === undefined ? undefined : formatAbsence(absence);
}

/** All reasons of a path in words: id to reason. */
export function formatAbsences(
  absences: Readonly<Record<string, Absence>>,
): Readonly<Record<string, string>> {
  return Object.fromEntries(
    Object.entries(absences).map(([id, absence]) => [id, formatAbsence(absence)]),
  );
}

function formatOtherShape(end: "low" | "high"): string {
  return `the ${end} end is not shaped like a roll-off`;
}

function formatStep(aboveNominalDb: number): string {
  return `${formatChange(String(aboveNominalDb))} dB`;
}

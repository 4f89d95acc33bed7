import type { Condition, EpochReason } from "../../history/condition.js";
import { formatCount } from "../../text/format-count.js";
import { formatChange } from "../../text/format-signed.js";

type Wording = {
  readonly [C in Condition["code"]]: (condition: Extract<Condition, { code: C }>) => string;
};

const wording: Wording = {
  partial: ({ round, paths }) => {
    const [what, are] = paths === 1 ? ["the path", "is"] : [`the ${paths} paths`, "are"];
    return `Round ${round} is a partial one: only ${what} that it was asked for ${are} compared.`;
  },
  "other-profile": ({ earlier, later }) =>
    `The signal was "${earlier}" then and is "${later}" now: what only one of them gives is not compared.`,
  "other-rate": ({ thenHz, nowHz, band }) =>
    `Recorded at ${thenHz / 1000} kHz then and at ${nowHz / 1000} kHz now: curves are compared as far as both reach${band === "same" ? "" : ", the high corner not at all"}.`,
  "other-version": ({ earlier, later }) =>
    `The signal was of version ${earlier} then and is of version ${later} now.`,
  "other-level": ({ thenDbfs, nowDbfs }) =>
    `The tones were sent at ${thenDbfs} dBFS then and at ${nowDbfs} dBFS now: readings that depend on level are not compared.`,
  "other-mains": ({ thenHz, nowHz }) =>
    `The mains were ${thenHz} Hz then and are ${nowHz} Hz now: hum is not compared.`,
  "one-in-passes": ({ round, together }) =>
    `Only round ${round} was played in passes: levels may differ as outputs and buses do.${together === 0 ? "" : ` Noise, hum and clicks of ${formatCount(together, "path")} were heard of several strips together and are not compared.`}`,
  "both-in-passes": ({ together, otherWay }) =>
    [
      together === 0
        ? []
        : `Noise, hum and clicks of ${formatCount(together, "path")} were heard of several strips together and are not compared.`,
      otherWay === 0
        ? []
        : `${formatCount(otherWay, "path")} went through another output or channel than then: levels may differ as these do.`,
    ]
      .flat()
      .join(" "),
  "calibration-left-out": ({ round }) =>
    `Measured without the calibration, levels in dBFS, as round ${round} was: what the interface adds is in both.`,
  "one-calibrated": ({ round }) =>
    `Only round ${round} is calibrated: its levels were taken back to dBFS to be compared, and its gains are relative. Noise and distortion near the interface's own are not compared.`,
  "new-epoch": ({ round, because }) =>
    `Before round ${round} ${formatEpochReason(because)}: trends restart there; those of lower corners go on, less what all siblings changed by.`,
};

function formatEpochReason(reason: EpochReason): string {
  switch (reason.code) {
    case "calibration-made":
      return "a calibration was made";
    case "calibration-given-up":
      return "the calibration was given up";
    case "other-rate":
      return "the sample rate was changed";
    case "other-level":
      return "the level of the tones was changed";
    case "level-step":
      return `the level of all paths changed by ${formatChange(reason.db.toFixed(1))} dB, as by another interface`;
  }
}

/**
 * What differed in how rounds were made, in words.
 *
 * @example
 * formatCondition({ code: "other-mains", thenHz: 50, nowHz: 60 });
 * // "The mains were 50 Hz then and are 60 Hz now: hum is not compared."
 */
export function formatCondition(condition: Condition): string {
  return (wording[condition.code] as (condition: Condition) => string)(condition);
}

/** The same data with its conditions in words beside them, as `--json` prints it. */
export function addNotes<T extends { readonly conditions: readonly Condition[] }>(
  found: T,
): T & { readonly notes: readonly string[] } {
  return { ...found, notes: found.conditions.map(formatCondition) };
}

import type { Condition, EpochReason } from "../../history/condition.js";
import { formatCount } from "../../text/format-count.js";
import { formatChange } from "../../text/format-signed.js";

type Wording = {
  readonly [C in Condition["code"]]: (condition: Extract<Condition, { code: C }>) => string;
};

const wording: Wording = {
  partial: ({ round, paths }) => {
    const [what, were, are] =
      paths === 1 ? ["the path", "was", "is"] : [`the ${paths} paths`, "were", "are"];
    return `Round ${round} is partial: only ${what} that ${were} asked for ${are} compared.`;
  },
  "other-profile": ({ earlier, later }) =>
    `The signal was "${earlier}" then and is "${later}" now: readings that only one of them provides are not compared.`,
  "other-rate": ({ thenHz, nowHz, band }) =>
    `Recorded at ${thenHz / 1000} kHz then and at ${nowHz / 1000} kHz now: curves are compared as far as both reach${band === "same" ? "" : ", the high corner not at all"}.`,
  "other-version": ({ earlier, later }) =>
    `The signal was version ${earlier} then and is version ${later} now.`,
  "other-level": ({ thenDbfs, nowDbfs }) =>
    `The tones were sent at ${thenDbfs} dBFS then and at ${nowDbfs} dBFS now: readings that depend on level are not compared.`,
  "other-mains": ({ thenHz, nowHz }) =>
    `The mains were ${thenHz} Hz then and are ${nowHz} Hz now: hum is not compared.`,
  "one-in-passes": ({ round, together }) =>
    `Only round ${round} was played in passes: levels may differ by as much as outputs and buses do.${together === 0 ? "" : ` Noise, hum and clicks of ${formatCount(together, "path")} were measured on several strips together and are not compared.`}`,
  "both-in-passes": ({ together, otherWay }) =>
    [
      together === 0
        ? []
        : `Noise, hum and clicks of ${formatCount(together, "path")} were measured on several strips together and are not compared.`,
      otherWay === 0
        ? []
        : `${formatCount(otherWay, "path")} used another output or channel than before: levels may differ by as much as these do.`,
    ]
      .flat()
      .join(" "),
  "calibration-left-out": ({ round }) =>
    `Measured without the calibration, levels in dBFS, like round ${round}: both include what the interface adds.`,
  "one-calibrated": ({ round }) =>
    `Only round ${round} is calibrated: its levels were converted back to dBFS for the comparison, and its gains are relative. Noise and distortion near the interface's own are not compared.`,
  "new-epoch": ({ round, because }) =>
    `Before round ${round} ${formatEpochReason(because)}: trends restart there; those of lower corners continue, less the change common to all siblings.`,
};

function formatEpochReason(reason: EpochReason): string {
  switch (reason.code) {
    case "calibration-made":
      return "a calibration was made";
    case "calibration-given-up":
      return "the calibration was dropped";
    case "other-rate":
      return "the sample rate was changed";
    case "other-level":
      return "the level of the tones was changed";
    case "level-step":
      return `the level of all paths changed by ${formatChange(reason.db.toFixed(1))} dB, as if through another interface`;
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

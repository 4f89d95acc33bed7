import type { Incomparable, NoPartner, Unmeasured } from "../../history/compare/incomparable.js";
import type { PathComparison, RoundComparison } from "../../history/compare/types.js";
import { formatAbsence } from "../absences/format-absence.js";
import { formatReason } from "../not-measured/format-reason.js";
import { addNotes } from "./format-condition.js";

/**
 * Why a reading cannot be compared.
 *
 * @example
 * formatIncomparable({ code: "other-unit", earlier: "dBFS", later: "dBu" }); // "dBFS then, dBu now"
 */
export function formatIncomparable(why: Incomparable): string {
  switch (why.code) {
    case "not-then":
      return `not then: ${why.because ? formatAbsence(why.because) : "the signal did not provide it"}`;
    case "not-now":
      return `not now: ${why.because ? formatAbsence(why.because) : "the signal does not provide it"}`;
    case "other-unit":
      return `${why.earlier} then, ${why.later} now`;
    case "noise-both-times":
      return "noise hid it both times";
    case "other-band-end":
      return "the two signals end at different frequencies";
    case "other-level":
      return "the tones were sent at different levels";
    case "other-mains":
      return "the mains frequency is different";
    case "interface-share":
      return "the interface's own share was subtracted in one of the two rounds only, and is not small";
  }
}

/** Why two rounds have nothing to compare on a path. */
export function formatNoPartner(why: NoPartner): string {
  switch (why.code) {
    case "not-in-earlier":
      return "not a path of the earlier round";
    case "not-in-later":
      return "not a path of the later round";
    case "not-measured":
      return [...say("then", why.earlier), ...say("now", why.later)].join(", ");
  }
}

function say(when: string, path: Unmeasured | undefined): readonly string[] {
  if (path === undefined) return [];
  const { status } = path;
  const reason = formatReason(path);
  return [`${status} ${when}${reason === undefined ? "" : ` (${reason})`}`];
}

/** A comparison with its words beside the data, as `--json` prints it. */
export function wordComparison({ paths, ...comparison }: RoundComparison) {
  return addNotes({ ...comparison, paths: paths.map(wordPath) });
}

function wordPath({ notCompared, noPartner, partner, ...path }: PathComparison) {
  return {
    ...path,
    ...(noPartner === undefined ? {} : { reason: formatNoPartner(noPartner), noPartner }),
    ...wordIncomparable(notCompared),
    ...(partner === undefined
      ? {}
      : { partner: { ...partner, ...wordIncomparable(partner.notCompared) } }),
  };
}

function wordIncomparable(why: PathComparison["notCompared"]) {
  const entries = Object.entries(why);
  return {
    notCompared: Object.fromEntries(entries.map(([id, one]) => [id, formatIncomparable(one)])),
    ...(entries.length === 0 ? {} : { incomparable: why }),
  };
}

import { findCause, getCauseName } from "../../diagnose/causes.js";
import { getReadingName } from "../../measure/reading-kinds.js";
import type { Remark } from "../../remark.js";
import { countMostPlays } from "../../service/halving.js";
import { capitalize } from "../../text/capitalize.js";
import { formatCount } from "../../text/format-count.js";
import { formatCommand } from "../../text/program-name.js";

type Wording = {
  readonly [C in Remark["code"]]: (remark: Extract<Remark, { code: C }>) => string;
};

const wording: Wording = {
  "two-batches": ({ family, strips, readings }) => {
    const [a, b] = strips.map((own) => own.join(", "));
    const names = readings.map((id) => getReadingName(id));
    return `The ${family} paths are two batches that differ in ${names.join(" and ")}: strips ${a}; and ${b}. Each was compared with its own kind. If this is right, say so in desk.yaml with \`families\`.`;
  },
  "cause-on-nearly-all": ({ cause, count, of }) =>
    `${count} of ${of} strips show: ${getCauseName(cause)}. Check what all share: the master section, the interface, the run sheet.`,
  "cause-on-shared-part": ({ cause, part, strips, without }) => {
    const share = without.length === 0 ? "They share" : `With ${without.join(", ")} they share`;
    return `Strips ${strips.join(", ")} show: ${getCauseName(cause)}. ${share} ${part}.`;
  },
  "cause-on-neighbours": ({ cause, first, last }) => {
    const advice =
      findCause(cause)?.kind === "fault"
        ? "Check what they share: a supply feed, a ribbon cable, a bus."
        : "Check whether they were set or patched together.";
    return `Neighbouring strips ${first} to ${last} show: ${getCauseName(cause)}. ${advice}`;
  },
  "sum-too-high": ({ reading, paths, above, unit, against }) => {
    const name = getReadingName(reading);
    const side =
      against === "siblings" ? "as many other strips" : "what they had one by one, added up";
    const plays = countMostPlays(paths.length);
    return `${capitalize(name)} of ${paths[0]} to ${paths.at(-1)} together is ${above.toFixed(1)} ${unit} above that of ${side}: the cause is in one of these ${paths.length} strips, or where they are joined. At most ${plays} plays with some of them muted will find it: ${formatCommand("halve")}`;
  },
  "sum-in-phase": ({ reading, paths, above }) =>
    `${capitalize(getReadingName(reading))} of ${paths[0]} to ${paths.at(-1)} together is ${above.toFixed(1)} dB above the usual. Hum of several strips may add in phase and reach that with none of them faulty, but a strip that is so much louder may also be hidden in it. At most ${countMostPlays(paths.length)} plays with some of them muted will show which: ${formatCommand("halve")}`,
  "sums-unjudged": ({ readings, paths }) => {
    const names = readings.map((id) => getReadingName(id));
    return `${capitalize(names.join(", "))} of ${formatCount(paths, "path")} were measured on several strips together, and what they should add up to is not known: there is no earlier round, and there are fewer than three passes of a kind.`;
  },
  "family-past-limit": ({ family, count, of, limit, expression, since }) => {
    const against = since === undefined ? "" : ` since round ${since}`;
    return `${count} of ${of} ${family} paths are past the limit ${limit} (${expression})${against}: a fault common to all makes none of them stand out. Check their age, and what they share.`;
  },
};

/**
 * What several strips have in common, in words.
 *
 * @example
 * formatRemark({ code: "cause-on-neighbours", cause: "supply-ripple", first: "3", last: "5" });
 * // "Neighbouring strips 3 to 5 show: ripple of the supply. Look at what they share: …"
 */
export function formatRemark(remark: Remark): string {
  return (wording[remark.code] as (remark: Remark) => string)(remark);
}

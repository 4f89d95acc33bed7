import type { Answer } from "../../sitting/types.js";
import { formatCount } from "../../text/format-count.js";
import { formatFinding } from "../findings/format-finding.js";
import { formatHeard } from "../not-measured/format-heard.js";
import { formatNotMeasured } from "../not-measured/format-not-measured.js";
import { formatSharedFinding } from "../shared/format-shared.js";
import { formatTryNow } from "./format-try-now.js";

/**
 * The answer to a return: what it shows, in one line, and what to try now in a second one if there
 * is anything to try.
 */
export function formatAnswer(answer: Answer): readonly string[] {
  const { path, take, standing } = answer;
  const head = `${path}${take > 1 ? `, take ${take}` : ""}: `;
  const now = formatTryNow(answer);
  const fits =
    answer.fits === undefined
      ? []
      : [
          `it fits ${answer.fits} of the last round far better: is the plug in ${answer.fits}? y assigns it to that path`,
        ];
  const lines = [`${head}${formatStanding(answer)}`, ...fits];
  if (standing === "alike" || standing === "unjudged") {
    return answer.clipped ? [...lines, `the converter clipped: ${now}`] : lines;
  }
  return now === "" ? lines : [...lines, `try now: ${now}`];
}

/** What stands out on a path, and its most likely cause. */
export function formatStanding(answer: Answer): string {
  const { standing, findings, cause } = answer;
  const reason = formatAnswerReason(answer);
  switch (standing) {
    case "alike":
      return `like ${basis(answer)}`;
    case "unjudged":
      return `${formatBeyond(answer)}; no sibling to compare it with yet`;
    case "unusable":
      return `not usable: ${reason ?? "it could not be measured"}`;
    case "unheard":
      return `nothing came back${reason === undefined ? "" : ` (${reason})`}`;
    default: {
      const told = findings.slice(0, 2).map((one) => formatFinding(one));
      const more = findings.length - told.length;
      const rest = more > 0 ? `, and ${formatCount(more, "more reading")}` : "";
      const chance =
        cause?.probability === undefined ? "" : `, ${Math.round(100 * cause.probability)} %`;
      const because = cause === undefined ? "" : ` (${cause.name}${chance})`;
      const against = answer.against === "last-round" ? ", compared with the last round" : "";
      return `${told.join("; ")}${rest}${because}${against}`;
    }
  }
}

/** Why a path could not be measured, or what came back instead, in words. */
export function formatAnswerReason({ because }: Pick<Answer, "because">): string | undefined {
  if (because === undefined) return undefined;
  return because.code === "nothing-back" ? formatHeard(because.heard) : formatNotMeasured(because);
}

/** A path alone is compared with what the desk file expects. */
function formatBeyond({ beyond = [] }: Answer): string {
  if (beyond.length === 0) return "within what such a desk should show";
  const [first] = beyond;
  const more = beyond.length > 1 ? `, and ${formatCount(beyond.length - 1, "more reading")}` : "";
  return `${formatSharedFinding(first, "expectation")}${more}`;
}

function basis({ against, siblings }: Answer): string {
  return against === "last-round"
    ? "its siblings in the last round"
    : siblings === 1
      ? "its one sibling so far"
      : `its ${siblings} siblings so far`;
}

import { getReadingName } from "../measure/reading-kinds.js";
import type { HalvingResult } from "../service/halving.js";
import { formatCount } from "../text/format-count.js";
import { toDifferenceUnit } from "../text/level-units.js";
import { formatCommand } from "../text/program-name.js";
import type { ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** The next play, or the strip that was found, in a few lines. */
export function renderHalve(result: HalvingResult, style: ReportStyle): string {
  const { sum, step, plays, of } = result;
  const name = getReadingName(sum.reading);
  const unit = toDifferenceUnit(sum.unit);
  const above = (sum.value - (sum.expected ?? sum.value)).toFixed(1);
  const group = `${sum.paths[0]} to ${sum.paths.at(-1)}`;
  const head = `Round ${result.round}: ${name} of ${group} together is ${above} ${unit} ${sum.verdict === "too-high" ? "too high" : "above the usual, which strips in phase may cause"}.`;
  const others = of > 1 ? [`${of} sums are too high or undecided: --which 2 is for the next.`] : [];
  const width = Math.max(60, Math.min(style.width, 80));
  return [head, ...others, ...answer()].flatMap((line) => wrapText(line, width)).join("\n");

  function answer(): readonly string[] {
    switch (step.do) {
      case "play": {
        const mute = sum.paths.filter((path) => !step.open.includes(path));
        const muted = mute.length === 0 ? "" : `, mute ${mute.join(", ")}`;
        return [
          ...(plays.length === 0 && result.pass !== undefined
            ? [`Patch, route and set pass ${result.pass} as its sheet says.`]
            : []),
          `Play ${plays.length + 1}: open ${step.open.join(", ")}${muted}; leave all else as it was, and play the pass's file again.`,
          `Then: ${formatCommand("halve", "<recordings so far, in order>")} (at most ${formatCount(step.most, "more play")}).`,
        ];
      }
      case "found":
        return [
          `It is ${step.strip}, found in ${formatCount(plays.length, "play")}: played alone, it shows the fault. \`${formatCommand(`signal --single --only ${step.strip}`)}\` measures it alone.`,
        ];
      case "unclear":
        return [
          step.why === "none"
            ? "The fault is gone: these plays are as quiet as those of good strips. It is intermittent, or something else was switched on then."
            : `No single one of these strips explains the plays: it is two of them, or the bus itself. Play them one by one: ${formatCommand(`signal --single --only ${sum.paths.join(",")}`)}`,
        ];
    }
  }
}

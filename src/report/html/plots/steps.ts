import { line } from "d3-shape";
import { getReadingId } from "../../../measure/reading-kinds.js";
import type { LevelStep } from "../../../measure/types.js";
import { minSiblings } from "../../../rank/family-stats.js";
import { computeScatter } from "../../../rank/robust-stats.js";
import { formatSigned } from "../../../text/format-signed.js";
import { formatStoredAbsence } from "../../absences/format-absence.js";
import { html, type Markup } from "../markup.js";
import { type Axis, buildEvenAxis, buildValueAxis, plotArea } from "./axes.js";
import type { Drawing, FigureKind } from "./figure.js";
import { renderFrame, roundCoordinate } from "./frame.js";

/** Smallest span from bottom to top, so that small differences do not look large, decibels. */
const leastSpanDb = 1;
/** Margin beside the lowest and the highest step, decibels. */
const besideDb = 3;

/** The level steps: where gain rises or falls with level. */
export const stepsFigure: FigureKind = {
  id: "steps",
  title: "Gain along the level steps",
  draw(drawing) {
    const { path, baseline, pieces } = drawing;
    const { steps } = path;
    if (steps === undefined || steps.length === 0) return { absent: whyNone(drawing) };
    const before = baseline?.path.steps ?? [];
    const usual = usualSteps(drawing);
    const sent = [...steps, ...before, ...usual].map(({ aboveNominalDb }) => aboveNominalDb);
    const x = buildEvenAxis(
      Math.min(...sent) - besideDb,
      Math.max(...sent) + besideDb,
      "sent, dB above nominal",
    );
    const gains = [...steps, ...before, ...usual].map(({ gainDb }) => gainDb);
    const y = buildValueAxis(gains, leastSpanDb, "gain relative to nominal, dB");
    const along = (of: readonly Step[]) =>
      line<Step>()
        .x(({ aboveNominalDb }) => x.place(aboveNominalDb))
        .y(({ gainDb }) => y.place(gainDb))
        .digits(1)(of) ?? "";
    const label = `${path.path} along the level steps: ${stepWords(steps)}.`;
    const body = html`${renderFrame(pieces, x, y)}${
      usual.length > 1 ? html`<path class="median" d="${along(usual)}"/>` : ""
    }${
      before.length > 1 ? html`<path class="before" d="${along(before)}"/>` : ""
    }<path class="own" d="${along(steps)}"/>${steps.map((step) => dot(step, x, y))}`;
    const caption = [
      `Dots: ${path.path}, with uncertainty.`,
      before.length > 1 ? ` Dashed: round ${baseline?.round}.` : "",
      usual.length > 1 ? " Grey: median of the siblings." : "",
      ` Numbers: distortion in dB.`,
    ];
    return { label, caption: caption.join(""), plot: { label, body } };
  },
};

type Step = Pick<LevelStep, "aboveNominalDb" | "gainDb">;

/** The siblings' median at each level that enough of them have. */
function usualSteps({ path, siblings }: Drawing): readonly Step[] {
  return (path.steps ?? []).flatMap(({ aboveNominalDb }) => {
    const gains = siblings.flatMap(({ steps = [] }) =>
      steps.flatMap((step) => (step.aboveNominalDb === aboveNominalDb ? [step.gainDb] : [])),
    );
    return gains.length < minSiblings
      ? []
      : [{ aboveNominalDb, gainDb: computeScatter(gains).median }];
  });
}

function dot(
  { aboveNominalDb, gainDb, uncertainty, distortionDb }: LevelStep,
  x: Axis,
  y: Axis,
): Markup {
  const at = roundCoordinate(x.place(aboveNominalDb));
  const top = Math.max(plotArea.top, roundCoordinate(y.place(gainDb + uncertainty)));
  const bottom = Math.min(plotArea.bottom, roundCoordinate(y.place(gainDb - uncertainty)));
  const under = distortionDb !== undefined && aboveNominalDb % 6 === 0;
  return html`<path class="doubt" d="M${at} ${top}V${bottom}"/><circle class="step" cx="${at}" cy="${roundCoordinate(y.place(gainDb))}" r="2.4"/>${
    under
      ? html`<text class="note" x="${at}" y="${plotArea.bottom - 4}" text-anchor="middle">${formatSigned(distortionDb.toFixed(0))}</text>`
      : ""
  }`;
}

function stepWords(steps: readonly LevelStep[]): string {
  const [lowest, highest] = [steps[0], steps[steps.length - 1]];
  return [lowest, highest]
    .map(
      ({ aboveNominalDb, gainDb }) =>
        `${formatSigned(gainDb.toFixed(2))} dB at ${formatSigned(String(aboveNominalDb))} dB`,
    )
    .join(", ");
}

function whyNone({ path, signal }: Drawing): string {
  if (signal.profile === "quick" || signal.profile === "controls") {
    return `the ${signal.profile} signal has no steps to compare`;
  }
  return formatStoredAbsence(path, getReadingId("step-gain")) ?? "the round does not contain them";
}

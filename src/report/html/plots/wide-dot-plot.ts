import { html, type Markup } from "../markup.js";
import type { PathView } from "../view.js";
import { bandDeviations } from "./curves.js";
import { createDotScale, type DotPlotData } from "./dot-plot.js";
import { roundCoordinate } from "./frame.js";

const size = { width: 520, height: 36, margin: 26 } as const;
/** About the largest number of ticks on the scale. */
const mostTicks = 5;
/** Names closer than this would overlap, units of the drawing. */
const nameWidth = 46;

/** A reading of all siblings along one line; those that stand out are filled and named. */
export function renderWideDotPlot(
  crowd: DotPlotData,
  paths: readonly PathView[],
  reading: string,
  name: string,
  unit: string,
): Markup {
  const place = createDotScale(crowd, size.width, size.margin);
  const { median, scale } = crowd.scatter;
  const [from, to] = [-1, 1].map((side) =>
    roundCoordinate(place(median + side * bandDeviations * scale)),
  );
  const odd = paths.filter(({ path }) =>
    path.findings.some((f) => f.reading === reading && f.severity !== "remark"),
  );
  const dots = paths.map((one) => {
    const { path, stripNumber } = one;
    const at = roundCoordinate(place(path.readings[reading].value));
    const look = odd.includes(one) ? "dot odd" : "dot";
    return html`<circle class="${look}" data-s="${stripNumber}" cx="${at}" cy="15" r="3"><title>${path.path}</title></circle>`;
  });
  // Counts do not go below 0; levels in decibels do.
  const isCount = !unit.startsWith("dB") && crowd.values.every((value) => value >= 0);
  const label = `${name} of ${paths.length} siblings${odd.length === 0 ? "; none stands out" : `; standing out: ${odd.map(({ path }) => path.path).join(", ")}`}`;
  return html`<svg class="wide-strip" viewBox="0 0 ${size.width} ${size.height}" role="img" aria-label="${label}"><path class="strip-band" d="M${from} 9.5H${Math.max(to, from + 1)}V20.5H${from}z"/><path class="strip-median" d="M${roundCoordinate(place(median))} 8V22"/>${scaleOf(place, isCount)}${dots}${names(odd, (one) => place(one.path.readings[reading].value))}</svg>`;
}

/** The scale along the plot, at round numbers. */
function scaleOf(place: ReturnType<typeof createDotScale>, isCount: boolean): Markup {
  const text = place.tickFormat(mostTicks);
  const [from, to] = place.range().map(roundCoordinate);
  const ticks = place.ticks(mostTicks).filter((value) => !isCount || value >= 0);
  return html`<path class="scale" d="M${from} 22.5H${to}"/>${ticks.map((value) => {
    const at = roundCoordinate(place(value));
    return html`<path class="scale" d="M${at} 22.5V25.5"/><text class="tick" x="${at}" y="34.5" text-anchor="middle">${text(value)}</text>`;
  })}`;
}

function names(odd: readonly PathView[], at: (one: PathView) => number): readonly Markup[] {
  let end = Number.NEGATIVE_INFINITY;
  return [...odd]
    .sort((a, b) => at(a) - at(b))
    .flatMap((one) => {
      const x = at(one);
      if (x - nameWidth / 2 < end) return [];
      end = x + nameWidth / 2;
      return [
        html`<text class="note" x="${roundCoordinate(x)}" y="8" text-anchor="middle">${one.path.path}</text>`,
      ];
    });
}

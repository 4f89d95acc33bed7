import { getCurveId } from "../../history/standing.js";
import type { RoundFinding } from "../../history/types.js";
import { readingKinds } from "../../measure/reading-kinds.js";
import { formatSigned } from "../../text/format-signed.js";
import { html, type Markup } from "./markup.js";
import { computeExtent } from "./plots/axes.js";
import { type DotPlotData, renderSmallDotPlot } from "./plots/dot-plot.js";
import { appendUnit } from "./values.js";
import type { FamilyView, PathView, View } from "./view.js";

/** A reading of all members of a family; undefined if too few have it. */
export function buildDotPlotData(family: FamilyView, reading: string): DotPlotData | undefined {
  const known = crowds.get(family) ?? new Map<string, DotPlotData | undefined>();
  crowds.set(family, known);
  if (!known.has(reading)) known.set(reading, gathered(family, reading));
  return known.get(reading);
}

/** Cached, as every path of a family asks for the same data. */
const crowds = new WeakMap<FamilyView, Map<string, DotPlotData | undefined>>();

function gathered(family: FamilyView, reading: string): DotPlotData | undefined {
  const scatter = family.usual?.readings[reading];
  const index = readingKinds.findIndex(({ id }) => id === reading);
  if (scatter === undefined || index < 0) return undefined;
  const { least } = readingKinds[index];
  const values = family.members.flatMap(({ readings }) => readings[reading]?.value ?? []);
  return { piece: `r${family.number}-${index}`, values, scatter, least };
}

/** A path's reading among its siblings'; undefined if there is nothing to show. */
export function renderSiblingDotPlot(
  { pieces }: View,
  { path, family }: PathView,
  reading: string,
): Markup | undefined {
  const own = path.readings[reading];
  const crowd = buildDotPlotData(family, reading);
  return own === undefined || crowd === undefined
    ? undefined
    : renderSmallDotPlot(pieces, crowd, own);
}

/** The value of a finding among its siblings': its reading, or its point on the response. */
export function renderFindingDotPlot(
  view: View,
  one: PathView,
  finding: RoundFinding,
): Markup | undefined {
  const at = finding.atHz;
  if (finding.side !== undefined && finding.side === one.path.partner?.side) {
    const { side: _, ...own } = finding;
    return one.other === undefined ? undefined : renderFindingDotPlot(view, one.other, own);
  }
  if (at === undefined) {
    const plot = renderSiblingDotPlot(view, one, finding.reading);
    const data = buildDotPlotData(one.family, finding.reading);
    if (plot === undefined || data === undefined) return undefined;
    return html`${plot}${renderEnds(data, one.path.readings[finding.reading].unit)}`;
  }
  const curve = getCurveId(finding.reading);
  const { path, family } = one;
  const usual = family.usual?.curves[curve];
  const i = usual?.x.findIndex((hz) => Math.abs(hz / at - 1) < 0.005) ?? -1;
  const [scatter, own] = [usual?.points[i], path.curves[curve]];
  if (scatter === undefined || own?.y[i] === undefined) return undefined;
  const values = family.members.flatMap(({ curves }) => curves[curve]?.y[i] ?? []);
  const crowd = { piece: `r${family.number}-${curve}-${i}`, values, scatter };
  const reading = { value: own.y[i], unit: own.yUnit, uncertainty: own.uncertainty[i] };
  return html`${renderSmallDotPlot(view.pieces, crowd, reading)}${renderEnds(crowd, own.yUnit)}`;
}

/** Lowest and highest value of a dot plot, under its ends. */
export function renderEnds({ values }: DotPlotData, unit: string): Markup {
  const [low, high] = computeExtent(values);
  const digits = high - low < 1 ? 2 : high - low < 20 ? 1 : 0;
  const [from, to] = [low, high].map((value) => formatSigned(value.toFixed(digits)));
  return html`<span class="ends"><span>${from}</span> <span>${appendUnit(to, unit)}</span></span>`;
}

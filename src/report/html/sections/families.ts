import { readingKinds } from "../../../measure/reading-kinds.js";
import { formatCount } from "../../../text/format-count.js";
import { html, type Markup } from "../markup.js";
import { type Axis, buildValueAxis, plotArea } from "../plots/axes.js";
import { renderFamilyCurve } from "../plots/curve-figure.js";
import {
  bandDeviations,
  buildPoints,
  type CurveSpace,
  formatCurveData,
  formatCurveTransform,
  listBandValues,
  renderCurvePiece,
} from "../plots/curves.js";
import { buildDistortionSpace } from "../plots/distortion.js";
import { renderPlotElement } from "../plots/figure.js";
import { renderFrame } from "../plots/frame.js";
import { buildNoiseSpace } from "../plots/noise.js";
import { buildResponseSpace } from "../plots/response.js";
import { renderWideDotPlot } from "../plots/wide-dot-plot.js";
import { buildDotPlotData, renderEnds } from "../siblings.js";
import { isOdd } from "../standing-signs.js";
import { formatFamilyValue } from "../values.js";
import type { FamilyView, View } from "../view.js";

/** What all members of a family look like together. */
export function renderFamiliesSection(view: View): Markup {
  return html`<section id="families"><h2>The families</h2>
<p>Paths that ought to measure alike. Grey bands hold about 95 % of healthy siblings: median ± ${bandDeviations} robust standard deviations.</p>
${[...view.families, ...view.sideFamilies].map((family) => familyPart(view, family))}
</section>`;
}

function familyPart(view: View, family: FamilyView): Markup {
  const { name, members, usual } = family;
  const heading = html`<h3>${name}, ${formatCount(members.length, "path")} measured</h3>`;
  if (usual === undefined) {
    return html`<article class="family">${heading}<p>Too few to compare with one another.</p></article>`;
  }
  return html`<article class="family" data-family="${name}">${heading}<div class="figures">${overlays.flatMap(
    (one) => overlay(view, family, one) ?? [],
  )}</div>${readingRows(view, family)}</article>`;
}

interface Overlay {
  readonly curve: string;
  readonly title: string;
  readonly least: number;
  readonly space: (topHz: number) => CurveSpace;
}

const overlays: readonly Overlay[] = [
  { curve: "response", title: "Responses", least: 3, space: buildResponseSpace },
  { curve: "noise", title: "Noise in third octaves", least: 20, space: buildNoiseSpace },
  { curve: "distortion", title: "Distortion", least: 20, space: buildDistortionSpace },
];

/** A dead path must not squash all others into one line. */
const farthestDb = 40;

function overlay(view: View, family: FamilyView, { curve, title, least, space: spaceOf }: Overlay) {
  const { pieces, sides, topHz } = view;
  const crowd = family.usual?.curves[curve];
  const space = spaceOf(topHz);
  const drawn = sides.filter(
    ({ family: of, path }) => of === family && path.curves[curve] !== undefined,
  );
  if (drawn.length === 0) return undefined;
  const unit = drawn[0].path.curves[curve].yUnit;
  const y = sharedAxis(
    drawn.flatMap(({ path }) => path.curves[curve].y),
    crowd === undefined ? [] : listBandValues(crowd),
    least,
    unit,
  );
  const placed = formatCurveTransform(y, space);
  const clip = pieces.define(
    "clip",
    (id) =>
      html`<clipPath id="${id}"><path d="M${plotArea.left} ${plotArea.top}H${plotArea.right}V${plotArea.bottom}H${plotArea.left}z"/></clipPath>`,
  );
  const lines = drawn.map(({ path, number, stripNumber, standing }) => {
    const { x, y: values } = path.curves[curve];
    // Reuses the line of the path's own figure, unless that leaves points out.
    const id = curve === "distortion" ? `q${number}-${curve}` : `p${number}-${curve}`;
    return html`<g data-s="${stripNumber}"><title>${path.path}</title>${renderCurvePiece(pieces, id, () => formatCurveData(buildPoints(x, values), space), html`class="${isOdd(standing) ? "sib odd" : "sib"}" ${placed}`)}</g>`;
  });
  const label = `${title} of the family ${family.name}: ${formatCount(drawn.length, "curve")} overlaid.`;
  const body = html`${renderFrame(pieces, space.x, y)}<g clip-path="url(#${clip})">${renderFamilyCurve(
    {
      ...(family.usual === undefined ? {} : { usual: family.usual }),
      familyNumber: family.number,
      pieces,
    },
    curve,
    space,
    placed,
  )}${lines}</g>`;
  return html`<figure>${renderPlotElement({ label, body })}<figcaption><b>${title}.</b> All ${drawn.length}; bold: those that stand out; grey: median and band.</figcaption></figure>`;
}

function sharedAxis(
  values: readonly number[],
  band: readonly number[],
  least: number,
  title: string,
): Axis {
  const low = Math.min(...band) - farthestDb;
  const high = Math.max(...band) + farthestDb;
  const near = values.map((value) => Math.max(low, Math.min(high, value)));
  return buildValueAxis(near.length === 0 ? band : near, least, title);
}

function readingRows(view: View, family: FamilyView): Markup {
  const rows = readingKinds
    .filter(({ harm, values }) => harm !== "none" && !values)
    .flatMap(({ id, name, unit }) => {
      const crowd = buildDotPlotData(family, id);
      if (crowd === undefined) return [];
      const shown = family.members.find(({ readings }) => readings[id])?.readings[id].unit ?? unit;
      const plot = renderWideDotPlot(
        crowd,
        view.sides.filter(({ family: of, path }) => of === family && path.readings[id]),
        id,
        name,
        shown,
      );
      return [
        html`<tr data-r="${id}"><th scope="row">${name}</th><td class="n">${formatFamilyValue(crowd.scatter, shown)}</td><td>${plot}${renderEnds(crowd, shown)}</td></tr>`,
      ];
    });
  return html`<div class="wide" role="region" aria-label="Readings of ${family.name}, scrolls sideways" tabindex="0"><table class="readings"><caption>Each reading of all ${formatCount(family.members.length, "path")}: one dot per path, filled and named if it stands out; the bar is the band, the stroke the median. The scale is in the unit of the median, lower values on the left.</caption><thead><tr><th scope="col">reading</th><th scope="col" class="n">median</th><th scope="col">siblings</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

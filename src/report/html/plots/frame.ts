import { html, type Markup } from "../markup.js";
import type { SvgDefs } from "../svg-defs.js";
import { type Axis, plotArea, plotSize } from "./axes.js";

/** Grid, labels and titles of a plot; plots with the same axes share one. */
export function renderFrame(pieces: SvgDefs, x: Axis, y: Axis): Markup {
  const name = ({ domain, title, ticks }: Axis) =>
    pieces.number(JSON.stringify([domain, title, ticks]));
  return html`${pieces.use(`x-${name(x)}`, (id) => acrossAxis(id, x))}${pieces.use(
    `y-${name(y)}`,
    (id) => upAxis(id, y),
  )}`;
}

function acrossAxis(id: string, { ticks, title }: Axis): Markup {
  return html`<g id="${id}">${ticks.map(
    ({ at, label }) =>
      html`<path class="${label === undefined ? "fine" : "grid"}" d="M${roundCoordinate(at)} ${plotArea.top}V${plotArea.bottom}"/>${
        label === undefined
          ? ""
          : html`<text class="tick" x="${roundCoordinate(at)}" y="${plotArea.bottom + 14}" text-anchor="middle">${label}</text>`
      }`,
  )}<text class="axis" x="${(plotArea.left + plotArea.right) / 2}" y="${plotSize.height - 5}" text-anchor="middle">${title}</text></g>`;
}

function upAxis(id: string, { ticks, title }: Axis): Markup {
  const middle = (plotArea.top + plotArea.bottom) / 2;
  return html`<g id="${id}">${ticks.map(
    ({ at, label }) =>
      html`<path class="grid" d="M${plotArea.left} ${roundCoordinate(at)}H${plotArea.right}"/><text class="tick" x="${plotArea.left - 5}" y="${roundCoordinate(at + 3.5)}" text-anchor="end">${label ?? ""}</text>`,
  )}<text class="axis" x="${-middle}" y="8" text-anchor="middle" transform="rotate(-90)">${title}</text></g>`;
}

/** Rounds to tenths of a unit, which is finer than any printer. */
export function roundCoordinate(value: number): number {
  return Math.round(value * 10) / 10;
}

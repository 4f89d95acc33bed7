import { html, type Markup } from "../markup.js";
import type { Pieces } from "../pieces.js";
import { type Axis, area, size } from "./axes.js";

/** Grid, labels and titles of a plot; plots with the same axes share one. */
export function frame(pieces: Pieces, x: Axis, y: Axis): Markup {
  return html`${pieces.use(pieceName("x", x), (id) => acrossAxis(id, x))}${pieces.use(
    pieceName("y", y),
    (id) => upAxis(id, y),
  )}`;
}

/** Axes are alike when domain and title are. */
function pieceName(which: string, { domain, title }: Axis): string {
  const text = [...domain, title].join("_");
  return `${which}_${text.replaceAll("−", "m").replace(/[^\w.-]/g, "")}`;
}

function acrossAxis(id: string, { ticks, title }: Axis): Markup {
  return html`<g id="${id}">${ticks.map(
    ({ at, label }) =>
      html`<path class="${label === undefined ? "fine" : "grid"}" d="M${fine(at)} ${area.top}V${area.bottom}"/>${
        label === undefined
          ? ""
          : html`<text class="tick" x="${fine(at)}" y="${area.bottom + 14}" text-anchor="middle">${label}</text>`
      }`,
  )}<text class="axis" x="${(area.left + area.right) / 2}" y="${size.height - 5}" text-anchor="middle">${title}</text></g>`;
}

function upAxis(id: string, { ticks, title }: Axis): Markup {
  const middle = (area.top + area.bottom) / 2;
  return html`<g id="${id}">${ticks.map(
    ({ at, label }) =>
      html`<path class="grid" d="M${area.left} ${fine(at)}H${area.right}"/><text class="tick" x="${area.left - 5}" y="${fine(at + 3.5)}" text-anchor="end">${label ?? ""}</text>`,
  )}<text class="axis" x="${-middle}" y="11" text-anchor="middle" transform="rotate(-90)">${title}</text></g>`;
}

/** Tenths of a unit are finer than any printer. */
export function fine(value: number): number {
  return Math.round(value * 10) / 10;
}

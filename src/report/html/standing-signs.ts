import type { Standing } from "../../history/standing.js";
import { html, type Markup } from "./markup.js";

/** A standing as a shape and a word, since colour alone is not enough. */
export const standingSigns: Readonly<
  Record<Standing, { readonly shape: string; readonly word: string; readonly plural: string }>
> = {
  service: { shape: "■", word: "service", plural: "need service" },
  watch: { shape: "▲", word: "watch", plural: "to watch" },
  setting: { shape: "◇", word: "setting", plural: "wrongly set or patched" },
  alike: { shape: "○", word: "alike", plural: "like their siblings" },
  unjudged: { shape: "?", word: "not judged", plural: "too few siblings to judge" },
  unmeasured: { shape: "✕", word: "not measured", plural: "not measured" },
};

export const standingOrder = Object.keys(standingSigns) as readonly Standing[];

/** The sign and the word of a standing. */
export function renderStandingMark(standing: Standing): Markup {
  const { shape, word } = standingSigns[standing];
  return html`<span class="mark ${standing}"><span aria-hidden="true">${shape}</span> ${word}</span>`;
}

/** Whether a path stands out, because of a fault or of how it was set. */
export function isOdd(standing: Standing): boolean {
  return standing === "service" || standing === "watch" || standing === "setting";
}

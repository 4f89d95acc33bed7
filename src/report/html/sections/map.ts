import { formatCauseWord } from "../cause-words.js";
import { html, type Markup } from "../markup.js";
import { isOdd, standingSigns } from "../standing-signs.js";
import type { PathView, View } from "../view.js";

/** Oddness from which a cell is shaded one step darker. */
const shades = [2, 8, 16, 32] as const;

/** The desk as it stands: one column per strip, one cell per path. */
export function renderMapSection({ strips, inputs }: View): Markup {
  return html`<section id="map"><h2>The desk</h2>
<p>One column per strip, in the order of the desk; one cell per path: the stronger the colour, the more it stands out. A cell links to its path.</p>
<ol class="map">${strips.map(
    ({ name, number, paths }) =>
      html`<li data-s="${number}"><span class="name">${name}</span>${inputs.map((input) => {
        const found = paths.find(({ path }) => path.input === input);
        return found === undefined ? html`<span class="cell none"></span>` : cell(found);
      })}</li>`,
  )}</ol>
<p class="legend">Oddness ${shades.map((from, k) => html`<span class="swatch o${k + 1}">${from}</span>`)} and more. ${Object.values(
    standingSigns,
  ).map(({ shape, word }) => html`<span class="sign">${shape} ${word}</span> `)}</p>
</section>`;
}

function cell({ path, number, standing }: PathView): Markup {
  const { shape, word } = standingSigns[standing];
  const [cause] = path.causes;
  const odd = isOdd(standing);
  const said = odd ? (cause ? formatCauseWord(cause) : "unclear") : "";
  const oddness = odd ? `, oddness ${path.oddness.toFixed(0)}` : "";
  return html`<a class="cell ${standing} o${shadeOf(path.oddness)}" href="#p${number}"><span class="in">${path.input}</span><span class="sh" aria-hidden="true">${shape}</span> <span class="why">${said}</span><span class="unseen"> ${path.path}: ${word}${oddness}</span></a>`;
}

function shadeOf(oddness: number): number {
  return shades.filter((from) => oddness >= from).length;
}

import { html, type Markup } from "../markup.js";
import type { StripView, View } from "../view.js";
import { renderPathPart } from "./path.js";

/** Every strip with its paths; those that stand out are open. */
export function renderStripsSection(view: View): Markup {
  return html`<section id="strips"><h2>Strip by strip</h2>
<p>Paths that stand out are open; click any other to open it. On paper a strip with an open path starts on a new page, and closed paths are left out.</p>
<p class="tools" hidden><button type="button" data-open="all">Open all paths</button> <button type="button" data-open="odd">Only those that stand out</button></p>
${view.strips.map((strip) => stripPart(view, strip))}
</section>`;
}

function stripPart(view: View, { name, number, paths }: StripView): Markup {
  return html`<section class="one-strip" data-s="${number}" aria-label="Strip ${name}"><p class="strip-name">Strip ${name}</p>${paths.map(
    (one) => renderPathPart(view, one),
  )}</section>`;
}

import type { Round } from "../../history/types.js";
import type { PathYears } from "../../history/years.js";
import { html, rawMarkup } from "./markup.js";
import { plotMark } from "./own-marks.js";
import { renderPlotElement } from "./plots/figure.js";
import { listFigureKinds } from "./plots/kinds.js";
import { colours } from "./styles/colours.js";
import { plots as plotStyle } from "./styles/plots.js";
import { createSvgDefs } from "./svg-defs.js";
import { type Baseline, buildDrawing, buildView } from "./view.js";

/** A plot in a separate file. */
export interface PlotFile {
  readonly name: string;
  readonly text: string;
}

/** Every figure of every path as a self-contained SVG file, for use in other reports. */
export function renderPlots({
  round,
  baseline,
  years,
}: {
  readonly round: Round;
  readonly baseline?: Baseline;
  readonly years?: ReadonlyMap<string, PathYears>;
}): readonly PlotFile[] {
  const view = buildView(round, baseline, years);
  const names = nameFiles(view.paths.map((one) => one.path.path));
  return view.paths.flatMap((one, k) => {
    const drawing = buildDrawing(view, one);
    return listFigureKinds(drawing).flatMap(({ id, title, draw }): readonly PlotFile[] => {
      const pieces = createSvgDefs();
      const figure = draw({ ...drawing, pieces });
      if ("absent" in figure) return [];
      const { plot, caption } = figure;
      const before = html`${rawMarkup(plotMark)}<title>${one.path.path}: ${title}. ${caption}</title><style>${rawMarkup(style)}</style>${pieces.definitions()}<rect class="paper" width="100%" height="100%"/>`;
      const { text } = renderPlotElement(plot, { before });
      return [{ name: `${names[k]}-${id}.svg`, text: `${text}\n` }];
    });
  });
}

const style = `${colours}${plotStyle}.paper{fill:var(--paper)}`;

/**
 * Names for the files of paths, unique even on a file system that ignores case: if names clash, all
 * but the first get the number of their path.
 */
function nameFiles(paths: readonly string[]): readonly string[] {
  const plain = paths.map(fileName);
  const taken = new Set(plain.map(folded));
  const used = new Set<string>();
  return plain.map((name, k) => {
    let free = name;
    for (let n = k + 1; used.has(folded(free)) || (free !== name && taken.has(folded(free))); n++) {
      free = `${name}-path-${n}`;
    }
    used.add(folded(free));
    return free;
  });
}

function folded(name: string): string {
  return name.normalize("NFKC").toUpperCase().toLowerCase();
}

/**
 * A path's name as a file name that is valid anywhere; its number if nothing of the name is left.
 */
function fileName(path: string, k: number): string {
  const name = path
    .normalize("NFC")
    .replaceAll("/", "-")
    .replace(/[^\p{L}\p{N}_-]/gu, "");
  return name.replaceAll("-", "") === "" ? `path-${k + 1}` : name;
}

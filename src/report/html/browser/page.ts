/**
 * What a script adds to a page that is complete without it: sorting, filters, one strip highlighted
 * in all plots, values under the pointer. It reads everything from the page itself.
 */

const all = <E extends Element>(selector: string, within: ParentNode = document): E[] => [
  ...within.querySelectorAll<E>(selector),
];

function makeSortable(table: HTMLTableElement): void {
  const body = table.tBodies[0];
  for (const head of all<HTMLTableCellElement>("th[data-sort]", table)) {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      const way = head.getAttribute("aria-sort") === "ascending" ? "descending" : "ascending";
      for (const other of all("th[aria-sort]", table)) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", way);
      const value = sortValue(head);
      const sign = way === "ascending" ? 1 : -1;
      const rows = [...body.rows].sort((a, b) => sign * compare(value(a), value(b)));
      body.append(...rows);
    });
  }
}

function sortValue(head: HTMLTableCellElement): (row: HTMLTableRowElement) => number | string {
  return ({ cells }) => {
    const cell = cells[head.cellIndex];
    const { v } = cell.dataset;
    return v === undefined ? (cell.textContent ?? "") : Number(v);
  };
}

/** Empty cells sort last. */
function compare(a: number | string, b: number | string): number {
  if (typeof a === "number" && typeof b === "number") return a - b;
  if (a === "" || b === "") return a === b ? 0 : a === "" ? 1 : -1;
  return String(a).localeCompare(String(b));
}

function makeFilters(form: HTMLFormElement, table: HTMLTableElement): void {
  const output = form.querySelector("output");
  const rows = [...table.tBodies[0].rows];
  const fields = ["family", "input", "standing"];
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", () => {
    const chosen = new FormData(form);
    const wanted = fields.flatMap((name) => {
      const value = chosen.get(name);
      return typeof value === "string" && value !== "" ? [[name, value]] : [];
    });
    // Rows that match a filter must not be folded away.
    const all = document.querySelector<HTMLInputElement>("#all-paths");
    if (all && wanted.length > 0) all.checked = true;
    let shown = 0;
    for (const row of rows) {
      row.hidden = wanted.some(([name, value]) => row.dataset[name] !== value);
      if (!row.hidden) shown++;
    }
    if (output) {
      const whole = `${rows.length} path${rows.length === 1 ? "" : "s"}`;
      output.textContent = shown === rows.length ? whole : `${shown} of ${whole}`;
    }
  });
}

/** Puts another reading's dot plot into every row, taken from the path's own table. */
function makeReadingChoice(form: HTMLFormElement, table: HTMLTableElement): void {
  const field = form.elements.namedItem("reading");
  if (!(field instanceof HTMLSelectElement)) return;
  const cells = [...table.tBodies[0].rows].flatMap((row) => {
    const cell = row.querySelector<HTMLElement>(".among");
    const { path = "", family } = row.dataset;
    return cell ? [{ cell, path, family, usual: [...cell.childNodes] }] : [];
  });
  field.addEventListener("input", () => {
    const name = field.selectedOptions[0].text;
    for (const { cell, path, family, usual } of cells) {
      if (field.value === "") {
        cell.replaceChildren(...usual);
        continue;
      }
      const own = document.querySelector(`#${path} tr[data-r="${field.value}"]`);
      const plot = own?.querySelector("svg")?.cloneNode(true);
      const value = document.createElement("span");
      value.className = "soft";
      value.textContent = `${name} ${own?.querySelector("td")?.textContent ?? "not measured"}`;
      const ends = all<HTMLElement>(".family")
        .find((one) => one.dataset.family === family)
        ?.querySelector(`tr[data-r="${field.value}"] .ends`)
        ?.cloneNode(true);
      cell.replaceChildren(...(plot ? [plot] : []), ...(plot && ends ? [ends, " "] : []), value);
    }
  });
}

/**
 * Highlights one strip in the map, the ranking and the plots: the one under the pointer, or else
 * the chosen one.
 */
function makeLights(form: HTMLFormElement | null): void {
  let lit: string | undefined;
  const light = (strip: string | undefined): void => {
    if (strip === lit) return;
    for (const one of all(".lit")) one.classList.remove("lit");
    if (strip !== undefined) {
      for (const one of all(`[data-s="${strip}"]`)) one.classList.add("lit");
    }
    lit = strip;
  };
  const chosen = (): string | undefined => {
    const field = form?.elements.namedItem("strip");
    return field instanceof HTMLSelectElement && field.value !== "" ? field.value : undefined;
  };
  const from = ({ target }: Event): void => {
    const marked = target instanceof Element ? target.closest<HTMLElement>("[data-s]") : null;
    // Inside one strip's own section, highlighting would distinguish nothing.
    const strip = marked?.matches(".one-strip, .path") ? undefined : marked?.dataset.s;
    light(strip ?? chosen());
  };
  document.addEventListener("pointerover", from);
  document.addEventListener("focusin", from);
  form?.addEventListener("input", () => light(chosen()));
}

/** A closed path opens when something leads to it. */
function openTarget(): void {
  const target = document.getElementById(location.hash.slice(1));
  const path = target?.closest("details");
  if (!target || !path || path.open) return;
  path.open = true;
  target.scrollIntoView();
}

function makeOpeners(): void {
  for (const tools of all<HTMLElement>(".tools")) tools.hidden = false;
  for (const button of all<HTMLButtonElement>("button[data-open]")) {
    button.addEventListener("click", () => {
      for (const path of all<HTMLDetailsElement>("details.path")) {
        path.open = button.dataset.open === "all" || path.dataset.odd !== undefined;
      }
    });
  }
  addEventListener("hashchange", openTarget);
  openTarget();
}

interface Drawn {
  readonly name: string;
  readonly points: readonly (readonly [number, number])[];
}

/** The edges of a plot, in units of its drawing; the same as in `plots/frame.ts`. */
const area = { left: 46, right: 430, top: 12, bottom: 200 };

/** Shows values under the pointer, or at the arrow keys' position when the plot has the focus. */
function makeReadable(plot: SVGSVGElement, tip: HTMLElement): void {
  const { from, to, steps, unit } = plot.dataset;
  const [low, high, perUnit] = [Number(from), Number(to), Number(steps)];
  let drawn: readonly Drawn[] | undefined;
  const cross = document.createElementNS("http://www.w3.org/2000/svg", "path");
  cross.setAttribute("class", "cross");
  const read = (x: number): void => {
    drawn ??= curvesOf(plot);
    const share = (x - area.left) / (area.right - area.left);
    const hz = low * (high / low) ** share;
    const lines = drawn.flatMap(({ name, points }) => {
      const y = between(points, (x - area.left) * 10);
      return y === undefined ? [] : [`${name}  ${decibels(-y / perUnit, perUnit)} ${unit}`];
    });
    if (lines.length === 0) {
      hide();
      return;
    }
    cross.setAttribute("d", `M${x} ${area.top}V${area.bottom}`);
    plot.append(cross);
    tip.textContent = [hertz(hz), ...lines].join("\n");
    tip.hidden = false;
    const box = plot.getBoundingClientRect();
    const at = box.left + (x / 440) * box.width;
    const aside = at > innerWidth - tip.offsetWidth - 24 ? -tip.offsetWidth - 10 : 10;
    tip.style.left = `${at + aside + scrollX}px`;
    tip.style.top = `${box.top + scrollY + 8}px`;
  };
  const hide = (): void => {
    cross.remove();
    tip.hidden = true;
  };
  plot.addEventListener("pointermove", ({ clientX }) => {
    const box = plot.getBoundingClientRect();
    const x = ((clientX - box.left) / box.width) * 440;
    if (x < area.left || x > area.right) hide();
    else read(x);
  });
  plot.addEventListener("pointerleave", hide);
  plot.addEventListener("blur", hide);
  let at = (area.left + area.right) / 2;
  plot.tabIndex = 0;
  plot.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: -4, ArrowRight: 4 }[event.key];
    if (event.key === "Escape") hide();
    if (step === undefined) return;
    event.preventDefault();
    at = Math.max(area.left, Math.min(area.right, at + step));
    read(at);
  });
}

/** The curves of a plot, read back from their lines. */
function curvesOf(plot: SVGSVGElement): readonly Drawn[] {
  return all<SVGUseElement>("use[data-name]", plot).map((use) => {
    const id = use.getAttribute("href")?.slice(1) ?? "";
    const data = document.getElementById(id)?.getAttribute("d") ?? "";
    const points = [...data.matchAll(/(-?[\d.]+),(-?[\d.]+)/g)].map(
      ([, x, y]) => [Number(x), Number(y)] as const,
    );
    return { name: use.dataset.name ?? "", points };
  });
}

function between(points: Drawn["points"], x: number): number | undefined {
  const next = points.findIndex(([at]) => at >= x);
  if (next < 0) return undefined;
  if (next === 0) return points[0][0] - x < 20 ? points[0][1] : undefined;
  const [[x0, y0], [x1, y1]] = [points[next - 1], points[next]];
  return x1 === x0 ? y1 : y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
}

function decibels(value: number, perUnit: number): string {
  return value
    .toFixed(perUnit >= 100 ? 2 : 1)
    .replace(/^-(?=[0.]*$)/, "")
    .replace("-", "−");
}

function hertz(hz: number): string {
  return hz < 1000 ? `${hz.toPrecision(3)} Hz` : `${(hz / 1000).toPrecision(3)} kHz`;
}

const table = document.querySelector<HTMLTableElement>("table.ranking");
const form = document.querySelector<HTMLFormElement>("form.filters");
if (table) makeSortable(table);
if (table && form) {
  makeFilters(form, table);
  makeReadingChoice(form, table);
}
makeLights(form);
makeOpeners();
const tip = document.createElement("div");
tip.className = "tip";
tip.hidden = true;
tip.setAttribute("role", "status");
document.body.append(tip);
for (const plot of all<SVGSVGElement>("svg[data-from]")) makeReadable(plot, tip);

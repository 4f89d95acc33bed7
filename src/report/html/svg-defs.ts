import { html, type Markup } from "./markup.js";

/**
 * Parts of drawings that are written once and used wherever they are needed: a family's band
 * appears in the plot of each of its paths, but only once in the file.
 */
export interface SvgDefs {
  /**
   * A reference to a piece, which is drawn on first use.
   *
   * @param id letters, digits and dashes, never a name from a file
   * @param make draws the element with this id
   * @param attributes of the reference
   */
  readonly use: (id: string, make: (id: string) => Markup, attributes?: Markup) => Markup;
  /** The same for a piece that is not drawn itself, such as a clip path; returns the id. */
  readonly define: (id: string, make: (id: string) => Markup) => string;
  /**
   * A number for the id of a piece: the same for the same key, which may hold any text.
   *
   * @example
   * pieces.use(`axis-${pieces.number(JSON.stringify(axis))}`, draw);
   */
  readonly number: (key: string) => number;
  /** All pieces in use. */
  readonly definitions: () => Markup;
}

/** Starts a collection of drawings that a page makes once and uses often. */
export function createSvgDefs(): SvgDefs {
  const made = new Map<string, Markup>();
  const define = (id: string, make: (id: string) => Markup): string => {
    if (!made.has(id)) made.set(id, make(id));
    return id;
  };
  const numbers = new Map<string, number>();
  const number = (key: string): number => {
    const known = numbers.get(key) ?? numbers.size;
    numbers.set(key, known);
    return known;
  };
  return {
    define,
    number,
    use: (id, make, attributes) =>
      html`<use href="#${define(id, make)}"${attributes === undefined ? "" : html` ${attributes}`}/>`,
    definitions: () => html`<defs>${[...made.values()]}</defs>`,
  };
}

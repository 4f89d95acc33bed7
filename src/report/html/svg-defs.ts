import { html, type Markup } from "./markup.js";

/**
 * Parts of drawings that are written once and used wherever they are needed: a family's band
 * stands in each of its paths' plots, but only once in the file.
 */
export interface SvgDefs {
  /**
   * A reference to a piece, which is made when it is first asked for.
   *
   * @param id of letters, digits and dashes, never a name from a file
   * @param make an element; it is given the id
   * @param attributes of the reference
   */
  readonly use: (id: string, make: (id: string) => Markup, attributes?: Markup) => Markup;
  /** The same for what is not drawn itself, as what clips other parts; returns the id. */
  readonly define: (id: string, make: (id: string) => Markup) => string;
  /**
   * A number for what a piece shows, for its id: the same for the same key, whatever is in that.
   *
   * @example
   * pieces.use(`axis-${pieces.number(JSON.stringify(axis))}`, draw);
   */
  readonly number: (key: string) => number;
  /** All pieces that were asked for. */
  readonly definitions: () => Markup;
}

/** Begins the drawings that a page makes once and uses often. */
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

import { html, type Markup } from "./markup.js";

/**
 * Parts of drawings that are written once and used wherever they are needed: a family's band
 * stands in each of its paths' plots, but only once in the file.
 */
export interface Pieces {
  /**
   * A reference to a piece, which is made when it is first asked for.
   *
   * @param id of letters, digits and dashes, never a name from a file
   * @param make an element; it is given the id
   * @param attributes of the reference
   */
  readonly use: (id: string, make: (id: string) => Markup, attributes?: Markup) => Markup;
  /** All pieces that were asked for. */
  readonly definitions: () => Markup;
}

export function newPieces(): Pieces {
  const made = new Map<string, Markup>();
  return {
    use(id, make, attributes) {
      if (!made.has(id)) {
        // Kept at its place: a piece may itself ask for pieces.
        made.set(id, make(id));
      }
      return html`<use href="#${id}"${attributes === undefined ? "" : html` ${attributes}`}/>`;
    },
    definitions: () => html`<defs>${[...made.values()]}</defs>`,
  };
}

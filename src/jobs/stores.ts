import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { appendToNotebook } from "../service/notebook/append.js";
import { readNotebook } from "../service/notebook/read.js";
import type { Notebook } from "../service/notebook/types.js";
import {
  buildStores,
  formatSpecKey,
  type StockItem,
  type Stores,
} from "../service/stores/ledger.js";
import { parsePartSpec } from "../service/stores/part-spec.js";
import { formatCommand } from "../text/program-name.js";
import { createNoteHead, type NoteHead, parseNoteLine } from "./note-line.js";

/** A change of the stores by hand. */
export interface StockRequest extends NoteHead {
  /** `in`: added; `out`: taken; `set`: counted. */
  readonly event: "in" | "out" | "set";
  /** As written on the bag: `electrolytic 10 µF 63 V`. */
  readonly part: string;
  readonly count: number;
  /** Of one part. */
  readonly price?: number;
  readonly from?: string;
}

export interface StoresResult {
  readonly stores: Stores;
  readonly notebook: Notebook;
}

/** The parts in the stores. @throws DeskroundError `notebook-file` */
export function listStores(desk: string): StoresResult {
  const notebook = readNotebook(getDeskFolder(desk));
  return { stores: buildStores(notebook), notebook };
}

/**
 * Notes parts added to, taken from or counted in the stores.
 *
 * @returns the stores, and the stock of that part
 * @throws DeskroundError `usage` if the kind of part is not given, or more is taken than is there
 */
export function changeStores(request: StockRequest): StoresResult & { readonly item: StockItem } {
  readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const spec = parsePartSpec(parseNoteLine(request.part, "part"));
  if (spec.kind === "") {
    throw new DeskroundError(
      "usage",
      `"${request.part}" does not say what kind of part it is.`,
      "For example electrolytic 10 µF 63 V, resistor 6k8, op amp. Nothing was written.",
    );
  }
  const { event, count, price, from } = request;
  const isThere = (one: StockItem) => formatSpecKey(one) === formatSpecKey(spec);
  const have = buildStores(readNotebook(folder)).items.find(isThere)?.count ?? 0;
  if (event === "out" && count > have) {
    throw new DeskroundError(
      "usage",
      `There are ${have} of "${request.part}" in the stores, fewer than ${count}.`,
      `If there are more, count them first: ${formatCommand(`stores count "${request.part}" --count ${count}`)}`,
    );
  }
  const { kind, ...rest } = spec;
  const { notebook } = appendToNotebook(folder, [
    {
      ...createNoteHead(request),
      kind: "stock",
      event,
      count,
      part: kind,
      ...rest,
      ...(price === undefined ? {} : { price }),
      ...(from === undefined ? {} : { from: parseNoteLine(from, "shop") }),
      text: "",
    },
  ]);
  const stores = buildStores(notebook);
  const item = stores.items.find(isThere) ?? { ...spec, count: 0 };
  return { stores, notebook, item };
}

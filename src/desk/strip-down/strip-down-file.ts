import type { TextFile } from "../../text-file.js";

export const stripDownFileName = "strip-down.yaml";

/** The strip-down book, for messages about it. */
export const stripDownKind: TextFile = {
  code: "desk-file",
  what: "strip-down book",
  without: "Check the file, or remove it: it is not needed.",
};

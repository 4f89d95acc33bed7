import { type Document, isMap } from "yaml";
import { DeskroundError } from "../../errors.js";
import { getProgramName } from "../../text/program-name.js";
import { readTextFile } from "../../text-file.js";
import { parseYaml } from "../../yaml-file.js";
import { deskFileKind, getDeskFile } from "../desk-file.js";
import { deskSchema } from "../schema.js";
import type { Desk } from "../types.js";
import { buildDesk } from "./build-desk.js";
import type { DeskFileIssue } from "./fault.js";
import { findFirstFault } from "./find-first-fault.js";
import { keepNamesAsWritten } from "./keep-names-as-written.js";
import { listShapeFaults } from "./list-shape-faults.js";

/**
 * Reads and checks the desk file.
 *
 * @param folderOrFile the desk's folder, or the file itself
 * @returns the desk, its paths in run-sheet order
 * @throws DeskroundError `desk-file`, naming file and line, what is wrong and what is allowed
 */
export function readDesk(folderOrFile: string): Desk {
  const file = getDeskFile(folderOrFile);
  return parseDesk(readTextFile(file, deskFileKind), file);
}

/** The same for a text; `file` is used in messages. */
export function parseDesk(text: string, file: string): Desk {
  const { doc, lineAt } = parseYaml(text, file, deskFileKind.code);
  if (!isMap(doc.contents)) {
    throw new DeskroundError(
      "desk-file",
      doc.contents === null
        ? `${file} is empty.`
        : `${file} line 1: not a desk file: it should hold lines such as "mains: 50".`,
      `\`${getProgramName()} init\` writes a desk file to start from.`,
    );
  }
  keepNamesAsWritten(doc.contents);
  const faults: DeskFileIssue[] = [];
  const desk = checkShape(toPlainData(doc, file), faults);
  if (desk !== undefined && faults.length === 0) return desk;
  throw findFirstFault(faults, doc, lineAt, file);
}

function toPlainData(doc: Document.Parsed, file: string): unknown {
  try {
    return doc.toJS();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new DeskroundError(
      "desk-file",
      `${file}: not readable as YAML: ${reason}.`,
      "Anchors (&) and aliases (*) are not needed here; put such a text in quotes.",
      error,
    );
  }
}

function checkShape(data: unknown, faults: DeskFileIssue[]): Desk | undefined {
  // Code made for each block of the schema takes longer to make than one file takes without it.
  const result = deskSchema.safeParse(data, { jitless: true });
  if (result.success) return buildDesk(result.data, faults);
  faults.push(...listShapeFaults(result.error.issues, data));
  return undefined;
}

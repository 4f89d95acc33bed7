import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { type CheckKind, checkKinds } from "../diagnose/checks/check-kinds.js";
import { DeskroundError } from "../errors.js";
import { listAllRounds } from "../history/store.js";
import { readNotebook } from "../service/notebook/read.js";

/** What of a desk a word may name. */
export type DeskWords = "round" | "strip" | "path" | "paths" | "place" | "note" | "check";

/** A word that may stand next, and what it is. */
export interface Completion {
  readonly value: string;
  readonly about: string;
}

/**
 * The words of a desk that one may go on with; none where the desk cannot be read, because faults
 * are not reported in the middle of a typed line.
 *
 * @param folderOrFile the desk
 * @param what which of its words
 * @param begun what is typed of the word so far; of a list, what follows its last comma counts
 */
export function listDeskWords(
  folderOrFile: string,
  what: readonly DeskWords[],
  begun: string,
): readonly Completion[] {
  return what.flatMap((kind) => {
    try {
      return listOfKind(folderOrFile, kind, begun);
    } catch (error) {
      if (error instanceof DeskroundError) return [];
      throw error;
    }
  });
}

function listOfKind(desk: string, kind: DeskWords, begun: string): readonly Completion[] {
  switch (kind) {
    case "round":
      return [
        { value: "last", about: "the last round" },
        { value: "oldest", about: "the first round" },
        ...[...listAllRounds(getDeskFolder(desk))]
          .reverse()
          .map((id) => ({ value: id, about: "round" })),
      ];
    case "note":
      return readNotebook(getDeskFolder(desk))
        .entries.filter(({ closed }) => closed === undefined)
        .map(({ id, line }) => {
          const text = line.text.replace(/\s+/g, " ").slice(0, 50);
          return { value: id, about: text === "" ? line.kind : text };
        });
    case "check":
      return checkKinds
        .filter(({ looksAt }: CheckKind) => looksAt !== "controls")
        .map(({ id, step }) => ({ value: id, about: step.text.slice(0, 50) }));
    case "strip":
      return readDesk(desk).strips.map((strip) => ({ value: strip, about: "strip" }));
    case "path":
      return listPaths(desk, begun);
    case "paths": {
      // Of a list, the last word is the one that is being typed.
      const before = begun.slice(0, begun.lastIndexOf(",") + 1);
      const last = begun.slice(before.length);
      const inputs = [...new Set(readDesk(desk).paths.map(({ input }) => input))];
      return [
        ...listOfKind(desk, "strip", last),
        ...inputs.map((input) => ({ value: input, about: "input of every strip" })),
        ...listPaths(desk, last),
      ].map(({ value, about }) => ({ value: before + value, about }));
    }
    case "place": {
      const { sections } = readDesk(desk);
      return [
        ...listOfKind(desk, "strip", begun),
        ...listPaths(desk, begun),
        ...sections.map(({ name, kind: of }) => ({ value: name, about: of })),
        { value: "desk", about: "the desk at large" },
      ];
    }
  }
}

/** Paths of the strip that was begun; all of them would bury the strips. */
function listPaths(desk: string, begun: string): readonly Completion[] {
  if (begun === "") return [];
  return readDesk(desk).paths.map(({ path, input, strip }) => ({
    value: path,
    about: `${input} of strip ${strip}`,
  }));
}

import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { type CheckKind, checkKinds } from "../diagnose/checks/check-kinds.js";
import { DeskroundError } from "../errors.js";
import { listAllRounds } from "../history/store.js";
import { readNotebook } from "../service/notebook/read.js";

/** Kinds of a desk's words that can be completed. */
export type DeskWords = "round" | "strip" | "path" | "paths" | "place" | "note" | "check";

/** A possible next word, with its description. */
export interface Completion {
  readonly value: string;
  readonly about: string;
}

/**
 * Words of a desk that complete what is typed. None if the desk cannot be read: an error must not
 * interrupt a line being typed.
 *
 * @param folderOrFile the desk
 * @param what which kinds of words
 * @param begun what is typed of the word so far; in a list, only what follows the last comma counts
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
      // In a list, the last word is the one being typed.
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

/** Paths of the strip being typed only; all paths would bury the strips. */
function listPaths(desk: string, begun: string): readonly Completion[] {
  if (begun === "") return [];
  return readDesk(desk).paths.map(({ path, input, strip }) => ({
    value: path,
    about: `${input} of strip ${strip}`,
  }));
}

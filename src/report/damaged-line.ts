import type { Notebook } from "../service/notebook/types.js";

/** Says that a line of the notebook could not be read. */
export function formatDamagedLine(
  { file }: Pick<Notebook, "file">,
  { at, reason }: Notebook["damaged"][number],
): string {
  return `${file} line ${at} was skipped: ${reason}. It stays in the file.`;
}

/** What happened to a file: `kept` if an identical one was there already. */
export function formatWrittenFile(file: string, how: "written" | "kept"): string {
  return how === "written" ? `Wrote ${file}.` : `${file} exists already and is identical.`;
}

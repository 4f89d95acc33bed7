/** What became of a file that was to be written: `kept` where the very same was there already. */
export function formatWrittenFile(file: string, how: "written" | "kept"): string {
  return how === "written"
    ? `Wrote ${file}.`
    : `${file} exists already and is the same to the last bit.`;
}

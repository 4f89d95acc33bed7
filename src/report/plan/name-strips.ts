/** "strip 4", "strips 4, 21". */
export function nameStrips(strips: readonly string[]): string {
  return `strip${strips.length === 1 ? "" : "s"} ${strips.join(", ")}`;
}

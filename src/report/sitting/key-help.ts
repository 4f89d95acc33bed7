/** What each key of a sitting does; without a terminal, a line with that text does the same. */
export const sittingKeys: readonly { readonly key: string; readonly does: string }[] = [
  { key: "Enter", does: "play the signal and record it (with --play)" },
  { key: "a", does: "again: the next return is another take of the path just played" },
  { key: "s", does: "skip this path" },
  { key: "0", does: "the path is patched, but nothing comes back" },
  { key: "b", does: "back to the previous path" },
  { key: "d", does: "the last return does not count; play its path again" },
  {
    key: "y",
    does: "yes: it belongs to the path it fits; yes, the monitors are muted",
  },
  { key: "p", does: "choose the path to play next" },
  { key: "t", does: "say which path the last return was" },
  { key: "n", does: "write a note on the path just played into the notebook" },
  { key: "space", does: "pause: what is heard does not count until space is pressed again" },
  { key: "e", does: "end: measure all recordings once more, together, and store the round" },
  { key: "q", does: "quit; the sitting stays open" },
];

/** The keys, one per line. */
export function formatKeyHelp(): string {
  return sittingKeys.map(({ key, does }) => `  ${key.padEnd(5)}  ${does}`).join("\n");
}

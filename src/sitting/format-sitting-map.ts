import type { SittingOutcome } from "./sitting-world.js";

/**
 * A sitting's decisions as a map of returns for `--map`: with it `analyze` makes the same round
 * from the same recordings.
 *
 * @returns text, a line for each return
 */
export function formatSittingMap({
  state,
  files,
  isOnChannels,
}: Pick<SittingOutcome, "state" | "files" | "isOnChannels">): string {
  const lines = files.flatMap((file) =>
    state.takes
      .filter((take) => take.file === file)
      .sort((a, b) => a.startSample - b.startSample)
      .map(({ channel, startSample, path = "-" }) => {
        const on = isOnChannels(file) ? ` ch${channel + 1}` : "";
        return `${quoted(file)}${on} @${Math.max(0, Math.round(startSample))} ${path}`;
      }),
  );
  return `${["# what deskround heard, return by return", ...lines].join("\n")}\n`;
}

/**
 * A name with white space is put in quotes, as its parts could be read as a channel or a position.
 */
function quoted(file: string): string {
  return /\s/.test(file) ? `"${file}"` : file;
}

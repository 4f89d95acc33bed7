import type { PathMapEntry } from "../../capture/assign/assign-returns.js";
import type { SearchScope } from "../../capture/find/find-returns.js";
import type { RecordingInfo } from "../../capture/types.js";
import { normalizeName } from "../../desk/names.js";

/**
 * Whether the channels of a capture are sides of one output or separate paths: paths if a map says
 * so for the file, or if the desk's channels are known and the file has more than two channels or
 * exactly that number.
 *
 * @param channels of the desk's multichannel recorder, when known
 * @param map of returns
 */
export function getChannelKind(
  channels: readonly unknown[] | undefined,
  map: readonly PathMapEntry[],
): (info: RecordingInfo) => SearchScope["channels"] {
  const onChannels = map.flatMap(({ file, channel }) =>
    file === undefined || channel === undefined ? [] : [normalizeName(file)],
  );
  return (info) => {
    const name = normalizeName(info.file);
    const mapped = onChannels.some(
      (file) => name === file || name.replace(/^.*[/\\]/s, "") === file,
    );
    const known =
      channels !== undefined && (info.channels > 2 || info.channels === channels.length);
    return mapped || known ? "paths" : "sides";
  };
}

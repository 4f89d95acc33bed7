import { normalizeName } from "./names.js";
import { readPathWords } from "./path-words.js";
import { expandStrips } from "./strips.js";
import type { DeskPath } from "./types.js";

/** The recorder's channels, from the first on. */
export interface ChannelList {
  /** The paths that each may hold; none for a channel that is not used. */
  readonly channels: readonly (readonly string[])[];
  readonly faults: readonly { readonly item: number; readonly fault: string }[];
}

/** A recorder with more channels than this is refused anyway. */
export const maxRecordingChannels = 64;

/**
 * What is recorded on which channel: strips (`7`), ranges of them for as many channels (`1-24`),
 * paths (`7/mic`), and `none` or `-` for a channel that is not used.
 *
 * @param texts in the order of the channels
 * @param paths of the desk
 */
export function parseChannelList(
  texts: readonly string[],
  paths: readonly DeskPath[],
): ChannelList {
  const channels: (readonly string[])[] = [];
  const faults: { item: number; fault: string }[] = [];
  texts.forEach((text, item) => {
    const meant = channelsOf(text.trim(), paths);
    if (typeof meant === "string") faults.push({ item, fault: meant });
    else channels.push(...meant);
  });
  if (channels.length > maxRecordingChannels) {
    const fault = `${channels.length} channels are more than the ${maxRecordingChannels} of a file`;
    faults.push({ item: 0, fault });
  }
  return { channels, faults };
}

/** The channels that a text stands for, or what is wrong with it. */
function channelsOf(text: string, paths: readonly DeskPath[]): readonly string[][] | string {
  if (text === "-" || normalizeName(text) === "none") return [[]];
  if (text.includes("/")) {
    const found = readPathWords(text, paths);
    return found?.kind === "path" ? [[found.path.path]] : `the desk has no path ${text}`;
  }
  const words = readPathWords(text, paths);
  if (words?.kind === "path") return [[words.path.path]];
  if (words?.kind === "strip") {
    return [paths.filter(({ strip }) => strip === words.strip).map(({ path }) => path)];
  }
  const { names, faults } = expandStrips([text]);
  if (faults.length > 0) return faults[0].fault;
  const strips = names.map((name) =>
    paths
      .filter(({ strip }) => normalizeName(strip) === normalizeName(name))
      .map(({ path }) => path),
  );
  const unknown = strips.findIndex((own) => own.length === 0);
  return unknown < 0 ? strips : `the desk has no strip ${names[unknown]}`;
}

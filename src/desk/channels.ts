import { normalizeName } from "./names.js";
import { readPathWords } from "./path-words.js";
import { expandStrips } from "./strips.js";
import type { DeskPath } from "./types.js";

/** The recorder's channels, in order. */
export interface ChannelList {
  /** The paths that each may hold; none for an unused channel. */
  readonly channels: readonly (readonly string[])[];
  readonly faults: readonly { readonly item: number; readonly fault: string }[];
}

/** Recordings with more channels are refused anyway. */
export const maxRecordingChannels = 64;

/**
 * Reads what is recorded on each channel: strips (`7`), ranges of strips for as many channels
 * (`1-24`), paths (`7/mic`), and `none` or `-` for an unused channel.
 *
 * @param texts in channel order
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

import { parseChannelList } from "../channels.js";
import type { DeskText } from "../schema.js";
import type { DeskPath } from "../types.js";
import type { DeskFileIssue } from "./fault.js";

/** Reads which strips feed each channel of the recorder. */
export function readChannels(
  written: DeskText["strips"],
  paths: readonly DeskPath[],
  faults: DeskFileIssue[],
): readonly (readonly string[])[] {
  const place = ["channels"];
  const list = parseChannelList(typeof written === "string" ? written.split(",") : written, paths);
  for (const { item, fault } of list.faults) {
    const at = typeof written === "string" ? place : [...place, item];
    faults.push({ place: at, at: "value", message: `${fault}.` });
  }
  if (list.faults.length === 0 && list.channels.every((own) => own.length === 0)) {
    faults.push({ place, at: "value", message: `"channels" names no strip.` });
  }
  return list.channels;
}

import { type BenchToolId, benchToolIds, getBenchTool } from "../../diagnose/bench-tools.js";
import { formatCommand } from "../../text/program-name.js";
import type { WordedPlan } from "./worded.js";

/** For any opening (common practice). */
const always: readonly string[] = [
  "screwdrivers and nut drivers that fit, trays with lids, labels, camera, lamp",
  "earthed wrist strap, for the unplugged desk only",
];
const soldering: readonly string[] = [
  "soldering iron with earthed tip, solder, desoldering pump or braid",
  "fume extraction or an open window, safety glasses, isopropyl alcohol",
];

/** What an opening needs besides parts: meters, leads, loads, tones and hand tools. */
export function listReady({
  tools,
  parts,
}: Pick<WordedPlan, "tools" | "parts">): readonly string[] {
  const needed: ReadonlySet<BenchToolId> = new Set(["multimeter", "recording set-up", ...tools]);
  const isSoldered = parts.some(({ isConsumable }) => !isConsumable);
  return [
    ...benchToolIds.filter((id) => needed.has(id)).map(formatTool),
    ...(isSoldered ? soldering : []),
    ...always,
  ];
}

function formatTool(id: BenchToolId): string {
  const { words, toneHz } = getBenchTool(id);
  return toneHz === undefined
    ? words
    : `${words}: \`${formatCommand(`signal --tone ${toneHz} --minutes 5`)}\``;
}

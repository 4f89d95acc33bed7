import { formatPlaceWords, formatSectionWords } from "../desk/place.js";
import type { DeskPlace } from "../desk/types.js";
import { type DangerId, getDangerKind } from "../diagnose/dangers.js";
import { isOfWholeDesk, type OpenDanger } from "../service/notebook/open-dangers.js";
import { formatList } from "../text/format-list.js";
import { formatCommand } from "../text/program-name.js";

type Told = DeskPlace & Pick<OpenDanger, "dangers" | "supplies" | "feeds">;

/** "heat, a burning smell". */
export function formatDangerNames(dangers: OpenDanger["dangers"]): string {
  return dangers.map((id) => getDangerKind(id).name).join("; ");
}

/** With these the mains switch itself may be out of safe reach. */
const notToTouch: readonly DangerId[] = ["shock", "mains-lead", "liquid"];

/** What to do about a danger, a sentence or two each, the most urgent first. */
export function listDangerAdvice(told: Told): readonly string[] {
  const [first] = told.dangers;
  return [
    told.dangers.some((id) => notToTouch.includes(id))
      ? "Do not touch the desk again: cut the power at the breaker, then pull the mains plug and leave it out. If there is smoke or fire, get out and call the fire service."
      : "If there is smoke or fire, or metal gives shocks, do not touch the desk: cut the power at the breaker. If there is smoke or fire, get out and call the fire service. Otherwise switch off at the mains switch, pull the mains plug and leave it out.",
    `Do not power ${formatUnpowered(told)} until the cause is found and repaired; it may be ${getDangerKind(first).mayBe}. Leave mains and supply work to licensed people, under local codes.`,
    ...(told.dangers.includes("shock")
      ? ["Anyone who had a shock should see a doctor, even if they feel well."]
      : []),
  ];
}

/**
 * What must not be powered: the strip or what feeds it, the supply or what it feeds, or everything.
 */
function formatUnpowered(told: Told): string {
  const { section, sectionKind, supplies, feeds } = told;
  if (!isOfWholeDesk(told)) {
    const supply = supplies === undefined ? "its supply" : formatList(supplies);
    return `${formatPlaceWords(told)}, or ${supply} while the strip is plugged in,`;
  }
  if (section === undefined) return "the desk or its supply";
  const name = formatSectionWords(section);
  if (feeds !== undefined) return `the desk, ${name} or anything it feeds (${formatRanges(feeds)})`;
  if (sectionKind === "supply") return `the desk, ${name} or anything it feeds`;
  return `the desk, ${name} or ${supplies === undefined ? "its supply" : formatList(supplies)}`;
}

/** "1–12, master": numbers that follow one another as a range. */
function formatRanges(names: readonly string[]): string {
  const parts: string[] = [];
  let from: number | undefined;
  names.forEach((name, k) => {
    const isNext = /^\d+$/.test(name) && Number(names[k + 1]) === Number(name) + 1;
    if (isNext) {
      from ??= Number(name);
    } else {
      parts.push(from === undefined ? name : `${from}–${name}`);
      from = undefined;
    }
  });
  return parts.join(", ");
}

/** A danger in one line. */
export function formatDangerHead(told: Told): string {
  const { strip } = told;
  const where = strip === undefined ? formatPlaceWords(told) : `strip ${strip}`;
  return `DANGER, ${where}: ${formatDangerNames(told.dangers)}`;
}

/** One line beside other results: a danger is open. */
export function formatDangerReminder(open: readonly OpenDanger[]): string {
  const each = open.map((one) => `${one.note}: ${formatDangerHead(one)}`).join("; ");
  return `Leave the power off${formatWhileIn(open)}: ${each}. \`${formatCommand("plan")}\` says what to do first.`;
}

/** Says which strips to unplug before power comes on; empty if the whole desk must stay off. */
function formatWhileIn(open: readonly OpenDanger[]): string {
  if (open.some(isOfWholeDesk)) return "";
  const strips = [...new Set(open.map(({ strip }) => strip))];
  return ` while strip ${strips.join(" or ")} is plugged in`;
}

/** The dangers and what to do about them, one text each; they come before all other cautions. */
export function listDangerCautions(open: readonly OpenDanger[] = []): readonly string[] {
  return open.map((one) =>
    [`${formatDangerHead(one)} (${one.note}).`, ...listDangerAdvice(one)].join(" "),
  );
}

import { getDangerKind } from "../diagnose/dangers.js";
import { isOfWholeDesk, type OpenDanger } from "../service/notebook/open-dangers.js";

type Told = Pick<OpenDanger, "strip" | "dangers">;

/** "heat, a burning smell". */
export function formatDangerNames(dangers: OpenDanger["dangers"]): string {
  return dangers.map((id) => getDangerKind(id).name).join("; ");
}

/** What to do about a danger, a sentence or two each, the most urgent first. */
export function listDangerAdvice({ strip, dangers }: Told): readonly string[] {
  const [first] = dangers;
  const of = strip === undefined ? "the desk" : `strip ${strip}`;
  const off = isOfWholeDesk({ ...(strip === undefined ? {} : { strip }), dangers })
    ? "the desk or its supply"
    : `${of}, nor its supply while the strip is plugged in,`;
  return [
    "Switch off at the mains switch, pull the mains plug, leave it off. If there is smoke or fire, or metal that gives shocks: leave it, cut the power at the breaker; with smoke or fire get out and call the fire service.",
    `Do not power ${off} before the cause is found and repaired; it may be ${getDangerKind(first).mayBe}. Mains and supply work is for licensed people, under local codes.`,
  ];
}

/** How a danger is called where only a line is left for it. */
export function formatDangerHead({ strip, dangers }: Told): string {
  const where = strip === undefined ? "the desk" : `strip ${strip}`;
  return `DANGER, ${where}: ${formatDangerNames(dangers)}`;
}

/** One line beside other results: a danger is open. */
export function formatDangerReminder(open: readonly OpenDanger[]): string {
  const each = open.map((one) => `${one.note}: ${formatDangerHead(one)}`).join("; ");
  return `Leave the power off: ${each}. \`deskround plan\` says what to do first.`;
}

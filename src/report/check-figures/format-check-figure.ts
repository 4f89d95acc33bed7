import { formatDb, formatHz } from "../../diagnose/cause-kind.js";
import type { BandMove, CheckFigure } from "../../diagnose/checks/check-figure.js";
import { getReadingName } from "../../measure/reading-kinds.js";
import { putIntoWords, type Wording } from "../wording.js";

const wording: Wording<CheckFigure> = {
  "not-measured": () => "the second play was not measured",
  "nothing-again": () => "no reading that stood out was measured again",
  "no-response": () => "no response was measured",
  "no-level": () => "no level was measured",
  "neither-out": () =>
    "neither low end nor noise stood out: turning the gain shows nothing about the rest",
  left: ({ of, share }) => `${getReadingName(of)}: ${(100 * share).toFixed(0)} % of it is left`,
  "moved-less": ({ thanDb }) => `level and response moved by less than ${thanDb} dB`,
  "gain-moved": ({ db }) => `the gain moved by ${formatDb(db)}`,
  "gain-not-as-asked": ({ db }) =>
    `the gain moved by ${formatDb(db)}: the check asks for 10 dB less`,
  "level-not-as-asked": ({ db }) =>
    `the level moved by ${formatDb(db)}: the check asks for 12 dB less`,
  turned: ({ db }) => `gain ${formatDb(db)}`,
  "noise-moved": ({ db }) => `noise ${formatDb(db)}`,
  "level-moved": ({ db }) => `level ${formatDb(db)}`,
  "far-side": ({ db }) => `level ${formatDb(db)}: it was turned to the far side`,
  corner: ({ beforeHz, afterHz }) => `corner ${formatHz(beforeHz)}, then ${formatHz(afterHz)}`,
  band: formatBand,
  "no-band-acts": ({ bands }) =>
    `${bands.map(formatBand).join(", ")}: none acts; the equaliser may not have been switched in`,
};

/**
 * What a second play showed, in the words that the notebook keeps.
 *
 * @example
 * formatCheckFigure({ code: "turned", db: -10 }); // "gain −10.0 dB"
 */
export function formatCheckFigure(figure: CheckFigure): string {
  return putIntoWords(wording, figure);
}

function formatBand({ band, db }: BandMove): string {
  return `${band} ${db === undefined ? "?" : formatDb(db)}`;
}

import { gapS, unmoved } from "./constants.js";
import type { SignalProfile } from "./types.js";

/**
 * A window for each control, in which it is moved. Version 1, code 3, had none and said nothing of
 * what was moved when: its recordings are recognised as those of another version.
 */
export const controls2: SignalProfile = {
  profile: "controls",
  version: 2,
  code: 4,
  build: (table, moves) => {
    table.silence(unmoved.silenceS).tone("tone-1k", 1000, 0, unmoved.toneS).gap(gapS);
    for (const [k, move] of moves.entries()) table.moving(k + 1, move);
    return table;
  },
};

import type { DeskInput } from "./types.js";

/** Inputs below this level are fed through a pad: line outputs turned down that far are noisy. */
const padBelowDbu = -20;

type LevelledInput = Pick<DeskInput, "nominalDbu" | "padDb">;

/**
 * Adds to each input the pad that it is fed through, dB; 0 if none is needed. If the desk file does
 * not say, an input far below line level gets one that makes up the difference.
 */
export function applyPads<I extends LevelledInput>(
  inputs: readonly I[],
  referenceDbu: number,
): readonly (I & { readonly padDb: number })[] {
  const lineDbu = lineLevel(inputs, referenceDbu);
  return inputs.map((input) => {
    const needed =
      input.nominalDbu < padBelowDbu ? Math.round((lineDbu - input.nominalDbu) * 10) / 10 : 0;
    return { ...input, padDb: input.padDb ?? needed };
  });
}

/** Level that the interface delivers to inputs without a pad. */
function lineLevel(inputs: readonly LevelledInput[], referenceDbu: number): number {
  const direct = inputs.map(({ nominalDbu }) => nominalDbu).filter((dbu) => dbu >= padBelowDbu);
  return direct.length === 0 ? referenceDbu : Math.max(...direct);
}

import type { SignalReturn } from "../../capture/types.js";

/**
 * If most returns of a round came from both sides of a stereo bus, all did: an undriven channel is
 * then the silent side of the bus.
 *
 * @param takes of each path
 */
export function findStereoBus(
  takes: ReadonlyMap<string, readonly SignalReturn[]>,
): ReadonlyMap<string, readonly SignalReturn[]> {
  const returns = [...takes.values()].flat();
  const inStereo = returns.filter(({ partner }) => partner !== undefined).length;
  if (2 * inStereo <= returns.length) return takes;
  return new Map([...takes].map(([path, own]) => [path, own.map(withSilentSide)]));
}

function withSilentSide(found: SignalReturn): SignalReturn {
  const { undriven = [], partner, ...rest } = found;
  if (partner !== undefined || undriven.length !== 1) return found;
  return { ...rest, partner: { channel: undriven[0] } };
}

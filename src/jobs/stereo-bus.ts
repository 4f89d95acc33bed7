import type { Return } from "../capture/types.js";

/**
 * Where most returns of a round came from both sides of a stereo bus, the others did too: what is
 * a channel not driven by itself is then the silent side of the bus.
 *
 * @param byPath which return counts for each path
 */
export function stereoBus(byPath: ReadonlyMap<string, Return>): ReadonlyMap<string, Return> {
  const returns = [...byPath.values()];
  const inStereo = returns.filter(({ partner }) => partner !== undefined).length;
  if (2 * inStereo <= returns.length) return byPath;
  return new Map([...byPath].map(([path, found]) => [path, withSilentSide(found)]));
}

function withSilentSide(found: Return): Return {
  const { undriven = [], partner, ...rest } = found;
  if (partner !== undefined || undriven.length !== 1) return found;
  return { ...rest, partner: { channel: undriven[0] } };
}

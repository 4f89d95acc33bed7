import { parallel, thermalV2 } from "../levels.js";
import type { Leg, PathValues } from "../types.js";

/** What the receiver makes of a voltage between the legs and of one common to both. */
export interface LegGains {
  readonly differential: number;
  readonly common: number;
}

/** Solves the resistors from the source to the receiver's output. */
export function legGains(values: PathValues): LegGains {
  const { hot, cold } = receiverGains(values);
  const straight = values.wiring === "straight" ? 1 : -1;
  return { differential: (straight * (hot - cold)) / 2, common: hot + cold };
}

/** Gain from each source's open-circuit voltage to the receiver's output. */
function receiverGains({ hot, cold, receiver }: PathValues): { hot: number; cold: number } {
  if (receiver.kind === "pair") {
    const excess = 1 + receiver.imbalance;
    return {
      hot: hot.shuntOhm / (feedOhm(hot) + hot.shuntOhm),
      cold: (-excess * cold.shuntOhm) / (feedOhm(cold) + cold.shuntOhm),
    };
  }
  const { hotSeriesOhm, hotShuntOhm, coldSeriesOhm, coldFeedbackOhm } = receiver;
  const hotLoad = parallel(hot.shuntOhm, hotSeriesOhm + hotShuntOhm);
  const hotInput =
    ((hotLoad / (feedOhm(hot) + hotLoad)) * hotShuntOhm) / (hotSeriesOhm + hotShuntOhm);
  // Seen from the amplifier's inputs, which stand at the same voltage, the cold leg is a source
  // of its own behind the shunted feed and the series resistor.
  const coldShare = cold.shuntOhm / (feedOhm(cold) + cold.shuntOhm);
  const coldOhm = coldSeriesOhm + parallel(feedOhm(cold), cold.shuntOhm);
  const inverting = coldFeedbackOhm / coldOhm;
  return { hot: hotInput * (1 + inverting), cold: -inverting * coldShare };
}

/** Mean square noise at the receiver's output per hertz, V²/Hz. */
export function receiverNoiseV2({ hot, cold, receiver }: PathValues): number {
  const hotOhm = parallel(feedOhm(hot), hot.shuntOhm);
  const coldOhm = parallel(feedOhm(cold), cold.shuntOhm);
  if (receiver.kind === "pair") return thermalV2(hotOhm + coldOhm + 2 * receiver.seriesOhm);
  const seriesOhm = receiver.coldSeriesOhm + coldOhm;
  const inverting = receiver.coldFeedbackOhm / seriesOhm;
  const atHotInput = thermalV2(parallel(receiver.hotSeriesOhm + hotOhm, receiver.hotShuntOhm));
  return (
    (receiver.amplifierNoiseV ** 2 + atHotInput) * (1 + inverting) ** 2 +
    thermalV2(seriesOhm) * inverting ** 2 +
    thermalV2(receiver.coldFeedbackOhm)
  );
}

function feedOhm(leg: Leg): number {
  return leg.sourceOhm + leg.contactOhm;
}

import { describe, expect, it } from "vitest";
import { findRollOff, type ResponseSide, type RollOff } from "../../src/measure/roll-off.js";

// Expected values: closed forms of first-order filters, 1 kHz far inside, and of curves whose crossing
// of −3.01 dB can be solved.

const halfPowerDb = 10 * Math.log10(2);

interface Options {
  readonly edgeHz: number;
  readonly stdDev?: number;
  readonly stepsPerOctave?: number;
  /** Whether the response can be read between its points. */
  readonly isRead?: boolean;
}

/** One end of a response that is known everywhere, in points outwards from 1 kHz. */
function sideOf(
  end: "low" | "high",
  level: (hz: number) => number,
  { edgeHz, stdDev = 1e-6, stepsPerOctave = 48, isRead = true }: Options,
): ResponseSide {
  const at = (hz: number) => ({ hz, db: level(hz), stdDev });
  const towards = end === "low" ? 2 ** (-1 / stepsPerOctave) : 2 ** (1 / stepsPerOctave);
  const isWithin = (hz: number) => (end === "low" ? hz >= edgeHz : hz <= edgeHz);
  return {
    end,
    edgeHz,
    reference: 0,
    *outwards() {
      for (let hz = 1000 * towards; isWithin(hz); hz *= towards) yield at(hz);
    },
    ...(isRead ? { at } : {}),
    between: (fromHz, toHz) => {
      const points = [];
      for (let hz = fromHz; hz <= toHz; hz *= 2 ** (1 / 12)) points.push(at(hz));
      return points;
    },
  };
}

const highPass = (cornerHz: number) => (hz: number) => -10 * Math.log10(1 + (cornerHz / hz) ** 2);
const lowPass = (cornerHz: number) => (hz: number) => -10 * Math.log10(1 + (hz / cornerHz) ** 2);

const cornerOf = ({ corner }: RollOff) => ("hz" in corner ? corner.hz : corner.absent.code);

describe("findRollOff", () => {
  it.each([40, 100, 300])("reads a first-order corner at %i Hz, and its order", (hz) => {
    const { corner, order } = findRollOff(sideOf("low", highPass(hz), { edgeHz: 16 }));
    expect(Math.abs((corner as { hz: number }).hz / hz - 1)).toBeLessThan(1e-4);
    expect(Math.abs((order as { value: number }).value - 1)).toBeLessThan(0.01);
  });

  it("extrapolates a corner down to 1 Hz, up to three times the edge, and no further", () => {
    const low = (hz: number) => cornerOf(findRollOff(sideOf("low", highPass(hz), { edgeHz: 7 })));
    expect(Number(low(1.1)) / 1.1).toBeCloseTo(1, 2);
    expect(low(0.9)).toBe("corner-beyond-sweep");
    const high = (times: number) =>
      cornerOf(findRollOff(sideOf("high", lowPass(times * 20_000), { edgeHz: 20_000 })));
    expect(Number(high(2.8)) / 56_000).toBeCloseTo(1, 2);
    expect(high(3.2)).toBe("corner-beyond-sweep");
  });

  it("gives no corner that the noise leaves open by more than half of it", () => {
    const read = (stdDev: number) =>
      findRollOff(sideOf("low", highPass(3), { edgeHz: 16, stdDev })).corner;
    const { hz, uncertainty } = read(1e-3) as { hz: number; uncertainty: number };
    expect(Math.abs(hz - 3)).toBeLessThan(uncertainty);
    expect(uncertainty).toBeLessThan(1.5);
    for (const stdDev of [0.05, 0.1, 0.3]) {
      expect(read(stdDev), `${stdDev} dB`).toMatchObject({
        absent: { code: "corner-beyond-sweep" },
      });
    }
  });

  it("finds the crossing of another shape on the curve through four points", () => {
    // A cubic of ln f is that curve itself: −L³/8 with L = ln(1000/f) crosses at L = 2·∛3.0103.
    const bent = (hz: number) => -(Math.log(1000 / hz) ** 3) / 8;
    const expected = 1000 * Math.exp(-2 * Math.cbrt(halfPowerDb));
    for (const isRead of [true, false]) {
      const roll = findRollOff(sideOf("low", bent, { edgeHz: 16, stepsPerOctave: 3, isRead }));
      expect(Math.abs(Number(cornerOf(roll)) / expected - 1)).toBeLessThan(1e-4);
    }
  });
});

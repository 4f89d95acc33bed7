import { describe, expect, it } from "vitest";
import { formatDoubt } from "../../../src/report/doubts/format-doubt.js";

describe("what is doubtful about a loopback", () => {
  it("names the place and both devices where their clocks differ", () => {
    const doubt = { code: "loopback-of-two-clocks", file: "a/loop.wav", driftPpm: -12.4 } as const;
    expect(formatDoubt({ ...doubt, atS: 3.04, channel: 1 })).toMatch(
      /^a\/loop\.wav at 3\.0 s, channel 2: player and recorder ran 12 ppm apart, .* two devices/,
    );
    expect(formatDoubt({ ...doubt, atS: 0 })).toMatch(/^a\/loop\.wav at 0\.0 s: player/);
  });

  it("counts channels from 1 where one comes back inverted", () => {
    expect(formatDoubt({ code: "loopback-inverted", channel: 1 })).toMatch(
      /^Channel 2: the loopback comes back inverted\./,
    );
  });

  it("gives the voltage that was to be expected", () => {
    // +4 dBu: √0.6 V · 10^(4/20) = 1.2277 V (IEC 60268-2 for 0 dBu).
    const wholeVolts = Math.sqrt(0.6) * 10 ** (4 / 20);
    expect(formatDoubt({ code: "half-voltage", wholeDbu: 4, wholeVolts })).toMatch(
      /^The voltage at the output is half of the 1\.228 V \(4 dBu\) at which desk\.yaml feeds/,
    );
  });
});

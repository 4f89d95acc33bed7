import { describe, expect, it } from "vitest";
import { createShareRefusal } from "../../../src/history/compare/interface-share.js";
import type { Round } from "../../../src/history/types.js";
import type { Curve, Reading } from "../../../src/measure/types.js";
import { path, round } from "../rounds-of.js";

const of = (value: number): Reading => ({ value, unit: "dBFS", uncertainty: 0.1 });
const flat = (y: readonly number[]): Curve => ({
  x: y.map((_, k) => 100 * (k + 1)),
  y,
  uncertainty: y.map(() => 0.1),
  xUnit: "Hz",
  yUnit: "dBFS",
});
const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
const shareRefused = { code: "interface-share" };

function calibrated(own: {
  readonly readings?: Record<string, Reading>;
  readonly curves?: Record<string, Curve>;
}): Round {
  const input = { channel: 0, returns: 1, fullScale: of(22), readings: {}, curves: {}, ...own };
  const paths = ["1/mic", "2/mic", "3/mic"].map((name) => path(name, { take }));
  return round("2031-01-01", paths, { calibration: { inputs: [input] } as never });
}

const plain = (noise: readonly number[], curve?: Curve) =>
  round(
    "2030-01-01",
    noise.map((value, k) =>
      path(`${k + 1}/mic`, {
        readings: { noise: of(value) },
        ...(curve === undefined ? {} : { curves: { noise: curve } }),
      }),
    ),
  );

describe("what is near the interface's own in one of two rounds", () => {
  // As powers 10 dB apart the sum is 10·lg 1.1 = 0.4 dB higher; nearer is not comparable.
  it("is a noise less than 10 dB above it", () => {
    const later = calibrated({ readings: { noise: of(-100) } });
    expect(createShareRefusal(plain([-91, -91, -91]), later)("noise")).toEqual(shareRefused);
    expect(createShareRefusal(plain([-89, -89, -89]), later)("noise")).toBeUndefined();
    expect(createShareRefusal(plain([-90, -90, -90]), later)("noise")).toBeUndefined();
  });

  it("is so for all where it is for more than half of the paths", () => {
    const later = calibrated({ readings: { noise: of(-100) } });
    const refused = createShareRefusal(plain([-95, -95, -80]), later);
    expect(refused("noise")).toEqual(shareRefused);
    expect(createShareRefusal(plain([-95, -80]), later)("noise")).toBeUndefined();
  });

  it("is so for a path on its own, whatever its siblings are", () => {
    const refused = createShareRefusal(
      plain([-95, -80, -80]),
      calibrated({ readings: { noise: of(-100) } }),
    );
    expect(refused("noise", "1/mic")).toEqual(shareRefused);
    expect(refused("noise", "2/mic")).toBeUndefined();
    expect(refused("noise")).toBeUndefined();
  });

  it("is a curve by its middle", () => {
    const later = calibrated({ curves: { noise: flat([-100, -120, -140]) } });
    const near = createShareRefusal(plain([-80], flat([-60, -112, -150])), later);
    // −112 against −120 dBFS
    expect(near("noise")).toEqual(shareRefused);
    const far = createShareRefusal(plain([-80], flat([-130, -109, -60])), later);
    expect(far("noise")).toBeUndefined();
  });

  it("is nothing of what does not add, or the interface was not measured for", () => {
    const later = calibrated({ readings: { noise: of(-100), gain: of(0) } });
    const refused = createShareRefusal(plain([-95, -95, -95]), later);
    expect(refused("gain")).toBeUndefined();
    expect(refused("response")).toBeUndefined();
    expect(refused("unknown")).toBeUndefined();
    expect(createShareRefusal(plain([-95]), calibrated({}))("noise")).toBeUndefined();
  });

  it("counts no path that was not measured", () => {
    const before = plain([-95, -80]);
    const [one, other] = before.paths;
    const lost = { ...before, paths: [one, { ...other, status: "missing" as const }] };
    const refused = createShareRefusal(lost, calibrated({ readings: { noise: of(-100) } }));
    expect(refused("noise")).toEqual(shareRefused);
  });

  it("is hum less than 20 dB above it: voltages of unknown phase", () => {
    const later = calibrated({ readings: { hum: of(-100) } });
    const refused = (hum: number) =>
      createShareRefusal(
        round("2030-01-01", [path("1/mic", { readings: { hum: of(hum) } })]),
        later,
      )("hum");
    expect(refused(-80.1)).toEqual(shareRefused);
    expect(refused(-80)).toBeUndefined();
  });

  it("is a curve by its middle, in whatever order its values come", () => {
    const later = calibrated({ curves: { noise: flat([-140, -100, -120]) } });
    const middle = (db: number) =>
      createShareRefusal(plain([-80], flat([-60, -150, db])), later)("noise");
    expect(middle(-112)).toEqual(shareRefused);
    expect(middle(-109)).toBeUndefined();
    // What only one of the two has cannot be near.
    expect(createShareRefusal(plain([-80]), later)("noise")).toBeUndefined();
    expect(
      createShareRefusal(plain([-80], flat([-112])), calibrated({ readings: {} }))("noise"),
    ).toBeUndefined();
  });

  it("is that of the input that the path was recorded through", () => {
    const later = calibrated({ readings: { noise: of(-100) } });
    const through = (channel: number) => ({
      ...later,
      paths: later.paths.map((one) => ({ ...one, take: { ...take, channel } })),
    });
    const before = plain([-95, -95, -95]);
    expect(createShareRefusal(before, through(0))("noise")).toEqual(shareRefused);
    expect(createShareRefusal(before, through(1))("noise")).toBeUndefined();
    expect(createShareRefusal(before, { ...later, calibration: null })("noise")).toBeUndefined();
  });
});

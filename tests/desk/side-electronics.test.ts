import { expect, it } from "vitest";
import { buildDefaultFlow } from "../../src/desk/flow.js";
import { tellSideElectronics } from "../../src/desk/side-electronics.js";

// Expected: what the words mean in the trade (common practice, no source).

it("a pan feeds both sides from one signal", () => {
  expect(tellSideElectronics(buildDefaultFlow(["mic"]).stages.mic)).toBe("one");
  expect(tellSideElectronics(["transformer balanced input", "panpot"])).toBe("one");
});

it("a stereo strip has electronics for either side, and a balance instead of a pan", () => {
  expect(tellSideElectronics(["Stereo line amplifier", "fader"])).toBe("two");
  expect(tellSideElectronics(["line amplifier", "balance control"])).toBe("two");
  expect(tellSideElectronics(["left amplifier", "right amplifier", "pan"])).toBe("two");
});

it("where neither is named nothing is known", () => {
  expect(tellSideElectronics(["socket", "amplifier", "fader"])).toBeUndefined();
  expect(tellSideElectronics([])).toBeUndefined();
});

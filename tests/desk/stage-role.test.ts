import { expect, it } from "vitest";
import { classifyStage } from "../../src/desk/stage-role.js";

// What the stages of the default flow and of common desks do: common practice, no source.
it.each([
  ["mic socket", ["socket"]],
  ["mic input stage", ["input stage"]],
  ["tape side of the input switch", ["input switch"]],
  ["low-cut", ["low-cut"]],
  ["high-pass filter", ["low-cut"]],
  ["equaliser", ["equaliser"]],
  ["insert jack", ["insert"]],
  ["pan and bus resistors", ["pan", "routing"]],
  ["fader", ["fader"]],
  ["mic amplifier", ["input stage"]],
  ["transformer", ["input stage"]],
  ["line receiver", ["input stage"]],
  ["summing node", []],
])("%s", (name, roles) => {
  expect(classifyStage(name)).toEqual(roles);
});

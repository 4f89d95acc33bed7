import type { SectionKind } from "../../desk/section-kinds.js";
import { commonPractice, inUse, powered } from "../../diagnose/bench.js";
import { formatCommand } from "../../text/program-name.js";
import type { RepairGuide } from "./repair-guide.js";

/**
 * Automation and recall have no causes here; the guide only finds out whether they are at fault.
 */
const automationGuide: RepairGuide = {
  settle: inUse(
    "switch the automation off, or to manual, and use the strips without it: a fault that goes away is in the automation; one that stays is in the strip, so note it there",
  ),
  steps: [],
  repair:
    "Have somebody who knows that automation look at it: its motors, memory and computer are not diagnosed here.",
  parts: [],
  minutes: 15,
  risks: ["keep your fingers off the faders: they may move without warning"],
  source: commonPractice,
};

/** Guide for a supply: measure its voltages, and leave it closed. */
const buildSupplyGuide = (): RepairGuide => ({
  settle: inUse(
    "listen to it, look at its lamps and fans, and write down what it does and when; if it gets hot, hums louder or smells, switch off and pull the plug",
  ),
  steps: [
    powered(
      `Measure each rail and phantom at two strips that it feeds, and note the readings (\`${formatCommand("note meter 6 rail --plus … --minus …")}\`): out at both, it is the supply`,
    ),
  ],
  repair:
    "Have the supply repaired by a licensed technician, under local codes; do not open it yourself.",
  parts: [],
  minutes: 15,
  risks: ["the supply stays dangerous after switch-off: its capacitors hold charge"],
  place: "supply",
  source: commonPractice,
});

/** The guide of a section to which no cause of a strip applies; undefined for all others. */
export function getSectionGuide(kind: SectionKind | undefined): RepairGuide | undefined {
  return kind === "supply"
    ? buildSupplyGuide()
    : kind === "automation"
      ? automationGuide
      : undefined;
}

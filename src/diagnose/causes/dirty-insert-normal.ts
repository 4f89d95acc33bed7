import { cleanerRisk, commonPractice, inUse, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/**
 * The contact that carries the signal when nothing is plugged in: it tarnishes because it is never
 * moved.
 */
export const dirtyInsertNormal: CauseKind<"dirty-insert-normal"> = {
  id: "dirty-insert-normal",
  name: "dirty normal contact of an insert or the patchbay",
  word: "normal",
  kind: "fault",
  shownBy: ["use", "round", "eyes and nose"],
  seat: ["insert"],
  answers: { insert: 0.95, switches: 0.4 },
  cleared: ["insert"],
  settle: inUse(
    "join send and return with a good cord: a fault that disappears while the cord is in comes from the normal contact",
    undefined,
    ["patch cord"],
  ),
  ready: "a good patch cord, contact cleaner, a burnishing strip for jacks",
  tryNow: "push a plug in and out of the insert a few times",
  confusedWith: [
    {
      cause: "dirty-contact",
      check:
        "leave the cord in and work the switches: if the fault still changes, it comes from a switch",
    },
    {
      cause: "high-loss",
      check: "record with the cord in: treble that recovers was lost at the normal contact",
    },
  ],
  bench: {
    steps: [
      inUse("Plug and unplug the insert a dozen times, then record this path again", undefined, [
        "recording set-up",
      ]),
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance across the normal contact with nothing plugged in: it must read below an ohm and stay steady",
        undefined,
        ["multimeter"],
      ),
    ],
    repair: "Burnish and clean the normal contact; replace the jack if its spring is weak.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "socket", count: 1 },
    ],
    minutes: 20,
    risks: cleanerRisk,
    source: commonPractice,
  },
  notes: [
    {
      controls: ["insert"],
      symptoms: { dull: 7, thin: 6, distorted: 7, hum: 3 },
      otherwise: 7,
    },
  ],
};

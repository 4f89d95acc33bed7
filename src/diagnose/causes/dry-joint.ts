import { commonPractice, inUse, onBench, powered, solderingRisk } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/**
 * A crack round a pin that opens with heat, cold or pressure, or an edge connector that has worked
 * loose.
 */
export const dryJoint: CauseKind<"dry-joint"> = {
  id: "dry-joint",
  name: "dry joint or edge connector",
  word: "dry joint",
  kind: "fault",
  shownBy: ["use", "eyes and nose", "round"],
  settle: inUse(
    "press and tap the front of the strip while the tone plays: a signal that comes and goes as you do points to a joint or an edge connector",
    undefined,
    ["tone 1 kHz"],
  ),
  ready: "a lens, solder, contact cleaner",
  tryNow: "turn the plug in its socket",
  confusedWith: [
    {
      cause: "dirty-contact",
      check:
        "work switch and plug without pressing on the strip: a dirty contact reacts to that alone",
    },
  ],
  bench: {
    steps: [
      powered(
        "Press connectors and boards with a dry insulated rod while the tone plays, from the socket onwards, and mark the place that reacts",
        ["insulated rod", "tone 1 kHz", "extender"],
      ),
      onBench(
        "Look through a lens for rings round the pins of sockets, connectors, controls and heavy or warm parts",
        undefined,
        ["lens"],
      ),
    ],
    repair: "Clean the edge connector and press it home; resolder the joint with fresh solder.",
    parts: [{ role: "contact cleaner", count: 1 }],
    minutes: 35,
    risks: solderingRisk,
    source: commonPractice,
  },
  notes: [
    { controls: ["socket"], symptoms: { loose: 7, intermittent: 6.5 }, otherwise: 3 },
    { symptoms: { intermittent: 3, dropout: 3, dead: 1, crackle: 1 } },
  ],
};

import type { Control, Symptom } from "../note-vocabulary.js";
import type { NotedFault } from "./noted-fault.js";

/**
 * Whether work can go on: `yes`; `care`, if the first aid works; `watch`, as long as it gets no
 * worse; `elsewhere`, on another strip or input.
 */
export type CarryOn = "yes" | "care" | "watch" | "elsewhere";

/** What to try at once, without tools and without opening anything. */
export interface FirstAid {
  /** An imperative that follows "Try now:". */
  readonly todo: string;
  readonly carryOn: CarryOn;
}

interface FirstAidRow extends FirstAid {
  /** Absent: whatever the note names, or nothing. */
  readonly controls?: readonly Control[];
  readonly symptoms?: readonly Symptom[];
}

const tracks: readonly Control[] = ["fader", "gain", "pan", "send", "equaliser", "dynamics"];
const switches: readonly Control[] = [
  "pad",
  "polarity",
  "low-cut",
  "mute",
  "solo",
  "routing",
  "input-switch",
];

/** The first row that fits counts. All of it common practice, no source. */
const rows: readonly FirstAidRow[] = [
  {
    symptoms: ["whistle"],
    todo: "turn the monitors down, then turn the gain down and switch the equaliser out until it stops; if it does not stop, leave the fader down: it can harm tweeters even where you cannot hear it",
    carryOn: "elsewhere",
  },
  {
    controls: ["meter", "lamp"],
    todo: "rely on your ears: the sound does not depend on it; tap a sticking meter lightly",
    carryOn: "yes",
  },
  {
    symptoms: ["dark"],
    todo: "rely on your ears: the sound does not depend on it",
    carryOn: "yes",
  },
  {
    controls: ["insert"],
    symptoms: [
      "dead",
      "dropout",
      "intermittent",
      "crackle",
      "quiet",
      "unsteady",
      "dull",
      "distorted",
    ],
    todo: "plug and unplug the insert a dozen times; if that does not hold, join send and return with a patch cord",
    carryOn: "care",
  },
  {
    controls: ["phantom"],
    symptoms: ["pop", "stuck", "crackle"],
    todo: "mute the channel before you switch phantom power or pull a plug, and keep ribbon microphones away from it",
    carryOn: "care",
  },
  {
    controls: ["phantom"],
    todo: "with the channel muted, try another microphone and cable, then work the phantom switch a few times, ten seconds apart",
    carryOn: "elsewhere",
  },
  {
    controls: tracks,
    symptoms: ["scratch", "crackle", "unsteady"],
    todo: "with the monitors down, move it from end to end two dozen times, then leave it where it is quiet",
    carryOn: "care",
  },
  {
    controls: ["equaliser", "dynamics"],
    symptoms: ["dropout", "intermittent", "dead"],
    todo: "make sure that it is switched in; with the monitors down, work its switch and its controls two dozen times, then leave them where it works, or switch it out",
    carryOn: "care",
  },
  {
    controls: tracks,
    symptoms: ["dropout", "intermittent", "dead"],
    todo: "with the monitors down, move it from end to end two dozen times, then leave it where it works",
    carryOn: "care",
  },
  {
    controls: switches,
    symptoms: ["scratch", "crackle", "unsteady", "dropout", "intermittent", "dead", "stuck"],
    todo: "with the monitors down, press it two dozen times; do not force it",
    carryOn: "care",
  },
  {
    symptoms: ["stuck", "loose"],
    todo: "do not force it; leave it as it is and mark it with tape",
    carryOn: "yes",
  },
  {
    symptoms: ["pop"],
    todo: "turn the monitors down before you press or move it; if it pops on its own, leave the fader down",
    carryOn: "care",
  },
  {
    controls: ["socket", "direct-out"],
    todo: "try another cable, and plug it in and out a dozen times with the channel muted",
    carryOn: "care",
  },
  {
    symptoms: ["hum", "buzz"],
    todo: "change the cable, then unplug whatever is connected: hum that stops comes from outside; never disconnect a protective earth to stop hum",
    carryOn: "care",
  },
  {
    symptoms: ["thin"],
    todo: "check low cut, equaliser and polarity, and try another cable: an open leg sounds thin",
    carryOn: "elsewhere",
  },
  {
    symptoms: ["dull"],
    todo: "check the equaliser, try another cable, and plug and unplug the insert a dozen times",
    carryOn: "elsewhere",
  },
  {
    symptoms: ["distorted", "clips-early"],
    todo: "turn the gain down by 10 dB and check pad and equaliser; try another source and cable",
    carryOn: "elsewhere",
  },
  {
    symptoms: ["hiss"],
    todo: "turn the gain down: hiss that falls with it comes from upstream, so try another microphone and cable",
    carryOn: "care",
  },
  {
    symptoms: ["loud"],
    todo: "compare gain, pad and fader with the next strip",
    carryOn: "yes",
  },
  {
    symptoms: ["crosstalk"],
    todo: "check routing, sends and patch of the strip that you hear",
    carryOn: "care",
  },
  {
    symptoms: ["scratch"],
    todo: "with the monitors down, move one control at a time to find which it is, and note it",
    carryOn: "care",
  },
  {
    symptoms: ["dead", "dropout", "intermittent", "quiet", "crackle", "unsteady"],
    todo: "try another cable and source; check pad, mute and routing, work them a dozen times, and plug and unplug the insert",
    carryOn: "elsewhere",
  },
  { todo: "try it a few times, and note what it does", carryOn: "care" },
];

/**
 * What to try against a fault before anything is opened.
 *
 * @example
 * findFirstAid({ control: "fader", symptom: "scratch" }).todo.length > 0; // true
 * findFirstAid({}).carryOn; // "care"
 */
export function findFirstAid({ control, symptom }: NotedFault): FirstAid {
  const row = rows.find(
    ({ controls, symptoms }) =>
      (controls === undefined || (control !== undefined && controls.includes(control))) &&
      (symptoms === undefined || (symptom !== undefined && symptoms.includes(symptom))),
  ) as FirstAidRow;
  return { todo: row.todo, carryOn: row.carryOn };
}

/** The same for automation, which may be the only thing at fault. */
export const automationFirstAid: FirstAid = {
  todo: "keep your fingers away from faders that move on their own; switch the automation off, or to manual, and use the strips without it: a fault that goes away is in the automation, one that stays is in the strip, so note it there",
  carryOn: "care",
};

/** The same for a supply, which needs a licensed person. */
export const supplyFirstAid: FirstAid = {
  todo: "leave it closed; if it gets hot, hums louder or smells, switch off and pull the plug; leave supply and mains work to licensed people, under local codes",
  carryOn: "watch",
};

import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { DangerId } from "../../src/diagnose/dangers.js";
import { findDangers } from "../../src/diagnose/find-dangers.js";

/** As people type them; what a service engineer would take each for. */
const dangerous: readonly (readonly [text: string, ...kinds: DangerId[]])[] = [
  ["smell of burning, resistor hot", "burning", "heat"],
  ["smoke from the channel!!", "smoke"],
  ["SMOKE", "smoke"],
  ["somke coming out of the meter bridge", "smoke"],
  ["strip was smoking a bit, now dead", "smoke"],
  ["saw a flame at the psu", "smoke"],
  ["let the magic smoke out of the aux master", "smoke"],
  ["no signal on direct out, smells burnt", "burning"],
  ["EQ dead to the right. R14 looks burnt", "burning"],
  ["bruning smell when phantom is on", "burning"],
  ["buring smell near psu", "burning"],
  ["it stinks of hot electronics in there", "burning", "heat"],
  ["funny smell from the supply, hum too", "burning"],
  ["fried the op amp I think", "burning"],
  ["black scorch mark beside the fader", "burning"],
  ["board charred around the regulator", "burning"],
  ["plastic melted at the connector", "burning"],
  ["mute lamp melts its cap", "burning"],
  ["too hot to touch", "heat"],
  ["vr gets v. hot after 10 min", "heat"],
  ["op-amp running hot", "heat"],
  ["gain scratchy and ic3 boiling hot", "heat"],
  ["supply overheats", "heat"],
  ["psu over heating again", "heat"],
  ["unusual heat from the left end of the desk", "heat"],
  ["burnt my finger on the heatsink", "burning"],
  ["got a shock from the mic", "shock"],
  ["electric shok off the panel", "shock"],
  ["frame tingles when I touch mic and guitar", "shock"],
  ["slight tingle on the lips w/ phantom on", "shock"],
  ["guitarist got zapped", "shock"],
  ["the case is live", "shock"],
  ["90 V on the chassis", "shock"],
  ["it bites when you touch the fader screws", "shock"],
  ["bulging caps in the supply", "swollen"],
  ["two lytics bulged", "swollen"],
  ["C12 buldging", "swollen"],
  ["swollen cap next to the regulator", "swollen"],
  ["electrolytic leaking onto the board", "swollen"],
  ["caps have leaked, brown goo", "swollen"],
  ["a capacitor burst", "swollen"],
  ["tantalum exploded", "swollen"],
  ["memory battery leaky", "swollen"],
  ["fuse blew twice", "fuse"],
  ["blown fuse in +17", "fuse"],
  ["fuse gone again, channel quiet", "fuse"],
  ["keeps blowing fuses", "fuse"],
  ["breaker trips when the desk is switched on", "fuse"],
  ["RCD tripped", "fuse"],
  ["coffee spilled over 12-14", "liquid"],
  ["beer in the faders", "liquid"],
  ["someone spilt tea on it, fader scratchy now", "liquid"],
  ["water dripping from the ceiling on strips 1-4", "liquid"],
  ["roof leaks, desk got wet", "liquid"],
  ["red wine into the master section", "liquid"],
  ["arcing at the mains switch", "arcing"],
  ["sparks inside the rack", "arcing"],
  ["saw a spark when plugging in the ribbon", "arcing"],
  ["crackling inside the supply", "arcing"],
  ["sizzling noise from inside the psu", "arcing"],
  ["loud bang, then nothing", "arcing"],
  ["blue flash and the lights went", "arcing"],
  ["transformer buzzing", "transformer"],
  ["mains trafo hums like mad", "transformer"],
  ["psu is humming loudly", "transformer"],
  ["mechanical buzz from the power supply", "transformer"],
  ["toroid growls at switch on", "transformer"],
  ["mains lead frayed", "mains-lead"],
  ["bare wire at the mains inlet", "mains-lead"],
  ["earth wire came off inside", "mains-lead"],
  ["no smoke but a burning smell", "burning"],
  ["burning a CD when smoke came out of strip 3", "smoke"],
  ["not smoking any more", "smoke"],
];

const readLines = (name: string) =>
  readFileSync(new URL(`../../fixtures/notes/${name}.txt`, import.meta.url), "utf8")
    .trim()
    .split("\n");

/** More of the same, of whatever kind. */
const alsoDangerous: readonly string[] = [
  "smelt something electrical near the psu",
  "resistor glowing red",
  "the supply hums mechanically and is hot",
  "got a belt off the mic",
  "popped a fuse again",
  "wine spilled on strip 6",
  "capacitor exploded",
  "brown goo under C12",
  "crackling arc behind the patchbay",
  "ribbon cable scorched",
  "I can feel a tingle on the metal",
  "someone stepped on the mains cable and the wires show",
  "hot smell near the power supply",
  "there was a puff of smoke when I switched on",
  "got a zap off the rack ears",
  "strip 9 is too hot to touch",
  "blue flash at the mains inlet",
  "beer went into the faders",
  "fuse keeps popping",
  "cap has vented its goo on the board",
  "transformer in the supply is buzzing loudly",
  "scorch mark by R12",
  "cable insulation melted at the inlet",
  "the frame gives a tickle when I touch the mic",
  "crackling and sparks from the psu",
  "fishy smell from strip 7",
  "smells like hot plastic",
  "electrolytic bulging on the left rail",
  "there's a burnt resistor",
  "metal knob gives me shocks",
  "coffee all over the master section",
  "psu fan stopped and it is boiling hot",
  "loud bang then dark, tripped the breaker",
  "water dripping from the ceiling onto strips 1-4",
  "earth wire came off the mains plug",
  "mains lead frayed",
  "sparks when plugging in",
  "resistor looks toasty",
  "R22 discoloured from heat",
  "smell of ozone",
  "there was a puff of smoke when I pressed mute",
  "whiff of burnt plastic",
  "regulator too hot to keep a finger on",
  "cant touch the op amp, roasting",
  "ic gets really warm",
  "heatsink scorching",
  "I get a belt off the desk",
  "got a belt from the rack",
  "mic gives me a kick when I touch the console",
  "lips get zapped",
  "little prickle from fader caps",
  "tickle when touching two desks",
  "the caps on the psu have domed tops",
  "cap vomited its guts",
  "cap leaking",
  "electrolite on the pcb",
  "fuse pops every time",
  "internal fuse blown",
  "F3 blown",
  "replaced fuse, blew again",
  "the -17 fuse is open",
  "trips the main breaker",
  "pint of beer went over the group section",
  "cola in ch 12",
  "someone sneezed coke onto the faders",
  "liquid damage",
  "rain came through the roof",
  "lightning inside the psu",
  "spark when I switched on",
  "sprak at the power connector",
  "popping and crackling from inside the desk",
  "psu makes a buzzing noise",
  "power supply buzzing",
  "PSU whining loudly",
  "transformer very noisy",
  "mains transformer vibrates",
  "transfomer hums",
  "smoky smell",
  "smeling burnt",
  "smells of burning dust",
  "smells like fish",
  "smells hot",
  "something is burning",
  "caught fire",
  "board has a brown burn mark",
  "glows",
  "melting plastic smell from 14",
  "overheating",
  "PSU too hot",
  "desk gives electric shocks",
  "ground lug loose, tingling",
  "hot chassis",
  "chassis is hot",
  "live metalwork",
  "120V on chassis",
  "mains cable damaged",
  "mains plug cracked",
  "plug is hot",
  "strip hot",
  "chan 5 hot",
  "channel 5 very hot",
  "channel runs hot",
  "channel 7 gets hot after an hr",
  "output transistor hot",
  "input stage hot to the touch",
  "mic transformer hot",
  "mic pre hot, burning smell",
  "output hot to touch",
  "+17 rail gone, fuse",
  "loud pop and smoke",
  "cap popped",
  "cap blew up",
  "blew up",
  "tantalum shorted and burned a trace",
  "track burnt off",
  "burnt trace",
  "resistor cooked",
  "op amp fried",
  "smel from psu",
  "leaking battery on the automation card",
  "corroded by battery acid",
  "capacitor has leaked",
  "cap bulge",
  "swolen caps",
  "bulginng cap",
  "humming transformer",
  "transformer hum",
  "toroid buzzing",
  "mains hum audible from the transformer itself",
  "supply hums",
  "fan stopped and psu hot",
  "wet fader",
  "water",
  "condensation after transport",
  "drink knocked over",
  "it sparks",
  "arc at plug",
  "arced over",
  "flash of light and dead",
  "short circuit on the rail",
  "shorted cap",
  "breaker tripped",
  "RCD keeps tripping",
  "frayed power cord",
  "exposed wires in rack",
  "earth lead not connected",
  "earth disconnected",
  "mains earth missing",
  "case bites",
  "felt current on the frame",
  "knob gets warm, too warm",
  "very hot to touch",
  "meter lamp overheating",
  "hot smell",
  "very hot",
];

describe("findDangers", () => {
  it.each(dangerous)("takes %j for a danger", (text, ...kinds) => {
    expect(findDangers(text)).toEqual(expect.arrayContaining(kinds));
  });

  it.each(alsoDangerous)("takes %j for one too", (text) => {
    expect(findDangers(text)).not.toEqual([]);
  });

  // What only sounds like it.
  it.each(readLines("harmless"))("takes %j for none", (text) => {
    expect(findDangers(text)).toEqual([]);
  });

  it.each(dangerous)("sees %j among other words", (text, ...kinds) => {
    const note = `Fader scratchy, aux send dead; hot take, headphones hum.\n${text.toUpperCase()}\nBurning a CD meanwhile.`;
    expect(findDangers(note)).toEqual(expect.arrayContaining(kinds));
  });

  it("keeps the table's order and says each kind once", () => {
    expect(findDangers("burnt, hot, smoke, burning smell, smoke")).toEqual([
      "smoke",
      "burning",
      "heat",
    ]);
  });
});

// Written before the words that find them (common practice, no source): each line of the one is a
// danger, of the other none.
describe("findDangers on whole lists", () => {
  it("misses none of the dangers", () => {
    const lines = readLines("dangers");
    expect(lines.length).toBeGreaterThan(140);
    expect(lines.filter((line) => findDangers(line).length === 0)).toEqual([]);
  });

  it("seldom takes for one what is none", () => {
    const lines = readLines("innocent");
    expect(lines.filter((line) => findDangers(line).length > 0).length).toBeLessThanOrEqual(1);
  });
});

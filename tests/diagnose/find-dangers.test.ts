import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { DangerId } from "../../src/diagnose/dangers.js";
import { findDangers, matchDangers, withoutHarmless } from "../../src/diagnose/find-dangers.js";

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
  "heatsink 94 C",
  "fan seized, heat sink at 85 degrees",
  "slow blow replaced with a bit of kitchen foil",
  "somebody put a nail in place of the fuse",
  "fuse let go at midnight, the new one too",
  "wall plug of the desk goes fzzt when you move it",
  "mains lead crackles at the inlet",
  // Of each kind in words that name no danger.
  "a faint white curl rose from the slot next to the routing buttons",
  "thin blue fog over the meter bridge after switch on",
  "something in the psu went poof and theres a cloud",
  "air in the rack tastes of burnt hair",
  "brown halo round R7 and the board is dark",
  "tar has dripped out of the big transformer",
  "that chip left a blister on my thumb",
  "cant rest a finger on the regulator",
  "top cover like a radiator in january",
  "infrared says 81 C on the rectifier",
  "you could boil an egg on that lid",
  "the armrest nips my elbow when i hold the headphones",
  "vocal mic stung her on the lip",
  "i get poked by the screws when my other hand is on the radiator",
  "it kicked him when he grabbed the rack and the bass",
  "got a wallop from the metal trim",
  "120 V between desk frame and radiator",
  "purple flicker inside when I power up",
  "plug spits when i push it in",
  "crack and a flash behind the panel then nothing",
  "fizzing noise and a glow under strip 7",
  "big iron thing in the rack growls, lid rattles",
  "the psu buzzes like a hive",
  "trafo groans under load",
  "the 2 A slow one gone again",
  "F1 open, replaced, popped straight away",
  "glass tube at the back is mirror black",
  "every night the breaker drops",
  "someone put a nail where the fuse goes",
  "reservoir cap has a dome",
  "two of the electrolytics look pregnant",
  "C9 has spat its insides over the board",
  "brown syrup creeping out from under a capacitor",
  "caps with furry green feet",
  "whole mug of cocoa went across strips 3 to 6",
  "pint over the master section",
  "ceiling let go above the patchbay",
  "dog peed on the rack",
  "dried lemonade under the faders",
  "sweat dripping into the faders",
  "mains cable chewed by the cat, copper visible",
  "no earth on the plug of supply B, someone snipped it",
  "cover is off and the 230 terminals are bare",
  "iec inlet wobbles and the plug is brown",
  "sheath is slit where the rack door closes on it",
  "strip reeks when warm",
  "somethings cooking in there and its not dinner",
  "we had to unplug it, the whole thing was glowing",
  "it shocked the drummer",
  "wet patch under channel 12",
  "two wires inside show copper where they touch the frame",
  "strong ammonia smell",
  "shower of sparks when the link was pulled",
  "there is a hot spot on the panel by 14",
  "popping and flashing from the supply",
  "the lid of the supply is too warm for my liking",
  "left hand goes numb when I lean on the frame",
  "caught a wallop off the steel of the console",
  "with every crackle there is a light in the slot of the fader",
  "supply sings to itself on a low note, never did before",
  "supply: a second note, 100 cycles, from the core",
  "a phut from the cupboard, then half the desk was dark",
  "ingress of cola, strip isolated",
  "his glass emptied itself into the solo buttons",
];

describe("findDangers", () => {
  it.each(dangerous)("takes %j for a danger", (text, ...kinds) => {
    expect(findDangers(text)).toEqual(expect.arrayContaining(kinds));
  });

  it.each(alsoDangerous)("takes %j for one too", (text) => {
    expect(findDangers(text)).not.toEqual([]);
  });

  // What only sounds like it.
  const ofControls = ["faders jump", "motor faders twitch", "faders 3 and 4 drift"];
  const alsoHarmless = [
    // A meter reading is noted at a place, without a word.
    "supply",
    "psu",
    "supply 2",
    "direct out 6 dB hot vs the bus",
    "hot channel, +4 comes out at +9",
    "we love the hot sound on 11, print it hot",
    "kick burning into the red all day",
    "the reference CD burns tonight",
    "smoky voice, leave it alone",
    "fader comes on with a bang below -30",
    "brown goo on the fader turned out to be old glue",
    "smells of the cleaner I used",
    "no ingress found",
    "supply smells like pizza, someone ate next to it",
  ];
  it.each([...readLines("harmless"), ...ofControls, ...alsoHarmless])(
    "takes %j for none",
    (text) => {
      expect(findDangers(text)).toEqual([]);
    },
  );

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

// One typing error: letters swapped, one missing, one too many, one vowel for another, or c for k.
describe("a slip", () => {
  it.each([
    ["somke", "smoke"],
    ["smoek", "smoke"],
    ["smke", "smoke"],
    ["smok", "smoke"],
    ["smokke", "smoke"],
    ["smokee", "smoke"],
    ["smake", "smoke"],
    ["smoce", "smoke"],
    ["crakling", "crackling"],
    ["coffe", "coffee"],
    ["suply", "supply"],
    ["wate", "water"],
    ["bulgink", "bulgink"],
    ["Überheating", "überheating"],
    // Not the first letter, not two errors, no consonant for another, no end that only looks alike.
    ["omoke", "omoke"],
    ["msoke", "msoke"],
    ["smokkke", "smokkke"],
    ["smk", "smk"],
    ["smobe", "smobe"],
    ["smkoo", "smkoo"],
    ["sekom", "sekom"],
    ["smoaka", "smoaka"],
    ["swalken", "swalken"],
    // What means something else, and words of three letters or less.
    ["spoke", "spoke"],
    ["smoky", "smoky"],
    ["arc", "arc"],
    ["smoke", "smoke"],
  ])("%j is read as %j", (typed, read) => {
    expect(withoutHarmless(typed)).toBe(read);
  });

  it("is mended beside other words, whose case and spaces are plain", () => {
    expect(withoutHarmless("The  SOMKE\u00a0of ‘it’")).toBe("the smoke of 'it'");
  });
});

describe("words learned of dangers", () => {
  it("say nothing of a place alone, nor of one word beside what only sounds like a danger", () => {
    for (const text of ["fader", "strips", "psu", "supply unit", "", "burning a CD"]) {
      expect(findDangers(text), text).toEqual([]);
    }
  });

  it("are asked where no pattern of the list fits, and name one danger then", () => {
    expect(matchDangers("nothing here")).toEqual([]);
    expect(matchDangers("smoke and a shock")).toEqual(["smoke", "shock"]);
  });
});

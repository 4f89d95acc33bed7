import { describe, expect, it } from "vitest";
import { normalizeNote } from "../../../src/diagnose/notes/normalize-note.js";
import { findNotedInput, readByRules } from "../../../src/diagnose/notes/read-by-rules.js";

// What a service engineer would take the words for: common practice of the trade, no source. A fault is
// its control and its symptom, with "?" where the words are vague or guess, "~" where it comes and goes.

function read(text: string): readonly string[] {
  const { faults, isInOrder, cleared = [] } = readByRules(text, normalizeNote(text));
  return [
    ...faults.map(({ control = "-", symptom = "-", isVague, comesAndGoes }) => {
      return `${control} ${symptom}${isVague ? "?" : ""}${comesAndGoes ? "~" : ""}`;
    }),
    ...(isInOrder ? ["in order"] : []),
    ...cleared.map((control) => `not ${control}`),
  ];
}

describe("a note read by rules", () => {
  it.each<readonly [text: string, ...faults: string[]]>([
    // A symptom without a control is that of the one just named.
    ["a bit of fluff in the fader, feels gritty", "fader scratch?"],
    ["pan scratchy, fader too", "pan scratch", "fader scratch"],
    ["pan dead, fader also dead", "pan dead", "fader dead"],
    ["gain and pan scratchy", "gain scratch", "pan scratch"],
    ["the fader and the pan, both dead", "fader dead", "pan dead"],
    ["the pan, which scratches", "pan scratch"],
    ["stiff: fader", "fader stuck"],
    ["dirty: mute", "mute crackle?"],
    ["fader: dirty", "fader scratch?"],
    ["trim: gritty", "gain scratch?"],
    ["insert send ok, return dead", "insert dead"],
    ["fader fine, sweep dead", "fader dead"],
    ["insert oxidised, signal drops out", "insert dropout"],
    ["neither phantom nor pad works", "phantom dead", "pad dead"],
    ["mute / solo dead", "mute dead", "solo dead"],
    ["mute and solo dead", "mute dead", "solo dead"],
    ["level low. trim no effect", "- quiet", "gain dead"],
    // Its own subject is not the control named before.
    ["fader crackles, the level drops out", "fader crackle", "- dropout"],
    ["crackles and hums, fader fine", "- crackle", "- hum"],
    // Of two controls side by side the one that is meant.
    ["mute led out", "lamp dark"],
    ["insert jack intermittent", "insert intermittent~"],
    ["lamp dead", "lamp dark"],
    // A control alone.
    ["gain", "gain -"],
    ["not muting", "mute -"],
    ["settings: gain 2 o'clock, keep"],
  ])("of places: %j", (text, ...faults) => {
    expect(read(text)).toEqual(faults);
  });

  it.each<readonly [text: string, ...faults: string[]]>([
    ["then nothing, came back on its own", "- dropout~"],
    ["signal went quiet, came back later", "- dropout~"],
    ["went dead, recovered", "- dropout~"],
    ["sometimes it works, sometimes it doesn't", "- intermittent~"],
    ["works sometimes", "- intermittent~"],
    ["comes and goes", "- intermittent~"],
    ["sometimes starts off dead", "- intermittent~"],
    ["noise comes and goes", "- hiss~"],
    ["hums sometimes", "- hum~"],
    ["intermittent crackle on the fader", "fader crackle~"],
    ["fader intermittent", "fader intermittent~"],
    ["crackly and intermittent fader", "fader crackle", "fader intermittent~"],
    ["the insert only works with the jack half in", "insert intermittent~"],
    ["tap the socket and she sings", "socket intermittent~"],
    ["chattering gate", "dynamics unsteady~"],
    ["compressor chatters", "dynamics unsteady~"],
    ["maybe the pan is scratchy", "pan scratch?"],
    ["fader dead?", "fader dead?"],
    ["dirty", "- distorted?"],
    ["knob goes round and round", "- loose?"],
    ["like someone eating crisps when I turn the gain", "gain scratch?"],
    // A plain statement outranks a guess about the same, and an effect is no second fault.
    ["dirty, crackles everywhere", "- crackle"],
    ["crunch, crunch whenever pan is moved", "pan scratch"],
    ["low cut always in, no bottom end", "low-cut stuck"],
    ["hum, only hum", "- hum"],
    ["scratch scratch", "- scratch"],
  ])("of what comes and goes, and what is vague: %j", (text, ...faults) => {
    expect(read(text)).toEqual(faults);
  });

  it.each<readonly [text: string, ...faults: string[]]>([
    // The next clause has its own subject, or none.
    ["moved the fader, the level drops out", "- dropout"],
    ["the sound of the pan is scratchy", "pan scratch"],
    ["the vocals drop out", "- dropout"],
    ["hums, moved the fader", "- hum"],
    ["fader crackles and still hums", "fader crackle", "- hum"],
    ["gain right off, pan scratchy", "pan scratch"],
    ["fader fully down and I still hear it", "fader crosstalk"],
    ["the level goes and comes", "- intermittent~"],
    ["channel dies and revives", "- intermittent~"],
    ["wiggle the plug, pan scratchy", "pan scratch"],
    ["tap the fader, it hums", "fader hum"],
    ["drops out now and then", "- dropout"],
    ["no hum or buzz, only with phantom", "phantom hum"],
    ["gain and pan: crackly, hums", "gain crackle", "pan crackle", "- hum"],
    ["gain: crackly, hums", "gain crackle", "gain hum"],
    ["gain and pan: dirty", "gain scratch?", "pan scratch?"],
    ["maybe stiff: fader", "fader stuck?"],
    ["hiss: fader", "fader hiss"],
    ["noisy: fader", "fader scratch?"],
    ["maybe the fader is dead, reads -7, -1 on its siblings", "fader dead?"],
    ["eq noisy when switched in, signal drops out", "equaliser hiss?", "- dropout"],
    ["phantom led on, no phantom", "phantom dead"],
    // Dead and working again is one fault, of the same control.
    ["fader dead, fader intermittent", "fader intermittent~"],
    ["insert dropout, insert intermittent", "insert intermittent~"],
    // In order, as a whole or in part.
    ["fader faulty, mute fine", "fader -"],
    ["mute fine, pan fine, gain", "gain -", "in order"],
    ["was scratchy until cleaned, now it isn't", "in order"],
    ["used to hum until the cable was replaced, now it doesn't", "in order"],
    ["no faults", "in order"],
    ["hum isn't there", "in order"],
    ["hiss has gone, crackles", "- crackle"],
    ["works but hums", "- hum"],
    ["not the fader", "not fader"],
    ["it's not from the gain, hums", "- hum", "not gain"],
    ["never muting", "mute -"],
  ])("of clauses side by side: %j", (text, ...faults) => {
    expect(read(text)).toEqual(faults);
  });

  it.each<readonly [text: string, ...faults: string[]]>([
    // A crack: of a part, of a switch, of a track.
    ["cracked", "- crackle"],
    ["fader cracked", "fader loose"],
    ["knob cracked off the fader", "fader loose"],
    ["crack when the pad goes in", "pad pop"],
    ["gain cracks", "gain crackle"],
    ["frying bacon when the gain is turned", "gain scratch"],
    ["like frying bacon on the gain", "gain crackle"],
    ["like frying bacon, gain untouched", "- crackle"],
    ["rasping", "- distorted"],
    ["raspy mute", "mute distorted"],
    ["dirty above 6 dB", "- distorted?"],
    ["mute dirty", "mute crackle?"],
    ["noisy with the eq in", "equaliser hiss?"],
    ["noisy at high gain", "gain hiss?"],
    ["gain noisy at high settings", "gain scratch?"],
    ["hiss while riding the fader", "fader scratch"],
    ["hiss while pressing mute", "mute hiss"],
    ["lamp never lights", "lamp dark"],
    ["stuck", "- stuck"],
    ["fader wobbles", "fader loose"],
    ["wobbly channel strip", "- loose"],
    ["chattering relay", "- intermittent~"],
    ["compressor intermittent", "dynamics intermittent~"],
    // What only says how much, how, or where.
    ["quiet hum", "- hum"],
    ["dull buzz", "- buzz"],
    ["dull, buzz", "- dull", "- buzz"],
    ["quiet and dull", "- quiet", "- dull"],
    ["buzz on the left only", "- buzz"],
    ["left only", "- dead"],
    ["muffled and noisy", "- dull"],
    ["sometimes dead", "- intermittent~"],
    ["hear the neighbours", "- crosstalk"],
    ["bleed and hiss", "- crosstalk", "- hiss"],
    ["gain bad and noisy", "gain hiss?"],
    ["button on the fader scratchy", "fader scratch"],
    ["not the cable, hums", "- hum"],
    ["hums, it was the singers cable", "in order"],
    // Words that say it by a likeness.
    ["like someone eating crisps when I press the mute", "mute crackle?"],
    ["like someone eating crisps when I turn it", "- crackle?"],
    ["like someone eating crisps on the fader", "fader crackle?"],
    ["like someone eating crisps when I ride the fader", "fader scratch?"],
    ["sounds like a wasp", "- buzz?"],
    ["it sounds as if under water", "- dull?"],
    ["the lamp stays black", "lamp dark"],
    ["the needle sticks", "meter stuck"],
    ["needs a thump to work", "- intermittent~"],
    ["sounds good", "in order"],
    ["bass sounds great", "in order"],
  ])("of words with more than one meaning: %j", (text, ...faults) => {
    expect(read(text)).toEqual(faults);
  });

  it.each<readonly [text: string, ...faults: string[]]>([
    // What is heard beside what only describes it.
    ["loud hum and buzz", "- hum", "- buzz"],
    ["quiet, hiss", "- quiet", "- hiss"],
    ["dull thud", "- pop"],
    ["scratchy and dead", "- scratch", "- dead"],
    ["knob cracked", "- loose"],
    ["new knob needed, the old one cracked", "- loose"],
    ["cracks when muted", "mute pop"],
    ["cracks when the fader is turned", "fader scratch"],
    ["crack! when the phase button is let go", "polarity pop"],
    ["gets dirty above 6 dB of reduction", "- distorted?"],
    ["eq noisy when switched in", "equaliser hiss?"],
    ["eq noisy when turned", "equaliser scratch"],
    ["gain noisy", "gain scratch?"],
    ["noisy knob", "- scratch"],
    ["dirty pot", "- scratch?"],
    ["wobbly", "- unsteady"],
    ["wobbly knob", "- loose"],
    ["level wobbles", "- unsteady"],
    ["rasping fader", "fader scratch"],
    ["hiss when sliding the fader", "fader scratch"],
    ["hissy fader", "fader hiss"],
    ["doesn't come back", "- dead"],
    ["button doesn't come back", "- stuck"],
    ["hums only with phantom on", "phantom hum"],
    ["all four hum, goes when the group is switched out", "- hum"],
    ["only the left is dead", "- dead"],
    ["fader not working", "fader dead"],
    ["not working right", "- dead"],
    ["signal weak, fader ok", "- quiet"],
    ["reads -7, -1 on its siblings", "- quiet?"],
    ["shows 3 and the others 0", "- loud?"],
    ["reads 0, 0 on its siblings"],
  ])("of what is heard: %j", (text, ...faults) => {
    expect(read(text)).toEqual(faults);
  });

  it.each<readonly [text: string, ...faults: string[]]>([
    ["phase, hum? neither, all fine", "in order"],
    ["was scratchy, cleaned, fine now", "in order"],
    ["was scratchy, cleaned, still scratchy", "- scratch"],
    ["the hiss I wrote down last week has gone since", "in order"],
    ["phantom led lit", "in order"],
    ["everything fine", "in order"],
    ["no faults", "in order"],
    ["the fader is fine, the pan is fine", "in order"],
    ["turned out to be the singer's cable", "in order"],
    ["not the mic, the channel hums", "- hum"],
    ["hum is gone but hiss", "- hiss"],
    ["no hum on the mic, just buzz", "- buzz"],
    ["no hum, only on the aux", "send hum"],
    ["just the fader scratchy", "fader scratch"],
    ["crackle is not from the fader", "- crackle", "not fader"],
    ["isn't the fader, it's the mute that clicks", "mute pop", "not fader"],
    ["dim button does nothing", "- dead", "not mute", "not pad"],
  ])("of what is in order, and what is not the reason: %j", (text, ...faults) => {
    expect(read(text)).toEqual(faults);
  });

  it("takes the volume of a control room for no control of a strip", () => {
    expect(read("control room volume pot noisy")).toEqual([
      "- scratch?",
      ...["gain", "equaliser", "send", "pan", "fader"].map((one) => `not ${one}`),
    ]);
  });
});

it.each([
  ["mic fine, tape crackles", "tape"],
  ["crackles", undefined],
  ["hum on mic", "mic"],
  ["no bottom on line, mic is big and warm", "line"],
  ["hissy mic", "mic"],
  ["hum on mike", "mic"],
  ["big old mic", undefined],
  ["on ch 21 mic hum", "mic"],
  ["line in dead", "line"],
  ["tape return scratchy", "tape"],
  ["mic hum, line fine", "mic"],
  ["AUX-1 in hums", "aux 1"],
  ["aux in hums", undefined],
  ["only mic fine", "mic"],
  // Neither of two, what is in order, and what stands before a mic or has its name.
  ["mic, line", undefined],
  ["neither mic nor line works", undefined],
  ["mic fine", undefined],
  ["mic stand loose", undefined],
  ["mic/line switch dead", undefined],
  ["the tape machine hums", undefined],
  ["mic level low", undefined],
] as const)("the input of %j is %s", (text, input) => {
  expect(findNotedInput(text, ["mic", "line", "tape", "aux 1"])).toBe(input);
});

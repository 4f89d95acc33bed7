import { describe, expect, it } from "vitest";
import { normalizeNote } from "../../../src/diagnose/notes/normalize-note.js";
import {
  findControl,
  findNotedInput,
  readByRules,
} from "../../../src/diagnose/notes/read-by-rules.js";
import { readNote } from "../../../src/diagnose/notes/read-note.js";
import { measureProcessorS } from "../../helpers/processor-time.js";

// What a service engineer would take the words for: common practice of the trade, no source.

const said = (text: string) =>
  readNote(text).faults.map(({ control, symptom }) => [control ?? "-", symptom ?? "-"].join(" "));

describe("readNote", () => {
  it.each([
    ["aux send scratchy", "send scratch"],
    ["EQ sweep dead", "equaliser dead"],
    ["pan dead to the right", "pan dead"],
    ["no signal on direct out", "direct-out dead"],
    ["pops when mute is pressed", "mute pop"],
    ["LED dark", "lamp dark"],
    ["phantom LED out", "lamp dark"],
    ["meter sticks", "meter stuck"],
    ["insert jack intermittent", "insert intermittent"],
    ["noisy fader", "fader scratch"],
    ["noisy", "- hiss"],
    ["noisy at high gain", "gain hiss"],
    ["dirty pan pot", "pan scratch"],
    ["loud hum", "- hum"],
    ["lost its top", "- dull"],
    ["bass has gone", "- thin"],
    ["no +48V", "phantom dead"],
    ["came back dead from the workshop", "- dead"],
    ["went dead, came back after a while", "- dropout"],
  ])("takes %j for %s", (text, expected) => {
    expect(said(text)).toEqual([expected]);
  });

  it("says of what is intermittent by its name that it comes and goes", () => {
    const [fault] = readNote("insert jack intermittent").faults;
    expect(fault).toMatchObject({ symptom: "intermittent", comesAndGoes: true });
    expect(readNote("noisy fader").faults[0]).not.toHaveProperty("comesAndGoes");
  });

  it.each([
    ["sctrachy facder", "fader scratch"],
    ["gian pot crackels", "gain crackle"],
    ["intermitent insret", "insert intermittent"],
    ["distrotion on peaks", "- distorted"],
  ])("reads over the slips in %j", (text, expected) => {
    expect(said(text)).toEqual([expected]);
  });

  it.each([
    ["quite good", "quite good"],
    ["the phrase from the chorus", "the phrase from the chorus"],
    ["resistor R14", "resistor r14"],
    ["a clamp and a panel", "a clamp and a panel"],
    // Forms of words that are looked for, and a slip away from others: "flakes", "buzzer", "hisser".
    ["flakey buzzier hissier", "flakey buzzier hissier"],
  ])("leaves ordinary words in %j alone", (text, expected) => {
    expect(normalizeNote(text)).toBe(expected);
  });

  it.each([
    // What is heard by itself is another channel; beside what is named it says where that is heard.
    ["I can hear channel 3 in channel 4", ["- crosstalk"]],
    ["hum heard in the left side", ["- hum"]],
    ["crackle heard on the fader", ["fader crackle"]],
    ["distortion audible on peaks", ["- distorted"]],
  ])("hears another channel in %j only where nothing else is heard", (text, expected) => {
    expect(
      readNote(text).faults.map(({ control, symptom }) => `${control ?? "-"} ${symptom}`),
    ).toEqual(expected);
  });

  it.each([
    "no crackle any more",
    "hum is gone",
    "never had any hiss here",
    "neither hums nor hisses",
    "works fine now",
    "hasn't crackled since cleaning",
    "stopped humming",
  ])("finds nothing wrong in %j", (text) => {
    expect(readNote(text)).toEqual({ faults: [], isInOrder: true });
  });

  it.each([
    ["no hum, but hiss", ["- hiss"]],
    ["not distorted just quiet", ["- quiet"]],
    ["hiss fixed, now it buzzes", ["- buzz"]],
    ["gain ok, fader crackly", ["fader crackle"]],
    ["fine except for the pan, which scratches", ["pan scratch"]],
    ["not only hums but crackles", ["- hum", "- crackle"]],
    ["fader scratchy and pan dead left", ["fader scratch", "pan dead"]],
    ["distorts on loud stuff", ["- distorted"]],
    ["buzz, worse with the dimmer lights", ["- buzz"]],
    ["aux 1 dead post fader", ["send dead"]],
    ["not burning a CD, just hiss", ["- hiss"]],
    ["crackle is not from the fader", ["- crackle"]],
    ["isn't the fader, it's the mute that clicks", ["mute pop"]],
    ["buzzy when the lights are dimmed", ["- buzz"]],
    ["peak light comes on with no signal", ["lamp -"]],
    ["gets quieter over the evening", ["- quiet"]],
    ["solo led works, solo doesn't", ["solo dead"]],
    ["control room volume pot noisy", ["- scratch"]],
    ["neither phantom nor pad works", ["phantom dead", "pad dead"]],
    ["gain and pan scratchy", ["gain scratch", "pan scratch"]],
    ["crackly and intermittent fader", ["fader crackle", "fader intermittent"]],
    ["insert send ok, return o/c", ["insert dead"]],
    ["stiff: fader", ["fader stuck"]],
    ["hum? no. buzz? yes", ["- buzz"]],
    ["sometimes it works sometimes it doesnt", ["- intermittent"]],
  ])("keeps what is denied or beside the point out of %j", (text, expected) => {
    expect(said(text)).toEqual(expected);
  });

  it.each(["something weird", "ask Jo about this one", "nice preamp", "check this", ""])(
    "makes nothing of %j",
    (text) => {
      expect(readNote(text)).toEqual({ faults: [], isInOrder: false });
    },
  );

  it.each([
    ["the low notes vanish", "- thin"],
    ["LF rolloff from 200 down", "- thin"],
    ["HF rolls off early", "- dull"],
    ["the high tones are missing", "- dull"],
    ["can't hear any difference when I turn the low mid", "equaliser dead"],
    ["does the eq do anything at all?", "equaliser dead"],
    ["sounds like a bee in a jar", "- buzz"],
    ["like a campfire", "- crackle"],
    ["signal is more small than the others", "- quiet"],
    ["+6dB vs rest", "- loud"],
    ["fdr scratchy lower third", "fader scratch"],
    ["s/n bad", "- hiss"],
    ["the dim button does not dim", "- dead"],
    ["hissssssss", "- hiss"],
    ["distortionated", "- distorted"],
    ["mute lmp ded", "lamp dark"],
  ])("puts together what no phrase says in %j", (text, expected) => {
    expect(said(text)).toEqual([expected]);
  });

  it.each(["fader goes heavy", "the bread is buttered", "casters bolted", "beaks and buttes"])(
    "turns no ordinary word of %j into one of the trade",
    (text) => {
      expect(normalizeNote(text)).toBe(text);
    },
  );

  it.each(["could be the fader, could be the mute: scratchy", "is the fader scratchy?"])(
    "takes %j for a guess",
    (text) => {
      expect(readNote(text).faults[0].isVague).toBe(true);
    },
  );

  it("takes what was repaired for in order", () => {
    expect(readNote("was scratchy, cleaned, fine now")).toEqual({ faults: [], isInOrder: true });
  });

  it("knows what comes and goes", () => {
    expect(readNote("hiss comes and goes").faults).toEqual([
      { symptom: "hiss", comesAndGoes: true },
    ]);
    expect(readNote("hiss").faults).toEqual([{ symptom: "hiss" }]);
  });

  it("takes long texts in no time to speak of", async () => {
    const text = "no hum but the fader crackles when the gain is up and ".repeat(370);
    expect(await measureProcessorS(() => readNote(text))).toBeLessThan(2);
  });
});

it("findControl takes the names that a desk gives its controls", () => {
  expect(findControl("mic gain")).toBe("gain");
  expect(findControl("low cut")).toBe("low-cut");
  expect(findControl("EQ in")).toBe("equaliser");
  expect(findControl("banana")).toBeUndefined();
});

describe("readNote by concepts", () => {
  it.each([
    ["had to turn it up 8 dB more than the next", "- quiet"],
    ["used to hum, since the lead was changed it doesn't", ""],
    ["turned out to be the singer's wireless", ""],
    ["trim: gritty", "gain scratch"],
    ["went dead, then it came back", "- dropout"],
    ["reads -7 where the others read -1", "- quiet"],
    ["hpf engaged or not, the bass is the same", "low-cut dead"],
    ["flakey", "- intermittent"],
    ["by turning of treble it rasps", "equaliser scratch"],
    ["not muting properly", "mute dead"],
    ["is not the gain, it is the fader that scratches", "fader scratch"],
    ["all four hum, goes when I pull the routing out", "- hum"],
    ["insert oxidised, signal drops out", "insert dropout"],
    ["hum, can't ignore it any more", "- hum"],
    ["no arrives the echo", "- dead"],
    ["settings: gain at 2 o'clock, keep", ""],
    ["room dimmer on: buzz. light off, better", "- buzz"],
    ["pad cuts the signal completely", "pad dead"],
    ["low cut in and out sounds the same", "low-cut dead"],
    ["high pass always on, bass gone whatever the switch says", "low-cut stuck"],
    ["no boost on the high shelf, cut works", "equaliser dead"],
    ["switching eq in drops level by 8 dB", "equaliser quiet"],
    ["sweep goes dead at noon", "equaliser dead"],
    ["dyn in button only works if you hold it", "dynamics intermittent"],
    ["aux 4 knob cracked and slipping", "send loose"],
    ["D.O. low, about -12", "direct-out quiet"],
    ["meters twitch when the aircon starts", "meter unsteady"],
    ["LED doesn't go out", "lamp stuck"],
    ["-18 V missing", "- dead"],
    ["HF pot on the EQ crackly when turned", "equaliser scratch"],
    ["trim crackles even when nobody touches it", "gain crackle"],
    ["whistles when HMF is boosted full", "equaliser whistle"],
    ["panned hard left and still some on the right, about -25", "pan crosstalk"],
    ["fader all the way down and I still hear it", "fader crosstalk"],
    ["mute only holds while I keep a finger on it", "mute intermittent"],
    ["goes to group 2 without being assigned", "routing crosstalk"],
    ["flipping to tape pops on every strip", "input-switch pop"],
    ["buzzes when the light dimmer is on", "- buzz"],
    ["hardly audible in the cans", "- quiet"],
  ])("reads %j by its concepts", (text, expected) => {
    expect(said(text)).toEqual(expected === "" ? [] : [expected]);
  });
});

// The sentences that the rules' own comments name, and others built as they are: what a service
// engineer would take them for; common practice of the trade, no source. The rules alone are asked:
// what other words weigh might hide what they say.
const ruled = (text: string) =>
  readByRules(text, normalizeNote(text)).faults.map(({ control, symptom }) =>
    [control ?? "-", symptom ?? "-"].join(" "),
  );

it.each([
  ["a bit of fluff in the fader, feels gritty", ["fader scratch"]],
  ["pan scratchy, fader too", ["pan scratch", "fader scratch"]],
  ["the insert only works with the jack half in", ["insert intermittent"]],
  ["crackly and intermittent fader", ["fader crackle", "fader intermittent"]],
  ["stiff: fader", ["fader stuck"]],
  ["needs cleaning: mute", ["mute crackle"]],
  ["phase, hum? neither, all fine", []],
  ["then nothing, came back by itself", ["- dropout"]],
  ["all four hum, goes when the group is switched out", ["- hum"]],
  ["turned out to be the singer's cable", []],
  ["it was the guitar amp", []],
  ["hum was not the cable, still there", ["- hum"]],
  ["reads -7, -1 on its siblings", ["- quiet"]],
  ["reads -1, -7 on its siblings", ["- loud"]],
  ["reads -7 where others read -1", ["- quiet"]],
  ["the others read -7, this one -1", ["- loud"]],
  ["was scratchy, cleaned, fine now", []],
  ["is scratchy, cleaned, fine now", ["- scratch"]],
  ["sometimes it works, sometimes it doesn't", ["- intermittent"]],
  ["low cut always in, no bottom end", ["low-cut stuck"]],
  ["no bottom end", ["- thin"]],
  ["insert oxidised, signal drops out", ["insert dropout"]],
  ["dirty, crackles everywhere", ["- crackle"]],
  ["trims: mic ok, line scratchy", ["gain scratch"]],
  ["trim: gritty", ["gain scratch"]],
  ["crack! when the phase button is let go", ["polarity pop"]],
  ["hums only with phantom on", ["phantom hum"]],
  ["like frying bacon when the fader is turned", ["fader scratch"]],
  ["phantom led lit", []],
  ["eq noisy when switched in", ["equaliser hiss"]],
  ["gain noisy", ["gain scratch"]],
  ["noisy at high gain", ["gain hiss"]],
  ["fader hisses while sliding it", ["fader scratch"]],
  ["knob wobbles", ["- loose"]],
  ["signal wobbles", ["- unsteady"]],
  ["neither phantom nor pad works", ["phantom dead", "pad dead"]],
  ["mute / solo dead", ["mute dead", "solo dead"]],
  ["mute led dead", ["lamp dark"]],
  ["insert jack crackles", ["insert crackle"]],
  ["fader crackles, pan dead", ["fader crackle", "pan dead"]],
  ["fader and pan crackle and mute dead", ["fader crackle", "pan crackle", "mute dead"]],
  ["hum? maybe", ["- hum"]],
  ["not working right", ["- dead"]],
  ["fader fine, pan scratchy, mute fine", ["pan scratch"]],
  ["false alarm", []],
  ["settings: gain 2 o'clock, keep", []],
] as const)("reads %j as an engineer does", (text, expected) => {
  expect(ruled(text)).toEqual(expected);
});

it.each([
  ["mic fine, tape crackles", "tape"],
  ["mic crackles, tape fine", "mic"],
  ["crackles", undefined],
  ["hum on mic and hiss on tape", undefined],
  ["on ch 21 mic", "mic"],
  ["hissy mic", "mic"],
  ["no bottom on line, mic is big and warm", "line"],
  ["mic stand broken", undefined],
  ["hum on the mic input", "mic"],
] as const)("finds the input that %j means", (text, input) => {
  expect(findNotedInput(text, ["mic", "line", "tape"])).toBe(input);
});

it.each([
  ["the fader", "fader"],
  ["mute led", "lamp"],
  ["insert jack", "insert"],
  ["the weather", undefined],
] as const)("takes %j for the control %s", (text, control) => {
  expect(findControl(text)).toBe(control);
});

it("says what is vague, comes and goes, or is said not to be the reason", () => {
  expect(readNote("fader might be scratchy").faults).toMatchObject([{ isVague: true }]);
  expect(readNote("fader scratchy?").faults).toMatchObject([{ isVague: true }]);
  expect(readNote("fader scratchy").faults[0]).not.toHaveProperty("isVague");
  expect(readNote("crackle comes and goes").faults).toMatchObject([{ comesAndGoes: true }]);
  expect(readNote("crackle is not from the fader").cleared).toEqual(["fader"]);
  expect(readNote("crackle").cleared).toBeUndefined();
});

// Of each pair the second differs from the first by the one word that decides: common practice.
it.each([
  ["goes dead intermittently", ["- intermittent"]],
  ["pan dead, fader intermittent", ["pan dead", "fader intermittent"]],
  ["signal drops out, intermittent", ["- intermittent"]],
  ["dull thud when muted", ["mute pop"]],
  ["dull", ["- dull"]],
  ["dull and hums", ["- dull", "- hum"]],
  ["raspy fader", ["fader scratch"]],
  ["raspy mute", ["mute distorted"]],
  ["raspy", ["- distorted"]],
  ["fader distorts", ["fader distorted"]],
  ["knob cracked", ["- loose"]],
  ["channel does not come back", ["- dead"]],
  ["button does not come back", ["- stuck"]],
  ["compressor chatters", ["dynamics unsteady"]],
  ["compressor intermittent", ["dynamics intermittent"]],
  ["gets dirty above 6 dB", ["- distorted"]],
  ["dirty pot", ["- scratch"]],
  ["dirty", ["- distorted"]],
  ["noisy pot", ["- scratch"]],
  ["mute noisy", ["mute crackle"]],
  ["crack when mute is pressed", ["mute pop"]],
  ["crackles when mute is pressed", ["mute crackle"]],
  ["crackles when the fader is moved", ["fader scratch"]],
  ["fader crackles with nobody moving it", ["fader crackle"]],
  ["sometimes starts off dead", ["- intermittent"]],
  ["loud buzz", ["- buzz"]],
  ["too loud", ["- loud"]],
  ["mute or solo dead", ["mute dead", "solo dead"]],
  ["mute with solo dead", ["mute dead"]],
  ["fader, mute fine, still crackles", ["fader crackle"]],
  ["lamp dead", ["lamp dark"]],
  ["fader hisses", ["fader hiss"]],
  ["mute hisses", ["mute hiss"]],
  ["gain crackles when turned", ["gain scratch"]],
  ["hum on aux 1 when the fader is up", ["send hum"]],
  ["insert oxidised", ["insert crackle"]],
  ["fader dirty, signal dead", ["fader dead"]],
  ["is it the fader or the pan that crackles", ["fader crackle", "pan crackle"]],
  ["low cut stuck, thin", ["low-cut stuck"]],
  ["low cut stuck, fader thin", ["low-cut stuck", "fader thin"]],
  ["low cut dead, thin", ["low-cut dead", "- thin"]],
  ["crunch, crunch whenever pan is moved", ["pan scratch"]],
  ["noisy, hums", ["- hum"]],
  ["bad fader, pan scratchy", ["pan scratch"]],
] as const)("reads %j by the word that decides", (text, expected) => {
  expect(ruled(text)).toEqual(expected);
});

it("takes a long word that nobody knows for its stem, a short or a known one for itself", () => {
  const words = ["distortionish", "scratchinesses", "crackly", "distortion"];
  expect(words.map(normalizeNote)).toEqual(["distort", "scratch", "crackly", "distortion"]);
});

// Short notes beside each other, of which one word or its place decides: common practice of the trade, no
// source. Written as control and symptom, `?` for a word that may mean several things, `~` for what
// comes and goes, "in order" for a note that says so, "not" before what it says is not the reason.
const shorthand = (text: string) => {
  const { faults, isInOrder, cleared } = readByRules(text, normalizeNote(text));
  const said = faults.map(({ control = "-", symptom = "-", isVague, comesAndGoes }) =>
    [control, symptom, ...(isVague ? ["?"] : []), ...(comesAndGoes ? ["~"] : [])].join(" "),
  );
  const order = isInOrder ? "in order" : "";
  return [said.join(", ") + order, ...(cleared ? [`not ${cleared}`] : [])].join("; ");
};

it.each([
  ["hum on all four, goes when the group is switched out", "- hum"],
  ["all four quiet, goes when the group is switched out", "- quiet"],
  ["fader ok, scratchy pan", "pan scratch"],
  ["no hum, only hiss", "- hiss"],
  ["no hum on mic, only on line", "- hum"],
  ["eq: hums", "equaliser hum"],
  ["pan: scratchy, left dead", "pan scratch, pan dead"],
  ["insert send ok, return dead", "insert dead"],
  ["insert send ok, fader dead", "fader dead"],
  ["insert send dead, return ok", "insert dead"],
  ["crackly and intermittent fader", "fader crackle, fader intermittent ~"],
  ["crackly, fader intermittent", "- crackle, fader intermittent ~"],
  ["mute and solo dead", "mute dead, solo dead"],
  ["fader reads -7, -1 on its siblings", "fader quiet ?"],
  ["reads -7, siblings -7", ""],
  ["needs cleaning: fader", "fader scratch ?"],
  ["noisy: fader", "fader scratch ?"],
  ["hums: fader", "fader hum"],
  ["dead, came back", "- dropout ~"],
  ["went quiet, then came back", "- dropout ~"],
  ["hums, came back", "- hum"],
  ["quiet, came back", "- quiet"],
  ["was humming, replaced the cap, fine now", "in order"],
  ["was humming, replaced the cap", "- hum"],
  ["hums, replaced the cap, fine now", "- hum"],
  ["was humming, replaced the cap, still hums", "- hum"],
  ["pan intermittent, fader dead", "pan intermittent ~, fader dead"],
  ["low cut stuck, thin", "low-cut stuck"],
  ["low cut stuck, fader thin", "low-cut stuck, fader thin"],
  ["low cut stuck, dull", "low-cut stuck, - dull"],
  ["low cut dead, thin", "low-cut dead, - thin"],
  ["pad stuck, thin", "pad stuck, - thin"],
  ["insert dirty, signal dead", "insert dead"],
  ["insert dirty, signal hums", "insert crackle ?, - hum"],
  ["insert crackles, signal drops out", "insert crackle, - dropout"],
  ["fader dirty, signal drops out", "fader dropout"],
  ["insert dirty, fader dead", "insert crackle ?, fader dead"],
  ["crackles, crackles on the pan", "pan crackle"],
  ["crackles, fader scratchy", "fader scratch"],
  ["hums, fader scratchy", "- hum, fader scratch"],
  ["dirty, hums", "- hum"],
  ["fader dirty, pan hums", "fader scratch ?, pan hum"],
  ["trim: gritty", "gain scratch ?"],
  ["fader: ok", "in order"],
  ["hum that comes and goes", "- hum ~"],
  ["dies and comes back", "- intermittent ~"],
  ["fader all the way down and I still hear it", "fader crosstalk"],
  ["cracked knob", "- loose"],
  ["the old one cracked", "- loose"],
  ["it cracked", "- crackle"],
  ["cracks when muted", "mute pop"],
  ["fader cracks", "fader crackle"],
  ["crackles when the gain is turned", "gain scratch"],
  ["mute crackles when it is touched", "mute crackle ~"],
  ["hisses", "- hiss"],
  ["fader hisses", "fader hiss"],
  ["compressor chattering", "dynamics unsteady ~"],
  ["button stuck", "- stuck"],
  ["signal does not come up", "- dead"],
  ["lamp dead", "lamp dark"],
  ["mute dead", "mute dead"],
  ["distorts and gets dirty above 6 dB", "- distorted"],
  ["fader dirty above 6 dB", "fader distorted ?"],
  ["fader dirty", "fader scratch ?"],
  ["noisy when the eq is switched in", "equaliser hiss ?"],
  ["eq noisy when it is turned", "equaliser scratch"],
  ["mute dirty", "mute crackle ?"],
  ["pot noisy", "- scratch ?"],
  ["raspy pan", "pan scratch"],
  ["hum and buzz", "- hum, - buzz"],
  ["loud hum", "- hum"],
  ["dull hum", "- hum"],
  ["dull", "- dull"],
  ["left only", "- dead"],
  ["noise comes and goes", "- hiss ~"],
  ["sometimes hums", "- hum ~"],
  ["fader works sometimes", "fader intermittent ~"],
  ["phase, hum? neither, all fine", "in order"],
  ["mute led dead", "lamp dark"],
  ["insert jack and fader dead", "insert dead, fader dead"],
  ["gain pot dead", "gain dead"],
  ["crackle is not from the fader", "- crackle; not fader"],
  ["isn't the pad", "; not pad"],
  ["not working right", "- dead"],
  ["no good", "- dead ?"],
  ["false alarm, hum", "in order"],
  ["turned out to be the singer's cable, no hum", "in order"],
  ["pan or fader scratchy", "pan scratch, fader scratch"],
  ["pan scratchy, fader dead, mute pops", "pan scratch, fader dead, mute pop"],
  ["not loose", "in order"],
  ["not cracked", "in order"],
  ["fader does not crackle", "in order"],
  ["fader does not distort", "in order"],
  ["compressor not intermittent", "in order"],
  ["not stuck", "in order"],
  ["not dirty", "in order"],
  ["fader not noisy", "in order"],
  ["fader not dirty", "in order"],
  ["not noisy", "in order"],
  ["hums and crackles, goes when the group is switched out", "- hum, - crackle"],
  ["fader crackles, feels gritty", "fader crackle"],
  ["fader fine, feels gritty", "- distorted ?"],
  ["fader ok, hums", "- hum"],
  ["fader hums, feels loose", "fader hum, - loose"],
  ["pan, feels loose", "pan loose"],
  ["too loud", "- loud"],
  ["no hum, fine otherwise, only on line", "- hum"],
  ["gain: mic hums, the signal is quiet", "gain hum, - quiet"],
  ["trims: mic ok, the level is low", "- quiet"],
  ["gain: ok, return dead", "gain dead"],
  ["insert send fine, gain crackles, return dead", "gain crackle, - dead"],
  ["insert send crackles, return dead", "insert crackle, - dead"],
  ["fader, hums", "fader hum"],
  ["fader, knob loose", "fader loose"],
  ["eq, pot scratchy", "equaliser scratch"],
  ["eq, pan scratchy", "pan scratch"],
  ["pot scratchy", "- scratch"],
  ["crackly and the fader intermittent", "- crackle, fader intermittent ~"],
  ["hum, crackly and intermittent fader", "- hum, fader crackle, fader intermittent ~"],
  ["fader crackles, and pan intermittent", "fader crackle, pan intermittent ~"],
  ["crackly and intermittent", "- crackle, - intermittent ~"],
  ["fader fine, reads -7, -1 on its siblings", "in order"],
  ["reads 3 where others read 3", ""],
  ["reads 4 where others read 3", "- loud ?"],
  ["reads 2 where others read 3", "- quiet ?"],
  ["the others read 3, this one 3", ""],
  ["stiff, pan fine: fader", "fader stuck"],
  ["hums, fader, dead", "- hum, fader dead"],
  ["hums: fader fine", "- hum"],
  ["quiet, came back fine", "- quiet"],
  ["gain", "gain -"],
  ["phase ok, fader hums", "fader hum"],
  ["fine, was humming, replaced the cap", "- hum"],
  ["replaced the cap, fine now", "in order"],
  ["cleaned, was scratchy, fine", "- scratch"],
  ["fader dead, insert intermittent", "fader dead, insert intermittent ~"],
  ["fader drops out, fader intermittent", "fader intermittent ~"],
  ["dirty, signal dead", "- dead"],
  ["fader noisy, signal dead", "fader dead"],
  ["insert hums, signal dead", "insert hum, - dead"],
  ["fader dirty, fader hums", "fader hum"],
  ["fader dirty, fader dirty", "fader scratch ?"],
  ["dirty, fader", "fader scratch ?"],
  ["fader dirty, hums", "fader scratch ?, - hum"],
  ["dirty, dull", "- dull"],
  ["noisy, dirty", "- hiss ?, - distorted ?"],
  ["trim, gritty", "gain scratch ?"],
  ["hums: pan ok", "- hum"],
  ["eq: pan scratchy", "pan scratch"],
  ["pan: crackles when turned", "pan scratch"],
  ["signal goes and comes", "- intermittent ~"],
  ["hum comes and goes", "- hum ~"],
  ["dies and returns", "- intermittent ~"],
  ["hums and comes back", "- hum"],
  ["tap it and it works", "- intermittent ~"],
  ["tap the socket and she sings", "socket intermittent ~"],
  ["hums and hums", "- hum"],
  ["the hum I wrote down last week has gone since, hiss now", "- hiss"],
  ["does the fader work at all", "fader dead ?"],
  ["not fine, low notes vanish", "- thin ?"],
  ["low notes vanish, fine otherwise", "- thin ?"],
  ["fader fine", "in order"],
  ["the low notes vanish, pan fine", "- thin ?"],
  ["like someone eating crisps when I turn the gain", "gain scratch ?"],
  ["like someone eating crisps when I press mute", "mute crackle ?"],
  ["like eating crisps", "- crackle ?"],
  ["sounds like a bee when I turn the gain", "gain buzz ?"],
  ["gain pot and fader knob scratchy", "gain scratch, fader scratch"],
  ["knob of the gain scratchy", "gain scratch"],
  ["pot on the eq scratchy", "equaliser scratch"],
  ["switch on the pan dead", "pan dead"],
  ["insert on the insert dead", "insert dead"],
  ["mute mute dead", "mute dead"],
  ["fader faulty and hums", "fader hum"],
  ["hums, faulty", "- hum"],
  ["buzz left only", "- buzz"],
  ["dull pop", "- pop"],
  ["dull and pops", "- dull, - pop"],
  ["pops, dull", "- pop, - dull"],
  ["I can hear channel 3", "- crosstalk"],
  ["hiss can be heard", "- hiss"],
  ["noise and hum", "- hum"],
  ["noise and distortion", "- distorted"],
  ["noisy and dull", "- dull"],
  ["hum is intermittent", "- hum ~"],
  ["dead at times", "- intermittent ~"],
  ["dead on and off", "- intermittent ~"],
  ["noise intermittent", "- hiss ~"],
  ["works, but intermittent", "- intermittent ~"],
  ["intermittent", "- intermittent ~"],
  ["knob loose", "- loose"],
  ["wobbly pan", "pan loose"],
  ["level wobbles", "- unsteady"],
  ["wobbly knob", "- loose"],
  ["loose", "- loose"],
  ["sound cracked", "- crackle"],
  ["panel cracked", "- loose"],
  ["fader cracked", "fader loose"],
  ["mute cracks", "mute pop"],
  ["crack from mute", "mute pop"],
  ["does not come back up", "- dead"],
  ["fader stuck", "fader stuck"],
  ["led does nothing", "lamp dark"],
  ["led not working", "lamp dark"],
  ["noise in eq", "equaliser scratch ?"],
  ["hums with eq in", "equaliser hum"],
  ["dirty when eq is in", "equaliser scratch ?"],
  ["noisy with phantom on", "phantom hiss ?"],
  ["crackles at high gain", "gain crackle"],
  ["fader hums crackles", "fader hum, fader crackle"],
  ["mute switch led dark", "lamp dark"],
  ["switch of the solo dead", "solo dead"],
  ["mic socket loose", "socket loose"],
  ["jack of the insert loose", "insert loose"],
  ["insert jack loose", "insert loose"],
  ["fader crackles by the jack", "fader crackle"],
  ["pan pan scratchy", "pan scratch"],
  ["pan and pan scratchy", "pan scratch"],
  ["hum with the pan left, the signal is quiet", "pan hum, - quiet"],
  ["crackles, and fader", "fader crackle"],
  ["crackles, and the fader dead", "- crackle, fader dead"],
  ["crackles somewhere and dead fader", "- crackle, fader dead"],
  ["gain, and pan scratchy", "gain scratch, pan scratch"],
  ["gain, pan scratchy", "pan scratch"],
  ["gain, and scratchy", "gain scratch"],
  ["gain odd, and pan scratchy", "pan scratch"],
  ["fine, but needs cleaning: pan", "pan scratch ?"],
  ["dull: pan", "pan dull"],
  ["fader scratchy, pan", "fader scratch"],
  ["goes quiet, the fader hums, came back", "- dropout ~, fader hum"],
  ["hum gone, buzz gone, all good", "in order"],
  ["hum, all good", "- hum"],
  ["dirty, signal drops out", "- dropout"],
  ["insert stuck, signal drops out", "insert stuck, - dropout"],
  ["crackles and dull", "- crackle, - dull"],
  ["dull and hum", "- dull, - hum"],
  ["hums and dull", "- hum, - dull"],
  ["noise heard", "- hiss ?"],
  ["distortion heard", "- distorted"],
  ["dead and hums", "- dead, - hum"],
  ["crackles, one side", "- crackle"],
  ["one crackles", "- crackle"],
  ["panel crackles", "- crackle"],
  ["knob crackles", "- crackle"],
  ["signal wobbly", "- unsteady"],
  ["it wobbles", "- unsteady"],
  ["image wobbles", "- unsteady"],
  ["loose, the image wobbles", "- loose, - unsteady"],
  ["fader never comes back", "fader stuck ?"],
  ["switch in and noisy eq", "equaliser scratch ?"],
  ["when on, eq noisy", "equaliser scratch ?"],
  ["at high level fader noisy", "fader scratch ?"],
  ["when I sit near, fader noisy", "fader scratch ?"],
  ["only crackles", "- crackle"],
  ["led out", "lamp dark"],
  ["led gone", "lamp dark"],
  ["no hum here. only hiss and only buzz", "- hiss, - buzz"],
])("reads %j as %j by the rules", (text, expected) => {
  expect(shorthand(text)).toBe(expected);
});

it("finds an input by the name that the desk gives it, and none that is fine", () => {
  expect(findNotedInput("MIC hums", ["Mic"])).toBe("Mic");
  expect(findNotedInput("hum on aux in 2", ["aux in 2", "mic"])).toBe("aux in 2");
  expect(findNotedInput("mic", ["mic", "tape"])).toBe("mic");
  expect(findNotedInput("hissy tape", ["mic", "tape"])).toBe("tape");
  expect(findNotedInput("tape fine", ["mic", "tape"])).toBeUndefined();
  expect(findNotedInput("mic fine, only tape", ["mic", "tape"])).toBe("tape");
});

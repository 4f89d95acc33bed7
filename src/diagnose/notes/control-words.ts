import type { Control } from "../note-vocabulary.js";

/** General names for a knob, switch or the like. */
export const knobWords =
  "(?:pots?|pot ?meters?|knobs?|controls?|switch~|sw|buttons?|dials?|encoders?|potentiometers?|attenuverters?)";
/** Those that are turned or slid. */
export const trackWords =
  "(?:pots?|pot ?meters?|knobs?|controls?|faders?|trims?|sliders?|potentiometers?|dials?)";

const bandWords =
  "(?:hf|lf|hmf|lmf|mf|mids?|mid ?range|high mid|low mid|hi mid|lo mid|bass|treble|presence|shelf|shelving|sweep|sweepable|bell|q)";
/** "High gain" is an amount of gain. */
const endWords = "(?:highs?|lows?|hi|lo|top|bottom)";

/** Words that mean a control, as patterns of `compileWords`; an engineer's and a musician's. */
export const controlWords: Readonly<Record<Control, readonly string[]>> = {
  phantom: [
    "phantoms?(?: (?:power|pwr|supply|volts?|voltage))?",
    "fantom",
    "48(?= (?:button|switch|on|off|lights?|led|lamp))",
    "tension(?: for (?:the )?(?:mic|microphone)s?)?",
  ],
  gain: [
    "gains?",
    "trims?",
    "sensitivity",
    `(?:input|mic|line) (?:level|volume) ${knobWords}`,
    `(?:pre|preamp|mic pre|mic amp) ${knobWords}`,
  ],
  pad: ["pads?", "attenuators?", `(?:minus )?[12]0 ?(?:db)? ${knobWords}`],
  polarity: [
    "flip~ the (?:wave|waveform|signal|phase)",
    "polarity",
    "pol(?: rev| reverse| inv| invert| flip)?",
    "phase(?: (?:reverse|rev|invert|flip))?",
    "(?:out of|anti) ?phase",
  ],
  "low-cut": [
    "rumble (?:filters?|switch~|buttons?)",
    "lo(?:w)? ?cuts?",
    "hi(?:gh)? ?pass(?: filters?)?",
    "hpfs?",
    "bass (?:cut|roll ?off)",
    "rumble filters?",
    "filters?",
  ],
  equaliser: [
    "eqs?",
    "equali[sz]~",
    `${bandWords}(?: (?:gain|freq|frequency|q|boost|cut))* (?:${knobWords}|band|gain|freq|frequency|boost|section)`,
    `${endWords}(?: (?:freq|frequency|boost))* (?:${knobWords}|band|boost)`,
    "(?:mid|hf|lf|treble|bass|eq) (?:sweep|band|shelf)",
    "(?:sweep|sweepable|parametric) (?:mids?|eq|band)",
    "mids?",
    `${knobWords} (?:for|of) (?:the )?${bandWords}`,
    "(?:(?:hi|high|lo|low|top|bottom)(?: end)? )?(?:shelf|shelves|shelving)",
    "parametrics?",
    "(?:hmf|lmf|hf|lf|mf) (?:is |fully |all the way )*(?:boosted|cut|full)",
    "sweep(?= (?:goes|is|dies|jumps|cuts|works|does))",
    "tone controls?",
    "(?:turning|moving|boosting|cutting|turn|move|boost) (?:of |the |up |down )*(?:treble|bass|highs|lows)",
  ],
  dynamics: [
    "gain reduction(?: meters?)?",
    "compressors?",
    "comp",
    "(?:noise )?gates?",
    "limiters?",
    "expanders?",
    "dynamics",
    "dyn",
  ],
  insert: ["insert~(?: (?:send|return|point))?", "ins (?:send|return|jack|point)"],
  send: [
    "(?:aux~|auxiliary|auxiliaries|cue|foldback|fx|effects?|echo|reverb)(?: ?\\d+)? sends?",
    "sends?",
    "aux~(?: ?\\d+)?",
    "auxiliar(?:y|ies)",
    `(?:cue|foldback|fx|echo) (?:level|volume|${knobWords})`,
  ],
  pan: ["pan~(?: ?pots?)?", "panpots?", "panorama", `balance(?: ${knobWords})?`],
  fader: ["faders?", "sliders?", "slide (?:regulators?|pots?|controls?|potentiometers?)"],
  mute: ["(?:un)?mut~", "(?:cut|channel on|on) (?:switch|button)"],
  solo: ["solo~", "pfls?", "afls?"],
  routing: [
    "rout(?:e|es|ed|ing|ings)",
    "assign~",
    "(?:button|switch)(?:s|es)? \\d+ (?:/ )?\\d+",
    "bus~ (?:select|assign|buttons?|switch~|routing)",
    `(?:mix|l ?/? ?r|group|sub|bus)(?: \\d+(?: ?/ ?\\d+)?)? (?:buttons?|switch~)`,
  ],
  "input-switch": [
    `(?:mic|line|tape|input|source)(?: / (?:mic|line|tape))? (?:${knobWords}|select~)`,
    "(?:input|source) select~",
    `(?:mic|line|tape|input|source)(?: / (?:mic|line|tape))? (?:change ?over|toggle|selector|select)(?: ${knobWords})?`,
    `(?:levers?|toggles?|${knobWords}) (?:of|for) (?:the )?(?:mic|line|tape|input)(?: ?/? ?(?:and )?(?:mic|line|tape))?`,
    "change ?over (?:switch~|relays?|buttons?)",
    "mic / line",
    "(?:flipp?|switch|chang)~ (?:over )?(?:to|from) (?:mic|line|tape)",
    "(?:mic|line) / tape",
    "(?:switch~|change ?over|selector) from (?:mic|line|tape) to (?:mic|line|tape)",
    `flip(?: ${knobWords})?`,
  ],
  meter: ["(?:(?:phase|correlation) )?met(?:er|re)s?", "vus?", "ppms?", "needles?", "bar ?graphs?"],
  lamp: [
    "(?:the )?red (?:one|thing)",
    "segments?",
    "lamps?",
    "leds?",
    "lights?",
    "bulbs?",
    "indicators?",
    "back ?lights?",
    "illumination",
  ],
  socket: [
    "sockets?",
    "jacks?",
    "xlrs?",
    "connectors?",
    "plugs?",
    "patch ?points?",
    "(?:half ?)?normals",
    "normal(?= (?:on|of|at|in) (?:\\w+ )?\\d+)",
    "(?:patch )?points? \\d+",
    "half ?normal(?:ling|led)?",
    "holes?(?: nr| no| number)? \\d+",
    "normalling",
    "norms?",
    "(?:tip|ring|sleeve) (?:connection|contact)",
  ],
  "direct-out": ["dir(?:ect)? ?out(?:put)?s?"],
};

/** Controls outranked by an adjacent one: the jack of an insert belongs to the insert. */
export const generalControls: readonly Control[] = ["socket", "input-switch"];
/** Controls that outrank an adjacent one: the lamp of a meter is a lamp. */
export const headControls: readonly Control[] = ["lamp"];
/** Controls that are turned or slid: their noise is scratch, that of others crackle. */
export const trackControls: readonly Control[] = ["gain", "equaliser", "send", "pan", "fader"];

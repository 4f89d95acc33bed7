/** Kinds of sections, in the order in which they are checked: those that feed others first. */
export const sectionKinds = [
  "supply",
  "bus",
  "group",
  "send",
  "return",
  "master",
  "monitor",
  "meters",
  "patchbay",
  "automation",
  "other",
] as const;

export type SectionKind = (typeof sectionKinds)[number];

/** A part of the desk that is not a strip. */
export interface DeskSection {
  readonly name: string;
  readonly kind: SectionKind;
  /** Names of the strips and sections that a supply feeds; absent if unknown. */
  readonly feeds?: readonly string[];
}

interface SectionWords {
  readonly kind: SectionKind;
  /** Its name if the desk file does not name it. */
  readonly name: string;
  /** Pattern of names followed by a number: "grp 3". */
  readonly numbered?: string;
  /** Pattern of names without a number, for words in lower case with single spaces. */
  readonly alone: string;
}

/** Usual words for the sections of a desk, British and American (common practice, no source). */
export const sectionWords: readonly SectionWords[] = [
  {
    kind: "supply",
    name: "supply",
    numbered: "psus?|power suppl(?:y|ies)|power units?",
    alone:
      "psus?|power suppl(?:y|ies)|suppl(?:y|ies)|power units?|power racks?|supply racks?|phantom supply|mains unit",
  },
  {
    kind: "master",
    name: "master",
    alone:
      "masters?(?: (?:section|module|bus|buss))?|(?:main|mix|stereo|program|programme|l r|l / r) (?:bus|buss|mix|out|outs|output|outputs)|(?:2|two) (?:bus|buss|mix)|main mix|mix bus|mains out|mix out",
  },
  {
    kind: "send",
    name: "send",
    numbered:
      "(?:aux|auxiliary|cue|foldback|fx|echo)(?: (?:send|master|bus|buss|out|output|mix))*|sends?(?: master)?",
    alone: "(?:aux|auxiliary) (?:sends|masters|section)|sends|auxes",
  },
  {
    kind: "return",
    name: "return",
    numbered: "(?:(?:fx|effects?|echo|reverb|aux|stereo) )?(?:returns?|rtns?|rets?)",
    alone: "(?:(?:fx|effects?|echo|reverb|aux|stereo) )?(?:returns|rtns)",
  },
  {
    kind: "group",
    name: "group",
    numbered: "(?:sub ?)?groups?|sub groups?|grps?|subs?|submaster",
    alone: "(?:sub ?)?groups|sub groups|grps|submasters",
  },
  {
    kind: "bus",
    name: "bus",
    numbered: "buss?",
    alone: "buses|busses|(?:solo|pfl|afl|cue|listen) (?:bus|buss)",
  },
  {
    kind: "meters",
    name: "meters",
    alone:
      "(?:meter|metre|vu|ppm) ?(?:bridge|panel|section)|meters|metres|vus|ppms|bar ?graphs|meterbridge",
  },
  {
    kind: "patchbay",
    name: "patchbay",
    alone: "patch ?bay|patch ?(?:panel|field)|jack ?(?:field|bay)|bay",
  },
  {
    kind: "automation",
    name: "automation",
    alone: "(?:fader |mix |desk )?automation|recall(?: system)?|automation computer",
  },
  {
    kind: "monitor",
    name: "monitor",
    alone:
      "monitor(?:s|ing)?(?: (?:section|module|path|controller))?|(?:control|ctrl) room(?: (?:monitor|section))?|cr(?: monitors?)?|headphones?(?: (?:out|output|amp|socket))?|phones|cans|cue mix|foldback",
  },
  { kind: "other", name: "talkback", alone: "talk ?back(?: mic)?|tb|slate|comms" },
  { kind: "other", name: "oscillator", alone: "oscillator|line up osc|tone osc|tone generator" },
];

/** Pattern of words for the whole desk. */
export const wholeDeskWords =
  "(?:whole |entire )?(?:desk|console|mixer|mixing desk|board|everything|all channels|all strips|every channel|every strip)";

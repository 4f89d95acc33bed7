import type { Control, Symptom } from "../note-vocabulary.js";
import { findSentence, idleSentences } from "./concepts.js";
import { findSimile } from "./similes.js";

/**
 * Groups of words that mean something together in one clause, whatever is between them, without a
 * phrase in the list: "the low notes vanish" is a loss of the bass (common practice, no source).
 */
const low =
  /\b(?:bass(?:es)?|lows?|(?:low|deep) (?:notes?|tones?|end|frequenc(?:y|ies)|octaves?|register)|the deeps?|lf|bottom(?: end| octave)?|sub|kick|body|fundamentals?|below \d+)\b/;
const high =
  /\b(?:trebles?|tops?|top (?:end|octave)|highs?|high (?:notes?|tones?|end|frequenc(?:y|ies))|hf|esses|s sounds|cymbals?|hi ?hats?|overtones?|harmonics|consonants|brightness|clarity|detail|above \d+)\b/;
const loss =
  /\b(?:gone|vanish\w*|disappear\w*|missing|miss\w*|lack\w*|lost|los(?:es?|ing)|loss|rolls?|rolled|rolling|roll ?off|falls?|fall ?off|droops?|drooping|weak\w*|little|less|lower|down|no|not|without|poor|absent|attenuated|short|fades?|dies|drops?|nothing|dull|cut|thin|(?:isnt|arent|wasnt) (?:there|present|coming|enough|any)|where (?:is|are|did)|wheres)\b/;

const subject =
  "(?:it|signal|sound|level|volume|output|loudness|this(?: one)?|channel|strip|audio|everything|he|she|reading|side|left|right|input)";
const steps: readonly (readonly [Symptom, RegExp])[] = [
  // A varying level says more than the direction in which it is off.
  [
    "unsteady",
    new RegExp(
      `\\b${subject} (?:\\w+ )?(?:drops|falls|rises|jumps|changes|moves|goes|varies|shifts|steps)(?: \\w+)* (?:sudden\\w*|slow\\w*|random\\w*|itself|without \\w+|all the time|over time|over (?:the )?\\w+)`,
    ),
  ],
  [
    "quiet",
    new RegExp(
      `\\b${subject}(?: \\w+){0,3} (?:small|smaller|less|lesser|little|tiny|poor|lower|weaker|low|softer)\\b(?! (?:noise|hum|hiss|distortion))`,
    ),
  ],
  [
    "quiet",
    /\b(?:less|smaller|lower|weaker|half (?:as|the)|not as|not so|isnt as)(?: \w+){0,2} (?:loud|level|signal|output|volume|sound|strong)\b/,
  ],
  [
    "loud",
    new RegExp(
      `\\b${subject}(?: \\w+){0,3} (?:bigger|stronger|higher|more strong|too much|too strong)\\b`,
    ),
  ],
  [
    "hiss",
    /\b(?:bad|poor|low|worse|terrible|awful|degraded) noise ratio\b|\bnoise ratio (?:\w+ ){0,2}(?:bad|poor|low|worse|down|degraded|terrible|awful)\b/,
  ],
  [
    "crosstalk",
    /\b(?:hears?|hearing|heard|listen\w*)\b.*\b(?:neighbou?rs?|next|adjacent|other|others|another|someone|somebody)\b/,
  ],
  [
    "loose",
    /\b(?:not|isnt|doesnt|dont|wont|never|hardly|barely) (?:hold\w*|grip\w*|seat\w*|sit|fit|lock\w*|tight)\b|\bplay in (?:it|the)\b/,
  ],
  [
    "pop",
    /\b(?:knack|clack|clonk|clunk|knock|tock|poc|dong|blip|thwack|crump|toc|tac|tok|clac|cloc|ploc|pum|paf|pof)(?:s|ing|y)?\b/,
  ],
  [
    "clips-early",
    /\b(?:saturat|overload|compress)\w*\b.*\b(?:early|soon|low|quick\w*)\b|\bruns? out of (?:steam|head ?room|level|volts)\b/,
  ],
  [
    "distorted",
    /\bsaturat\w*\b|\b(?:sound\w*|vocals?|voice|guitar|it) (?:\w+ ){0,2}(?:ugly|torn|ripped|crushed|squashed)\b|\b(?:it|sound|voice|signal|vocals?|guitar|bass|everything|she|he) breaks(?= |$)/,
  ],
];

/** Words for one symptom that are too common or too vague to count next to a clearer one. */
const families: readonly (readonly [Symptom, RegExp])[] = [
  // Something that stopped working is not a fault that went away.
  [
    "dead",
    /\bfans? (?:\w+ )?(?:stopped|dead|seized|stands? still|(?:not|isnt|doesnt|wont|never) (?:turn|spin|run|start)\w*)\b/,
  ],
  [
    "stuck",
    /\b(?:not possible|isnt possible|impossible|unable|cant|cannot|wont) (?:to )?(?:be )?(?:turn|mov|slid|push|press|pull|rotat|shift)\w*|\b(?:immov\w+|blocked|glued|rusted|wedged|locked up|unmovable)\b/,
  ],
  [
    "loose",
    /\bround and round\b|\b(?:came|come|comes|broke|broken|fell|pulled|snapped) (?:away|off|loose|out)\b|\bin my hand\b|\b(?:detached|dangling|hanging|tilted|crooked)\b|\bturns? (?:endless\w*|without (?:end|stop)|freely)\b|\bno (?:end ?stops?|stops?)\b/,
  ],
  [
    "scratch",
    /\bfeels?\b.*\b(?:sand|gravel|rough|dry|dust|dirt|gritty|crunch\w*)\b|\bkratz\w*\b|\bscrunch\w*\b/,
  ],
  ["pop", /\b(?:boom|bump|wumm?|whump|whoomp|thwump|plock|tac)(?:s|ing)?\b/],
  [
    "hiss",
    /\b(?:whisper\w*|pff|breath\w*|swoosh\w*|sizzl\w*|ss+|ps+h+|f+s+h+|air noise|background (?:sound|noise)|sand blasting|sch+|rausch\w*)\b/,
  ],
  [
    "hum",
    /\b(?:low (?:tone|note|drone)|bass (?:tone|note|drone)|growl\w*|brumm?\w*|ronz\w*|zumb\w*|ronfl\w*|bourdonn\w*|mm+|[56]0 hertz)\b/,
  ],
  ["buzz", /\b(?:zz+|bz+|br+z+|sawtooth|dimmer noise|hash|rattly hum|vrr+)\b/],
  [
    "whistle",
    /\b(?:screech\w*|shriek\w*|beep\w*|(?<!\b(?:i|im|he|hes|she|shes|they|theyre|we|someone|somebody|singer|vocalist|when|while|was|is) )sing(?:s|ing)|feedback|wail\w*|pi+p|tone all the time|(?:high|constant|steady) (?:tone|note|pitch))\b/,
  ],
  [
    "distorted",
    /\b(?:deform\w*|ugly|gravelly|mushy|broken sound\w*|sounds? broken|verzerr\w*|scrambled|robotic|metallic)\b/,
  ],
  [
    "unsteady",
    /\b(?:breath(?:es|ing)|swim(?:s|ming)?|puls\w+|trembl\w*|hunt(?:s|ing)|see ?saws?|inconsistent|varying|varies|never the same)\b/,
  ],
  [
    "intermittent",
    /\b(?:random\w*|chopp(?:y|ed)|stutter\w*|stammer\w*|unpredictab\w*|moody|capricious|loose connection|now yes now no|mostly works|half the time|once in a while|on a good day|not always|not every time)\b/,
  ],
  [
    "crosstalk",
    /\b(?:ghosts?|ghostly|echo of|bits? of (?:the )?(?:other|next|neighbour))\b|\b(?:hear|hears|hearing)\b.*\b(?:even|although|though|despite|while)\b/,
  ],
  [
    "quiet",
    /\b(?:distant|far away|buried|tiny|puny|pathetic|underpowered|lost in the mix|hardly any level|too little|struggl\w*)\b/,
  ],
  ["loud", /\b(?:blast\w*|deafening|sticks out|way up|too much level|shouting|booming)\b/],
  [
    "dull",
    /\b(?:foggy|cloudy|blurr\w*|blurry|boxy|cardboard|no definition|undefined|no clarity|lifeless|dark sounding|smeared)\b/,
  ],
  [
    "thin",
    /\b(?:weedy|scrawny|no meat|no beef|no foundation|no guts|anemic|bony|skinny|lightweight|all top|shrill)\b/,
  ],
];

/** Phrases for a control without effect. */
const without =
  /\b(?:no|not|nothing|without|cant|cannot|dont|doesnt|isnt|wont|hardly|barely|zero)\b(?: \w+){0,5} (?:difference|effect|change|changes|influence|reaction|happens?|impact|result|function|anything)\b/;
/** "Did the EQ ever work here?" */
export const asked =
  /\b(?:does|do|did)\b.*\bat all\b|\b(?:did|does|has|have)\b(?: \w+){0,4} (?:ever|actually|even|still) (?:work\w*|function\w*|do\w*)\b|\b(?:does|do|did|is|should)\b(?: \w+){0,5} (?:do anything|anything at all|have any effect|connected at all)\b/;
const faulty = /\b(?:broken|broke|faulty|bust|defect\w*|bad)\b/;
const broken =
  /\b(?:open circuit|open (?:to|at|on)|no good|short circuit|finished|defect(?:ive)?|kicked the bucket|had it|without function|zip|useless|failed|failing|out of service|no longer with us|not functional)\b/;
const unlit =
  /\b(?:gone|out|popped|fail\w*|dim\w*|feeble|weak|black|slept|asleep|sleeps|unlit|blown|burnt|expired)\b/;
const oneSide =
  /\bonly\b(?: \w+){0,6} (?:left|right|one (?:side|speaker|ear|channel))\b|\b(?:left|right|one side)\b(?: \w+){0,2} only\b/;
/** Two words of the same verb: "the dim button does not dim". */
const ownVerb =
  /\b([a-z]{3,})\b.*\b(?:doesnt|dont|wont|not|never|cant)(?: [a-z]+)? \1(?:s|es|ing)?\b/;
const stiff =
  /\b(?:heav(?:y|ier)|hard|tough|sluggish|tight|tighter|slow|resists?|blocks?|blocked|binds?|binding|drags?|draggy)\b/;
const held =
  /\b(?:stays? (?:up|high|there|over)|slams?|end ?stop|to the right and|peg(?:s|ged)?|parked|hung|hangs|latched|flat out|(?:lies|lying|sits|rests?) (?:on (?:its|his|the) (?:back|face|stop|pin|end)|at|against|hard|flat)|frozen|full scale|hard over|not falling)\b/;
const notDone =
  /^(?: \w+){0,2} (?:doesnt|wont|dont|does never) (?!(?:matter|need|use|know|think|believe|care|touch|want|like|remember|see|understand|bother|look|sound|seem|mind|find|have|get|make|feel|scratch|match|agree|line|correspond|track|fit)\b)[a-z]+/;

/** Meanings if a control is named. */
export interface NamedControl {
  readonly is: Control;
  readonly start: number;
  readonly end: number;
}

/**
 * The symptom in a clause without a phrase of the list: by what it compares a sound with, or by
 * groups of words that occur together.
 *
 * @param clause from what `normalizeNote` returns
 * @param control that the clause names
 * @example
 * readLoosely("the low notes vanish", undefined); // "thin"
 */
export function readLoosely(
  clause: string,
  control: NamedControl | undefined,
): Symptom | undefined {
  if (control?.is === "lamp" && [broken, faulty, unlit].some((words) => words.test(clause))) {
    return "dark";
  }
  if (control !== undefined) {
    if (without.test(clause) || asked.test(clause) || broken.test(clause)) return "dead";
    if (/^(?: is| has| all| completely| now)* gone(?= |$)/.test(clause.slice(control.end)))
      return "dead";
    if (control.is === "socket" && /\b(?:danc(?:es?|ing)|swims?)\b/.test(clause)) return "loose";
    if (/\bhangs? (?:by|off|loose|down|out|on by)\b/.test(clause)) return "loose";
    if (held.test(clause)) return "stuck";
    if (stiff.test(clause)) return "stuck";
    if (oneSide.test(clause)) return "dead";
    const step = findStep(clause);
    if (step !== undefined) return step;
    if (notDone.test(clause.slice(control.end))) return "dead";
    if (ownVerb.test(clause)) return "dead";
    // In "the eq in or out" the control's name does not describe a symptom, so it is masked here.
    const rest = `${clause.slice(0, control.start)}thing${clause.slice(control.end)}`;
    return (
      findSimile(rest) ??
      findSentence(rest) ??
      (ownRange.includes(control.is) ? undefined : findRange(rest)) ??
      (seen.includes(control.is) ? undefined : findSentence(clause, idleSentences))
    );
  }
  const simile = findSimile(clause);
  if (simile !== undefined) return simile;
  const range = findRange(clause);
  if (range !== undefined) return range;
  if (oneSide.test(clause)) return "dead";
  const step = findStep(clause);
  if (step !== undefined) return step;
  if (broken.test(clause) || ownVerb.test(clause)) return "dead";
  return asked.test(clause) ? "dead" : findSentence(clause);
}

/** Parts of the frequency range that can be lost. */
function findRange(clause: string): Symptom | undefined {
  if (low.test(clause) && loss.test(clause.replace(low, ""))) return "thin";
  return high.test(clause) && loss.test(clause.replace(high, "")) ? "dull" : undefined;
}

/** Controls whose bands have the same names as parts of the range. */
const ownRange: readonly Control[] = ["equaliser", "lamp", "meter", "pan", "fader", "routing"];

/** Indicators: showing the same is not a fault of theirs. */
const seen: readonly Control[] = ["lamp", "meter"];

function findStep(clause: string): Symptom | undefined {
  return [...steps, ...families].find(([, words]) => words.test(clause))?.[0];
}

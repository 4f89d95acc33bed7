import type { Control, Symptom } from "../note-vocabulary.js";
import { findSentence, strongSentences } from "./concepts.js";
import { controlWords, generalControls, headControls, trackControls } from "./control-words.js";
import { normalizeNote } from "./normalize-note.js";
import type { NotedFault, NoteReading } from "./noted-fault.js";
import { asked, readLoosely } from "./read-loosely.js";
import {
  degreeSymptoms,
  noiseSymptoms,
  plainDirt,
  plainFault,
  plainHearing,
  plainNoise,
  type SymptomWord,
  symptomWords,
  timeSymptoms,
} from "./symptom-words.js";
import { compileWords, findMatches, type WordMatch } from "./word-pattern.js";

/**
 * The control that a name or a few words mean.
 *
 * @example
 * findControl("the fader"); // "fader"
 * findControl("the weather"); // undefined
 */
export function findControl(text: string): Control | undefined {
  return mergeControls(findMatches(controlRows, normalizeNote(text)), normalizeNote(text))[0]?.is;
}

/**
 * Reads controls and symptoms from a note by rules: word by word with their forms and typing
 * errors, and clause by clause, so that what is denied ("no crackle any more"), in order ("mic
 * fine") or only a circumstance ("distorts on loud stuff") does not count as a fault.
 *
 * @param text the note, verbatim
 * @param plain what `normalizeNote` returns for it
 * @example
 * readByRules("no crackle any more", "no crackle any more"); // { faults: [], isInOrder: true }
 */
export function readByRules(text: string, plain: string): NoteReading {
  if (blamesOther(plain)) return { faults: [], isInOrder: true };
  const clauses: Clause[] = [];
  for (const words of splitClauses(withoutCircumstances(plain))) {
    // "A bit of fluff in the fader, feels gritty": a symptom without a control belongs to the one
    // just named.
    const last = clauses.at(-1);
    if (last?.symptoms.some((one) => noiseSymptoms.includes(one)) && ceases.test(words)) continue;
    const context = last?.isBad || last?.isFine ? undefined : last?.controls[0]?.is;
    clauses.push(readEllipsis(readClause(words, context), last));
  }
  const isGuess = guess.test(text);
  const heading = findHeading(plain);
  const faults: NotedFault[] = [];
  let waiting: Clause | undefined;
  let praised: Control | undefined;
  let isFirstBare = false;
  let denied: readonly Symptom[] = [];
  for (const clause of clauses) {
    // "Pan scratchy, fader too"
    const isSame = clause.controls.length > 0 && sameAgain.test(clause.words);
    const earlier = faults.at(-1)?.symptom;
    const symptoms =
      clause.symptoms.length > 0
        ? clause.symptoms
        : clause.isOnly
          ? denied.slice(0, 1)
          : isSame && earlier !== undefined
            ? [earlier]
            : [];
    if (clause.denied.length > 0) denied = clause.denied;
    const bareSymptom = isFirstBare ? faults.at(-1) : undefined;
    isFirstBare = clause.isBareSymptom;
    const subject =
      waiting?.controls[0]?.is ??
      (clause.controls.length === 0 && !hasSubject.test(clause.words) ? heading : undefined) ??
      (goesOn.test(clause.words) ? praised : undefined);
    praised = clause.isFine && !clause.isBad ? clause.named : undefined;
    for (const one of pairUp(clause.controls, symptoms, clause.words)) {
      if (one.symptom === undefined) {
        waiting ??= clause;
        continue;
      }
      // "gain and pan scratchy"
      if (subject !== undefined && waiting?.isBare && clause.isMore && one.control !== undefined) {
        faults.push(describe(subject, one.symptom, clause, isGuess));
      }
      // "the pan, which scratches"; "the insert only works with the jack half in"
      const ownSubject =
        one.control === undefined && !waiting?.isBare && hasSubject.test(clause.words);
      const control = ownSubject
        ? undefined
        : one.control === undefined ||
            (subject !== undefined && generalControls.includes(one.control))
          ? (subject ?? one.control)
          : one.control;
      waiting = undefined;
      // "crackly and intermittent fader"
      const before = faults.at(-1);
      if (
        clause.isMore &&
        !/^(?:the|its|this) /.test(clause.words) &&
        before === bareSymptom &&
        before?.control === undefined &&
        control !== undefined
      ) {
        faults[faults.length - 1] = { ...before, control } as NotedFault;
      }
      faults.push(describe(control, one.symptom, clause, isGuess));
    }
  }
  if (faults.length === 0 && !clauses.some(({ isFine }) => isFine)) {
    const compared = compareFigures(plain);
    const symptom =
      compared ?? (clauses.length > 1 ? findSentence(plain.replaceAll(" ,", "")) : undefined);
    const control = waiting?.controls[0]?.is;
    if (symptom !== undefined) {
      faults.push({ ...(control === undefined ? {} : { control }), symptom, isVague: true });
      waiting = undefined;
    }
  }
  if (faults.length === 0 && waiting !== undefined && !reminder.test(plain)) {
    faults.push({ control: waiting.controls[0].is });
  }
  // "Stiff: fader"
  const last = faults.at(-1);
  if (waiting?.isBare && waiting === clauses.at(-1) && last?.symptom !== undefined) {
    if (last.control === undefined) {
      // "Needs cleaning: pan and fader"
      faults.pop();
      const isDirt = last.isVague && ["distorted", "hiss"].includes(last.symptom);
      for (const { is } of waiting.controls) {
        const own = trackControls.includes(is) ? ("scratch" as const) : ("crackle" as const);
        faults.push({ ...last, control: is, symptom: isDirt ? own : last.symptom });
      }
    }
  }
  const isBack = clauses.slice(1).some(({ words }) => cameBack.test(words));
  const left = isRepaired(clauses)
    ? []
    : faults.map((fault) =>
        isBack && (fault.symptom === "dead" || (fault.symptom === "quiet" && wentQuiet.test(plain)))
          ? { ...fault, symptom: "dropout" as const, comesAndGoes: true as const }
          : fault,
      );
  const unique = withoutGuesses(
    withoutHalves(
      withoutDirt(
        withoutEffects(
          left.filter(
            (one, k) =>
              left.findIndex((o) => o.control === one.control && o.symptom === one.symptom) === k,
          ),
        ),
      ),
    ),
  );
  const isInOrder =
    unique.every(({ symptom }) => symptom === undefined) &&
    clauses.some(({ isFine }) => isFine) &&
    (left.length < faults.length || !clauses.some(({ isBad }) => isBad));
  // "Phase, hum? Neither, all fine"
  if (isInOrder) return { faults: clauses.at(-1)?.isFine ? [] : unique, isInOrder };
  const cleared = [...clauses.flatMap((one) => one.cleared), ...listForeign(plain)];
  return { faults: unique, isInOrder, ...(cleared.length === 0 ? {} : { cleared }) };
}

/** Monitor controls are not controls of that kind: "control room volume", "the dim button". */
function listForeign(words: string): readonly Control[] {
  return [
    ...(/\bcontrol room (?:volume|level)\b/.test(words) ? trackControls : []),
    ...(/\bdim (?:button|switch|key)\b/.test(words) ? (["mute", "pad"] as const) : []),
  ];
}
const sameAgain =
  /(?:^(?:so|same|also|ditto|likewise)\b|\b(?:too|also|as well|likewise|same|ditto)$)/;

/** It names its own subject, so it is not about the control named before. */
const hasSubject =
  /^(?:the |all |my |whole )*(?:level|signal|sound|audio|channel|strip|volume|vocals?|voice|guitar|bass|treble|image)\b/;

/** "Then nothing, came back on its own": dead for a while is a dropout. */
const cameBack =
  /\b(?:came|comes|come|was|is|went|sprang|popped|creeps?|crept) (?:right |straight )?back\b|\b(?:is )?com(?:es|ing) again\b|\b(?:recovered|recovers|returned)\b|\b(?:ok|okay|fine|normal|good|there) again\b/;

const wentQuiet = /\b(?:went|goes|gone|going) (?:\w+ )?(?:quiet|silent)\b/;

/** "Settings: gain 2 o'clock, keep": a control that is only left or set. */
const reminder =
  /\b(?:settings?|keep|kept as|leave (?:it|that|this|as|set)|(?:dont|do not|never) (?:touch|change|move|erase|alter)|remember|reminder|note to self|back off|to be (?:patched|recalled|set|used|booked)|before (?:the )?next|recall|was muted|wasnt (?:assigned|routed|switched)|killer|lovely|gorgeous|best take)\b/;

/**
 * "All four hum, goes when the group is switched out": not a fault of the control that stops it.
 */
const ceases =
  /^(?:it |this |that )?(?:goes|stops|disappears|vanishes|ceases|is gone|cures itself|clears|settles)(?: away| down)? (?:when|if|with|once|as soon as|after|by)\b/;

/** "It used to hum, now it doesn't": a denial without a subject refers to what came before. */
function readEllipsis(clause: Clause, before: Clause | undefined): Clause {
  if (before === undefined || !before.isBad || before.isFine || !elliptic.test(clause.words)) {
    return clause;
  }
  return { ...clause, controls: [], symptoms: [], isFine: true, isBad: false };
}
const elliptic =
  /(?:^| )(?:doesnt|dont|didnt|hasnt|isnt|wasnt|not)(?: (?:now|any ?more|any longer|today|since|at all|again|yet))*$/;

/** Things plugged into or feeding a desk that are not part of it. */
const outside =
  "(?:cables?|leads?|mics?|microphones?|guitars?|bass|amps?|pedals?|pedal ?boards?|di(?: box)?|wireless|radio mic|transmitter|receiver|batter(?:y|ies)|singer|player|drummer|bassist|guitarist|keyboards?|synth|laptop|computer|plug ?ins?|interface|converters?|tape machine|recorder|headphones?|stand|multicore|snake|stage ?box|phone|speakers?|patch (?:cord|lead|cable)|pickups?|operator|user error|finger trouble|adapt(?:e|o)r|capsule|string|loom|snare wires)";
const notOfDesk = `(?:(?:the|a|an|his|her|my|our|their|that|singers|drummers|guitarists|bad|dodgy|broken|faulty|loose|only|just|xlr|jack|mic|guitar|same) )*${outside}(?! (?:input|in|pre|preamp|amp|side|socket|gain|trim|switch|path|channel))`;
const others = [
  `(?:turned out|turns out|proved|found)(?: it)?(?: to be| it was| its| it is) ${notOfDesk}`,
  `(?:so|then|therefore|which means|meaning) (?:it is|its|thats|that is|it must be|must be|it has to be) ${notOfDesk}`,
  `(?:it|that|fault|culprit|problem|cause|trouble|reason) (?:was|is) (?:just |only |really |actually |in |due to )*${notOfDesk}`,
  `(?:was|were|is) (?:only |just |really )*(?:the |his |her |my )?(?:mics|cables|leads|guitars|amps|singers|drummers|pedals|phones|interfaces)$`,
  `${notOfDesk} (?:was|is|were|are) (?:the |probably |to )*(?:culprit|cause|reason|blame|guilty)`,
  `(?:not|isnt|wasnt) the (?:channel|strip|desk|console)(?= (?:,|but)|$)`,
  `(?:follows|moves with|goes with|went with|followed|travels with) (?=the |my |his |her |that |our ) ${notOfDesk}`,
  "(?:was|its|is|it was|just|only) (?:just |only )*my (?:own )?(?:bad|fault|mistake|error|patching|loom|lead|cable)",
  "my (?:own )?(?:bad|mistake|error)(?= ,|$)|my (?:own )?(?:loom|patch|patching|lead|cable) was",
  "(?<!(?:cant|cannot|dont|hard to|to) )(?:ignore|disregard|forget|scrap|cancel) (?:this|that|it|me|above|the above|last)(?: note)?|false alarm|(?<=, )ignore$|(?:not|isnt|wasnt|no) (?:a |really a )?fault(?= ,|$| just| only)",
].map((pattern) => new RegExp(`(?<![a-z0-9])(?:${pattern})(?![a-z0-9])`));

/** "Turned out to be the singer's cable": nothing is wrong with the desk. */
function blamesOther(words: string): boolean {
  return (
    !/\b(?:not|isnt|wasnt|never) (?:the |a |to be |due to |in )*(?:mic|cable|lead|guitar|source)\b/.test(
      words,
    ) && others.some((pattern) => pattern.test(words))
  );
}

/** "Reads -7, -1 on its siblings": a figure next to that of the others. */
function compareFigures(words: string): Symptom | undefined {
  const figure = "(minus )?(\\d+(?:p\\d+)?)(?: ?db[a-z]?| ?vus?)?";
  const peers =
    "(?:siblings?|others?|rest|neighbou?rs?|fellows|all (?:the )?other|every other|elsewhere|next)";
  const match = new RegExp(
    `(?:reads?|shows?|gives?|measures?|gets?) (?:only |about |just )*${figure}\\b.*?(?<![a-z0-9])${figure} (?:(?:on|for|at|from|with|in|is|the|its|all) )*${peers}|(?:reads?|shows?|gives?|measures?|gets?|at) (?:only |about |just )*${figure} (?:(?:when|while|where|and|but|whereas|with|the|all) )+${peers}(?: \\w+)? ${figure}|(?<![a-z0-9])${peers}(?: \\w+){0,3}? ${figure}\\b.* (?:this(?: one)?|here|it|only) (?:\\w+ ){0,2}${figure}`,
  ).exec(words);
  if (match === null) return undefined;
  const read = (sign: string | undefined, digits: string) =>
    (sign === undefined ? 1 : -1) * Number(digits.replace("p", "."));
  const [, ...g] = match;
  const [own, other] =
    g[1] !== undefined
      ? [read(g[0], g[1]), read(g[2], g[3])]
      : g[5] !== undefined
        ? [read(g[4], g[5]), read(g[6], g[7])]
        : [read(g[10], g[11]), read(g[8], g[9])];
  return own < other ? "quiet" : own > other ? "loud" : undefined;
}

/** "Was scratchy, cleaned, fine now" */
function isRepaired(clauses: readonly Clause[]): boolean {
  const last = clauses.findLastIndex(({ isBad }) => isBad);
  return (
    last >= 0 &&
    clauses.every(({ isBad, words }) => !isBad || /\b(?:was|were|had|used to)\b/.test(words)) &&
    clauses
      .slice(last)
      .some(({ words }) =>
        /\b(?:clean|repair|replac|swapp|solder|reflow|fix|recapp|chang|exchang|tighten|serviced)\w*/.test(
          words,
        ),
      ) &&
    clauses.slice(last + 1).some(({ isFine, isBad }) => isFine && !isBad)
  );
}

/** The other half of something that is said to be fine: "insert send ok, return dead". */
const goesOn =
  /^(?:the )?(?:return|send|output|input|boost|cut|lift|sweep|freq|frequency|left|right|top|bottom)\b/;

/** A guess or a question, and so no reason to order anything. */
const guess =
  /\?|\b(?:could|may|might|must) (?:also )?be\b|\b(?:maybe|perhaps|possibly|probably|presumably|suspect|suspects|not sure|unsure|no idea|i guess|i think|i believe|either)\b/i;

function describe(
  control: Control | undefined,
  symptom: Symptom,
  { isVague, comesAndGoes }: Clause,
  isGuess: boolean,
): NotedFault {
  return {
    ...(control === undefined ? {} : { control }),
    symptom,
    ...(isVague || isGuess ? { isVague: true } : {}),
    ...(comesAndGoes || symptom === "intermittent" ? { comesAndGoes: true } : {}),
  };
}

/** "Sometimes it works, sometimes it doesn't": dead and working again is one fault. */
function withoutHalves(faults: readonly NotedFault[]): readonly NotedFault[] {
  return faults.filter(
    (one) =>
      (one.symptom !== "dead" && one.symptom !== "dropout") ||
      !faults.some((o) => o.symptom === "intermittent" && o.control === one.control),
  );
}

/** "Low cut always in, no bottom end": the effect of a stuck switch is not a second fault. */
function withoutEffects(faults: readonly NotedFault[]): readonly NotedFault[] {
  const cuts = faults.some((o) => o.control === "low-cut" && o.symptom === "stuck");
  return faults.filter((one) => !(cuts && one.control === undefined && one.symptom === "thin"));
}

/** "Insert oxidised, signal drops out": the dirt names the control, the rest the symptom. */
function withoutDirt(faults: readonly NotedFault[]): readonly NotedFault[] {
  const [first, second] = faults;
  const isOne =
    faults.length === 2 &&
    first.isVague &&
    first.control !== undefined &&
    (first.symptom === "scratch" || first.symptom === "crackle") &&
    second.control === undefined &&
    (second.symptom === "dropout" || second.symptom === "dead") &&
    !second.isVague;
  return isOne ? [{ ...second, control: first.control }] : faults;
}

/** "Dirty, crackles everywhere": a plain statement outranks a guess about the same thing. */
function withoutGuesses(faults: readonly NotedFault[]): readonly NotedFault[] {
  return faults.filter(
    (one) =>
      // "Crunch, crunch whenever pan is moved"
      !(
        one.control === undefined &&
        faults.some(
          (o) =>
            o.control !== undefined &&
            (o.symptom === one.symptom || (one.symptom === "crackle" && o.symptom === "scratch")),
        )
      ) &&
      (!one.isVague ||
        !faults.some(
          (o) =>
            o !== one &&
            !o.isVague &&
            o.symptom !== undefined &&
            (one.control === undefined || one.control === o.control),
        )),
  );
}

/**
 * The input that has the fault, according to a free text: "hum on mic", "mic fine, tape crackles".
 *
 * @param inputs of the strip
 * @returns undefined if it names none, or several
 * @example
 * findNotedInput("mic fine, tape crackles", ["mic", "tape"]); // "tape"
 * findNotedInput("crackles", ["mic", "tape"]); // undefined
 */
export function findNotedInput(text: string, inputs: readonly string[]): string | undefined {
  const clauses = splitClauses(withoutCircumstances(normalizeNote(text)));
  const named = clauses.flatMap((words) => {
    const own = inputs.filter((input) => namesInput(words, input) || isSaidOfInput(words, input));
    if (own.length === 0) return [];
    const { isFine, isBad, isOnly } = readClause(words);
    if (isFine && !isBad && !isOnly) return [];
    return own.map((input) => ({ input, isBad }));
  });
  // "No bottom on line, mic is big and warm"
  const bad = named.filter(({ isBad }) => isBad);
  const [first, second] = new Set((bad.length > 0 ? bad : named).map(({ input }) => input));
  return second === undefined ? first : undefined;
}

/** Words of the trade for the usual inputs; the desk's own names count too. */
const inputWords: Readonly<Record<string, string>> = {
  mic: "mics?|mikes?|microphones?",
  line: "lines?",
  tape: "tapes?",
};
// "On ch 21 mic"
const beforeInput =
  "(?:^|(?:ch|channel|strip|chan) \\d+ |(?:on|at|via|through|from|only|to|for|the|my|her|his|neither|nor) )";
const afterInput =
  "(?: (?:in|inputs?|pres?|preamps?|amp|amplifier|side|returns?|sockets?|trims?|gains?|path|stage|position|xlr|only|is|was|and|nor)(?= |$)|$| (?!/))";

function namesInput(words: string, input: string): boolean {
  const name = nameInput(input);
  const other = "(?! (?:/|stand|cable|lead|machine|op|noise|level|up|with|number))";
  if (new RegExp(`${beforeInput}(?:${name})${other}(?= |$)`).test(words)) return true;
  return new RegExp(`(?:^| )(?:${name})${other}(?= |$)${afterInput.replace("|$| (?!/)", "")}`).test(
    words,
  );
}

/** "Hissy mic": the symptom is right before it. */
function isSaidOfInput(words: string, input: string): boolean {
  const name = nameInput(input);
  const before = new RegExp(`^(.*) (?:${name})$`).exec(words)?.[1];
  return before !== undefined && findMatches(symptomRows, before).at(-1)?.end === before.length;
}

function nameInput(input: string): string {
  return inputWords[input.toLowerCase()] ?? input.toLowerCase().replace(/[^a-z0-9]/g, ".");
}

const controlRows = (Object.keys(controlWords) as Control[]).flatMap((control) =>
  controlWords[control].map((pattern) => [control, compileWords(pattern)] as const),
);
const symptomRows = (Object.keys(symptomWords) as SymptomWord[]).flatMap((symptom) =>
  symptomWords[symptom].map((pattern) => [symptom, compileWords(pattern)] as const),
);

/** Words that look like a control or symptom but are not one here. */
const circumstances = [
  "touch~ (?:the |a |my |his |her |both )*(?:mics?|microphones?)",
  "nothing (?:plugged|connected|patched|inserted|rout~|going|assign~)(?: (?:in|to it|up))?",
  "click tracks?",
  "(?:pad|fader|gain|trim|eq|it|that) (?:is |was |makes it )?(?:no help|doesnt help|didnt help|no better)",
  "(?:even |with )(?:the |all |all the |my )*(?:faders?|gains?|sends?|trims?) (?:all the way |fully |right )*(?:down|up|closed|shut|off|out|open)",
  "even (?:when|if|while) (?:it is |its |playing |it gets )*(?:low|quiet|soft|turned down|down low)",
  "(?:in|during|with) (?:the |total |complete )?silence",
  "as (?:if|though) (?:some ?one|some ?body|they|he|she) \\w+",
  "(?:in|into|on|from) (?:the )?same (?:plug|socket|outlet)(?: of (?:the )?wall)?",
  "wall (?:socket|plug|outlet)s?",
  "fry (?:an |your )?eggs?",
  "fuse (?:clips?|holders?)",
  "(?:even when|even with|with|although|while) the (?:meter|needle)s? (?:(?:is|are|reads?|shows?|at|barely|hardly|sits?|moving|low|down|nothing|still|only) ?)+",
  "with (?:a |the )?(?:steady |constant |test )+tone",
  "(?:dont|please dont|never) (?:route|assign|send|patch|use|put) (?:anything|signal|stuff|audio|something) (?:to|into|through) (?:it|this|here)",
  "(?:lights?|power) (?:went|gone|goes|out|off)(?: \\w+){0,2} (?:in|across|over) (?:the )?(?:whole )?(?:building|house|street|area|room|studio|block|village|town)",
  "power ?cuts?",
  "light (?:blue|grey|gray|brown|green|yellow)",
  "no (?:sends?|faders?|aux~) (?:up|open)",
  "(?:on|under|behind|near|by|at|over|on top of) (?:the )?(?:meter ?bridge|desk|console)",
  "like (?:some ?ones?|some ?bodys?|some ?body) (?:is )?(?:leaning|pressing|moving|turning|pulling|riding)(?: on| at| with)?(?: the)?(?: \\w+)?",
  "silence in the (?:room|studio|hall|house)",
  "(?<=no (?:sound|signal|audio|power|life) (?:and |or |, )?)no (?:lights?|leds?|lamps?|meters?)",
  "(?:pre|post)(?: (?:pre|post|/))* (?:fader|eq|insert)s?",
  "(?:on|with|during|in) (?:the )?loud(?:er)? (?:\\w+)",
  "loud (?:stuff|bits?|parts?|passages?|peaks?|notes?|singer|vocals?)",
  "(?:dimmer|house|room|studio|stage|ceiling|strip) lights?",
  "(?<!(?:meter|mute|solo|vu|pfl|button|switch) )lights? dim",
  "(?:when|if|as|once) (?:\\w+ ){0,3}(?:switch~|turn~|us~) (?:the |a |his |on |off )*(?:lights?|kettle|heaters?|fans?|dimmers?|fridge)(?: (?:on|off))?",
  "(?:somebody|someone|anybody|anyone|people|they|he|she|i|you|who) (?:sends?|sent)",
  "(?:when|if|as|once) (?:the |my |someones? )?(?:\\w+ )?lights? (?:are|is|go|goes|get|gets|come|comes|dim|on|off)(?: \\w+)?",
  "(?:with|without) (?:no |any |a )?(?:signal|input|sound|source)(?: (?:in|there|present|connected|applied))?",
  "(?:guitar|drum|bass|sax|piano) solos?",
  "(?:un)?plugged(?: (?:the|my|a|it|his|her)(?: \\w+)?)? (?:in|through|into)",
  "burn~ (?:a |the |off )*(?:cd|disc|disk)s?",
  "unplug~",
  "(?:above|below|at|to|over|of|from|around|past) (?:(?:minus|and) )?\\d+ vus?",
  "(?:with |and )?(?:nothing|no one|nobody) (?:coming in|playing|plays|is playing|at the input|on the input)",
  "even (?:when|if|with|though) (?:\\w+ ){0,3}muted",
  "signal present",
  "(?:no|without (?:a |any )?|any) (?:mic|microphone|plug|cable|source|input)s?(?: (?:plugged in|connected|in))?(?= (?:,|$)|$)",
  "at (?:any |a |all |very |even |normal |usual |full |half )*(?:low|high|higher|lower|any|all|full|normal|usual|moderate|half)? ?(?:levels?|volumes?)",
  "quiet as a mouse",
  "up ?side down",
  "(?:from|by|of) (?:the |some |our )?(?:\\w+ )?lights?(?= (?:,|$)|$)",
  "nothing (?:found|to find|visible|obvious)",
  "(?:phone|telephone|door ?bell|bell)s? (?:rings?|ringing)",
  "(?:follows|moves with|goes (?:up|down) with|varies with|depends on|changes with|rises with|increases with|independent of|regardless of|tracks) (?:the |its |my )?(?:gain|faders?|trim|level|volume)",
  "(?:quiet|soft) (?:notes?|passages?|bits?|parts?|songs?|stuff|sections?|playing)",
  "with the (?:\\w+ )?lights(?: (?:on|off|up|down|in|at|of)(?: \\w+)?)?",
  "(?:(?:faults?|it|problem|trouble|noise|symptom) )?(?:stay~|remain~) (?:on|with|in|at) (?:the )?(?:same )?(?:\\d+|strip|channel|slot|card|module|position|place)",
  "(?:with|at|on|and) (?:no|zero|little|minimum|min|hardly any) (?:gain|level|boost)",
  "(?:left|leave|leaving|set|put|keep|kept|had) (?:the |my |all |both )*(?:faders?|gain|pots?|pan|eq|trim|sends?) (?:at|to|down|up|flat|full|closed|shut)(?: (?:zero|unity|minus|full|\\d+|the (?:bottom|top|middle)))?",
  "indicator (?:lines?|marks?|dots?)",
  "(?:you|i|it|we|they|when|on|by|while|after) plug(?:s|ging)?(?: \\w+){0,2} in",
  "mak~ (?:\\w+ ){1,4}jump",
  "1[02]0 ?hz(?= hum)",
  "before the (?:meter|needle)s? (?:reach|show|read|hit|get|mov)~(?: to)?",
  "(?:the )?cent(?:re|er) (?:click|detent)(?= (?:of|on|in))",
  "(?:the )?light dimmers?(?: (?:is|are|goes|come|comes) (?:on|up|off|down))?",
  "mid (?:session|song|take|show|mix|gig|sentence|set|recording|news|bulletin|programme|record|word|verse|chorus|interview|phrase|air|flow|way)",
  "(?<=(?:solo|mute|pfl|afl|button|switch|phantom|cut|route|assign) )lights?(?: up)?(?= (?:ok|fine|,|but|and|yet|though))",
];

const circumstanceRows = circumstances.map(compileWords);

/** A lamp that indicates something is not faulty. */
const lampOf = compileWords(
  "(?:clip|clipping|peak|overload|signal|power|status|channel on) ((?:led|light|lamp|indicator)s?)",
);

/** Once the room's lights are mentioned, "light off" is not about a lamp of the desk. */
const roomLight = /\b(?:dimmers?|(?:room|house|studio|stage|ceiling|strip) lights?)\b/;
const lightSwitched = /(?<![a-z0-9])(?:the )?lights? (?:on|off|out|up|down)(?![a-z0-9])/g;

function withoutCircumstances(text: string): string {
  const own = roomLight.test(text) ? text.replace(lightSwitched, "something") : text;
  return circumstanceRows.reduce(
    (left, pattern) => left.replace(pattern, "something"),
    own.replace(lampOf, "$1"),
  );
}

/** Words after which the previous statement no longer holds. */
const boundary =
  / ,(?: |$)| (?=(?:but|and|also|plus|then|though|although|however|except|apart from|other than|besides|just|only|while|whereas|which|now|yet|rest|everything else|all good)(?: |$))/;

function splitClauses(text: string): readonly string[] {
  const clauses: string[] = [];
  for (const part of text.split(boundary)) {
    const clause = part.trim();
    if (clause === "") continue;
    // "Trim: gritty"
    const name = clauses.at(-1);
    if (name !== undefined && isHeading(name, clause)) {
      clauses[clauses.length - 1] += ` ${clause}`;
      continue;
    }
    // "comes and goes", "up and down", "mute and solo" stay together.
    const last = clauses.at(-1);
    if (last !== undefined && isJoined(last, clause)) clauses[clauses.length - 1] += ` ${clause}`;
    else clauses.push(clause);
  }
  return clauses;
}

/** The control with whose name alone a note begins: "trims: mic ok, line scratchy". */
function findHeading(text: string): Control | undefined {
  const [first, ...rest] = text.split(" , ");
  const controls = findMatches(controlRows, first);
  const isOne = rest.length > 0 && controls.length === 1 && isBareName(first, controls);
  return isOne ? controls[0].is : undefined;
}

/** A control's name alone, followed by what is said about it. */
function isHeading(before: string, after: string): boolean {
  const controls = findMatches(controlRows, before);
  return (
    controls.length === 1 &&
    isBareName(before, controls) &&
    findMatches(controlRows, after).length === 0 &&
    !/^(?:and|but|also|now|which|only|just|not|no|never|neither|fine|ok) ?/.test(after)
  );
}

function isJoined(before: string, after: string): boolean {
  // "Crack! when the phase button is let go"
  if (/^(?:when|whenever|if|while|as soon as|every time|each time)\b/.test(after)) return true;
  // "Hums only with phantom on"
  if (after === "only") return true;
  // "Fader all the way down and I still hear it"
  if (/^(?:and|but|yet|though) (?:\w+ )?still\b/.test(after) && turnedDown.test(before))
    return true;
  if (/^only (?:when|with|if|while|after|once)\b/.test(after))
    return !/\b(?:no|not|\w+nt)\b/.test(before);
  if (/^and (?:go|goes|gone|off|on|down|out|again|then|tired)\b/.test(after)) {
    return /\b(?:come|comes|coming|on|off|up|in|now)$/.test(before);
  }
  if (/\b(?:go|goes|going)$/.test(before) && /^and (?:come|comes|coming)\b/.test(after))
    return true;
  if (/\bdies$/.test(before) && /^and (?:revives|comes|returns|recovers)\b/.test(after))
    return true;
  // "Tap the socket and she sings"
  if (prodded.test(before) && /^and (?:it|its|she|shes|he|everything|sound|all)\b/.test(after)) {
    return true;
  }
  // "round and round"
  const again = /^and (\w+)/.exec(after)?.[1];
  if (again !== undefined && before.endsWith(` ${again}`)) return true;
  return /^then\b/.test(after) && /\bnow and$/.test(before);
}

const turnedDown =
  /\b(?:all the way|fully|right|completely|hard|panned) (?:down|off|closed|shut|left|right)$/;
const prodded =
  /^(?:then )?(?:tap|touch|wiggle|press|push|hit|bang|thump|knock|prod|poke|jiggle|nudge|flex|squeeze|lean on|twist)\b/;

interface Clause {
  readonly words: string;
  /** It continues the clause before: "and pan scratchy". */
  readonly isMore: boolean;
  /** It only names a control. */
  readonly isBare: boolean;
  /** It is only a symptom. */
  readonly isBareSymptom: boolean;
  /** The control that it is about, even if that is in order. */
  readonly named: Control | undefined;
  readonly controls: readonly WordMatch<Control>[];
  /** Controls that it says are not the reason. */
  readonly cleared: readonly Control[];
  readonly symptoms: readonly Symptom[];
  /** Symptoms that it says are not there. */
  readonly denied: readonly Symptom[];
  readonly comesAndGoes: boolean;
  readonly isVague: boolean;
  readonly isOnly: boolean;
  readonly isFine: boolean;
  readonly isBad: boolean;
}

const fine =
  /\b(?:fine|ok|okay|alright|all right|good|works?|working|normal|perfect(?:ly)?|clean|great|lovely|(?<!\b(?:come|comes|came|coming) )alive|healthy|happy|no (?:problems?|issues?|complaints?|faults?)|in order|nothing wrong|behaves?|sorted|fixed(?! (?:in|at|to|hard) )|cured|solved|repaired|mended|better|(?<!\bfans? (?:has |have )?)stopped|went away|checks out|(?:it|its|that|thats|problem|trouble|issue|all|fault|now)(?: (?:is|has|been|now|all|finally|completely))* gone)\b/;
const denial =
  /\b(?:nothing|no|not(?! (?:only|just))|without|never|none|zero|isnt|wasnt|arent|aint|doesnt|dont|didnt|hasnt|havent|hadnt|neither|nor|no longer|stopped|quit|cant|couldnt|free of|free from|instead of|nothing to do with)(?: (?!but\b)[a-z]+){0,4} $/;
/** Words before a control that say that it is not the reason. */
const cleared =
  /\b(?:not|isnt|wasnt|arent|never)(?: (?:from|at|in|by|due to|because of|the|its|a|really|about|down to))+ $|\b(?:not|isnt|wasnt)(?: the)? $/;
const doing = /^(?:mut|solo|pan|rout|assign|equali[sz])(?:e|t|n)?(?:es|s|ed|ing)$/;
const undone =
  /^(?: (?:is|has|was|are|have|all|now|been|finally|completely|it|seems|to|be))* (?:gone(?! (?:up|down|bad|mad|dead))|stopped|ceased|fixed|cured|sorted|solved|went away|went (?:when|after|once|since|with) (?:[a-z0-9]+ ){0,4}(?:swap|chang|replac|reseat|clean|resolder|new|mov|fit|repair|tighten)\w*|(?:goes|go) away(?! (?:if|when|with|on|after|as|once|in))|disappeared|no more|isnt (?:the word|it|there)|wasnt (?:the word|it|there)|not there|has gone|(?:all|is) over(?= ?$)|history)/;

/** "The hiss I wrote down last week has gone since". */
const leftSince =
  /^(?: [a-z0-9]+){1,7} (?:has|have|is|are|seems)(?: (?:now|all|since|completely|been|to have))* (?:gone(?! (?:up|down|bad|mad|dead))|disappeared|vanished|stopped|cured|fixed|solved|sorted)(?= |$)/;

/** "Phantom led lit": the lamp does what it should. */
const lampLit =
  /\b(?:leds?|lamps?|lights?|indicators?) (?:is |are |does )?(?:lit|on|lights?(?: up)?|glows?|comes on|shows?)$/;

function readClause(clause: string, context?: Control): Clause {
  const words = clause.replace(/^(?:and|but|also|plus|then|which) /, "");
  const found = findMatches(symptomRows, words);
  const merged = mergeControls(findMatches(controlRows, words), words);
  const controls = merged.filter(
    ({ start, end }) =>
      // "Not muting" means that it does not work.
      !cleared.test(words.slice(0, start)) || doing.test(words.slice(start, end)),
  );
  const isDenied = (match: WordMatch<SymptomWord>) =>
    denial.test(words.slice(0, match.start)) ||
    undone.test(words.slice(match.end).replace(/^ on \d+(?= )/, "")) ||
    leftSince.test(words.slice(match.end, found[found.indexOf(match) + 1]?.start));
  const present = found.filter((match) => !isDenied(match));
  const fineHere = fine.test(withoutMatches(words, found)) || lampLit.test(words);
  const isFine = fineHere || found.length > present.length;
  const named = controls.length === 0 ? undefined : controls;
  const meant =
    named ?? (context === undefined ? undefined : [{ is: context, start: -1, end: -1 }]);
  const strong = findSentence(words, strongSentences);
  const chosen = strong === undefined ? chooseSymptoms(present, meant, words) : [strong];
  // If no phrase fits, words that occur together may.
  const loose =
    chosen.length === 0 &&
    found.length === present.length &&
    !(fineHere && !isFineDenied(words) && !asked.test(words))
      ? readLoosely(words, named?.[0])
      : undefined;
  return {
    words,
    isMore: /^(?:and|nor) /.test(clause),
    named: named?.[0].is,
    isBareSymptom: present.length === 1 && withoutMatches(words, found).trim() === "·",
    isBare: named !== undefined && isBareName(words, named),
    controls: present.length === 0 && loose === undefined && isFine ? [] : controls,
    cleared: merged.filter((one) => !controls.includes(one)).map(({ is }) => is),
    symptoms: loose === undefined ? chosen : [scratchOf(loose, named?.[0].is, words)],
    denied: found.filter(isDenied).flatMap(({ is }) => settle(is, named?.[0], undefined, words)),
    comesAndGoes: present.some(({ is }) => timeSymptoms.includes(is)),
    isVague:
      (loose !== undefined && loose !== "dark") ||
      (present.length > 0 && present.every(({ is }) => vague.includes(is)) && !moved.test(words)),
    isOnly: /^(?:only|just)\b/.test(words),
    isFine: isFine && loose === undefined,
    isBad: present.length > 0 || loose !== undefined,
  };
}

/** "Like someone eating crisps when I turn the gain": crackle from turning is scratch. */
function scratchOf(symptom: Symptom, control: Control | undefined, words: string): Symptom {
  const isTurned = control !== undefined && trackControls.includes(control) && handled.test(words);
  return symptom === "crackle" && isTurned ? "scratch" : symptom;
}

/** "Not working right", "no good": denied praise. */
function isFineDenied(words: string): boolean {
  return /\b(?:not|no|never|doesnt|isnt|wont|cant|dont) (?:\w+ ){0,2}(?:good|work\w*|fine|right|ok|okay|normal|clean)\b|\b(?:works?|working|good|fine|ok) (?:not|never|only|half|mostly)\b/.test(
    words,
  );
}

function isBareName(words: string, controls: readonly WordMatch<Control>[]): boolean {
  const left = withoutMatches(words, controls).replace(/·/g, " ");
  return /^(?: |the|a|my|both|either|neither|nor|and|on|of|pots?|knobs?|switch|buttons?|controls?|\d+)*$/.test(
    left,
  );
}

function withoutMatches(words: string, found: readonly WordMatch<unknown>[]): string {
  return [...found]
    .reverse()
    .reduce((left, { start, end }) => `${left.slice(0, start)}·${left.slice(end)}`, words);
}

/**
 * Of two adjacent controls, the one that is meant: in "mute led" the lamp, in "insert jack" the
 * insert.
 */
function mergeControls(
  found: readonly WordMatch<Control>[],
  words: string,
): readonly WordMatch<Control>[] {
  const merged: WordMatch<Control>[] = [];
  for (const match of found) {
    const last = merged.at(-1);
    const between = last === undefined ? "" : words.slice(last.end, match.start);
    if (
      last === undefined ||
      !/^ (?:(?:bridge|on|in|of|the|for|button|switch|key|\d+) )*$/.test(between)
    ) {
      merged.push(match);
      continue;
    }
    const span = { start: last.start, end: match.end };
    if (headControls.includes(match.is)) merged[merged.length - 1] = { ...span, is: match.is };
    else if (generalControls.includes(match.is))
      merged[merged.length - 1] = { ...span, is: last.is };
    else if (generalControls.includes(last.is))
      merged[merged.length - 1] = { ...span, is: match.is };
    else if (last.is === match.is) merged[merged.length - 1] = { ...span, is: last.is };
    else merged.push(match);
  }
  return merged;
}

/** Words for moving a control: a sound heard only then comes from it. */
const moved =
  /\b(?:when|while|as|if|by|on)\b.*\b(?:turn|mov|slid|sweep|swept|rotat|adjust)(?:s|e|es|ed|ing)?\b/;
/** The same, with words for touching. */
const handled =
  /\b(?:when|while|whenever|as|if|by|on|every time)\b.*\b(?:turn|mov|slid|sweep|swept|rotat|adjust|touch|rid|twist)(?:s|e|es|ed|ing)?\b/;
const untouched = /\b(?:nobody|no ?one|nothing|none|without|not|isnt|arent|untouched)\b/;
const sliding =
  /\b(?:when|while|whenever|as)(?: \w+){0,2} (?:mov|slid|rid|sweep)(?:s|e|es|ed|ing)?\b/;
const vague: readonly SymptomWord[] = [plainFault, plainNoise, plainDirt, plainHearing];

/** The symptoms of a clause, without those that only describe another one. */
function chooseSymptoms(
  found: readonly WordMatch<SymptomWord>[],
  controls: readonly WordMatch<Control>[] | undefined,
  words: string,
): readonly Symptom[] {
  const isNoise = ({ is }: WordMatch<SymptomWord>) => noiseSymptoms.includes(is);
  const hasNoise = found.some(isNoise);
  const exact = found.filter(({ is }) => !vague.includes(is));
  const worksAtTimes =
    found.some(({ is }) => timeSymptoms.includes(is)) &&
    /\b(?:works?|fine|ok|okay|good)\b/.test(withoutMatches(words, found));
  const kept = found.filter((match) => {
    if (match.is === plainFault) return false;
    if (hasNoise && degreeSymptoms.includes(match.is)) return false;
    // "Buzz, left speaker only"
    if (hasNoise && match.is === "dead" && /\bonly\b/.test(words.slice(match.start, match.end))) {
      return false;
    }
    // "Dull thud"
    const isBesideNoise = found.some((o) => isNoise(o) && o.start === match.end + 1);
    if (match.is === "dull" && isBesideNoise) return false;
    if (match.is === plainHearing) return exact.length === 0 && !hasNoise;
    // "Noise comes and goes" is noise.
    const plain = exact.filter(({ is }) => !timeSymptoms.includes(is));
    if (match.is === plainNoise) return plain.length === 0;
    if (vague.includes(match.is)) return exact.length === 0;
    if (timeSymptoms.includes(match.is) && found.length > 1) {
      if (found.some(({ is }) => is === plainNoise)) return false;
      return exact.every(({ is }) => is === match.is || is === "dead") || worksAtTimes;
    }
    // "Sometimes starts off dead"
    if (match.is === "dead") return !found.some(({ is }) => timeSymptoms.includes(is));
    return true;
  });
  return kept.flatMap((match) => settle(match.is, controls?.[0], match, words));
}

/** The symptom itself, or for noise and dirt the one that they mean with a control. */
function settle(
  word: SymptomWord,
  control: WordMatch<Control> | undefined,
  match: WordMatch<SymptomWord> | undefined,
  words: string,
): readonly Symptom[] {
  if (word === plainFault) return [];
  if (word === plainHearing) return ["crosstalk"];
  // If something other than a knob wobbles, it is the level.
  if (word === "loose" && control === undefined && match !== undefined) {
    const isLevel = words.startsWith("wobbl", match.start) && !mechanical.test(words);
    return [isLevel ? "unsteady" : "loose"];
  }
  // "New knob needed, the old one cracked"
  const isCrack = match !== undefined && words.slice(match.start, match.end) === "cracked";
  if (word === "crackle" && isCrack && control === undefined) {
    return [mechanical.test(words) || /\bone\b/.test(words) ? "loose" : "crackle"];
  }
  // A single crack from a switch is a pop; from a rotary control or a channel it is crackle.
  if (word === "crackle" && match !== undefined && control !== undefined) {
    // "Knob cracked"
    if (words.slice(match.start, match.end) === "cracked") return ["loose"];
    const isOnce = /^cracks?$/.test(words.slice(match.start, match.end));
    // "Like frying bacon when it is turned"
    if (trackControls.includes(control.is) && handled.test(words) && !untouched.test(words)) {
      return ["scratch"];
    }
    return [isOnce && !trackControls.includes(control.is) ? "pop" : "crackle"];
  }
  // Rasping from turning is scratch.
  if (word === "distorted" && match !== undefined && control !== undefined) {
    const isRasp = words.startsWith("rasp", match.start) && trackControls.includes(control.is);
    return [isRasp ? "scratch" : "distorted"];
  }
  // Hiss only while it slides is scratch.
  if (word === "hiss" && control !== undefined && trackControls.includes(control.is)) {
    return [sliding.test(words) ? "scratch" : "hiss"];
  }
  // A chattering gate does not have a bad contact.
  if (word === "intermittent" && match !== undefined && control?.is === "dynamics") {
    return [words.startsWith("chatter", match.start) ? "unsteady" : "intermittent"];
  }
  // A channel that does not come back is dead; a button that does not is stuck.
  if (word === "stuck" && control === undefined && match !== undefined) {
    const what = words.slice(match.start, match.end);
    const isSound = /\bcome (?:back|on|up|out)\b/.test(what) && !mechanical.test(words);
    return [isSound ? "dead" : "stuck"];
  }
  if (word !== plainNoise && word !== plainDirt) {
    return [word === "dead" && control?.is === "lamp" ? "dark" : word];
  }
  // "Gets dirty above 6 dB of reduction"
  if (word === plainDirt && match !== undefined && byLevel.test(words.slice(match.end))) {
    return ["distorted"];
  }
  if (control === undefined) {
    if (/\b(?:pots?|knobs?|sliders?)\b/.test(words)) return ["scratch"];
    return [word === plainNoise ? "hiss" : "distorted"];
  }
  // "eq noisy when switched in" is not noise from moving it.
  if (
    word === plainNoise &&
    match !== undefined &&
    switchedIn.test(words.slice(match.end)) &&
    !moved.test(words)
  ) {
    return ["hiss"];
  }
  // "noisy at high gain" is noise of the strip, "gain noisy" of the control.
  const between =
    match !== undefined && control.start > match.end ? words.slice(match.end, control.start) : "";
  if (
    word === plainNoise &&
    /\b(?:at|with|when|whenever|if|once|after|while|as soon as|the moment)\b/.test(between)
  )
    return ["hiss"];
  return [trackControls.includes(control.is) ? "scratch" : "crackle"];
}

const byLevel = /^ (?:above|beyond|over|past|at|from|on) (?:\d+(?:p\d+)? ?db|loud|peaks|high)/;
const switchedIn =
  /\b(?:when|while|with|if|once|whenever|as soon as)\b.*\b(?:in|on|engaged|active|up|selected|switched)\b/;
const mechanical =
  /\b(?:pots?|knobs?|sliders?|buttons?|switch\w*|keys?|plugs?|caps?|shafts?|panels?|strips?|modules?|levers?|nuts?|legs?|stands?)\b/;

function pairUp(
  controls: readonly WordMatch<Control>[],
  symptoms: readonly Symptom[],
  words: string,
): readonly NotedFault[] {
  const [control] = controls;
  if (symptoms.length === 0) return control === undefined ? [] : [{ control: control.is }];
  if (symptoms.length === 1 && isOneList(controls, words)) {
    return controls.map(({ is }) => ({ control: is, symptom: symptoms[0] }));
  }
  return symptoms.map((symptom, k) => {
    const own = controls[Math.min(k, controls.length - 1)];
    return own === undefined ? { symptom } : { control: own.is, symptom };
  });
}

/** "Neither phantom nor pad", "mute / solo": one statement about several controls. */
function isOneList(controls: readonly WordMatch<Control>[], words: string): boolean {
  return (
    controls.length > 1 &&
    controls
      .slice(1)
      .every(({ start }, k) =>
        /^ (?:and|or|nor|\/|as well as)(?: the)? $/.test(words.slice(controls[k].end, start)),
      )
  );
}

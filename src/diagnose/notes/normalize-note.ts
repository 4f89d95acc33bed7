import { createSpeller } from "../../text/create-speller.js";
import { rememberLast } from "../../text/remember-last.js";
import { findSentence } from "./concepts.js";
import { controlWords } from "./control-words.js";
import { readData } from "./read-data.js";
import { expandShorthand } from "./shorthand.js";
import { symptomWords } from "./symptom-words.js";
import { compileWords, listStems, listWords } from "./word-pattern.js";

/** What a note's words are looked for in. */
const clauseEnd = " , ";

const vocabulary = [...Object.values(controlWords), ...Object.values(symptomWords)].flat();
/** Words of the structure that are worth spelling right. */
const structure = (
  "doesnt without longer anymore working channel stopped distortion oscillation equaliser equalizer " +
  "equalized metre meter master monitor monitors group patchbay supply"
).split(" ");

/** Words of the workshop that look like slips of others. */
const tradeWords = (
  "reseat reseats reseated reseating resolder resoldered reflow reflowed recap recaps recapped " +
  "recapping retension repatch repatched shunt shunts crimp crimped bodge bodged loom looms ferrite " +
  "heatsink standoff standoffs rivnut spade spades molex solder soldered soldering desolder leads " +
  "earthed grounded biased biasing trimmed trimming slewing swing bench benched jig extender scope " +
  "scoped probe probed metered metering hold holds holding"
).split(" ");

/** Long ones leave no doubt, whatever ending somebody gives them: "distortionated", "intermittance". */
const stems = listStems(vocabulary).filter((stem) => stem.length >= 6);

/**
 * Everyday words that are a slip or two from a word of the vocabulary and mean something else, so
 * that they are left as they are: those that `createSpeller` would have taken for one, of the
 * commonest 40 000 English words (SCOWL, sizes 10 to 35, wordlist.aspell.net; free to use, copyright
 * 2000-2014 by Kevin Atkinson).
 */
const ordinaryWords = "ordinary-words.txt";

/** Made when the first note is read. */
interface Spelling {
  readonly known: ReadonlySet<string>;
  readonly spell: (word: string) => string;
}
let spelling: Spelling | undefined;

function makeSpelling(): Spelling {
  const wanted = [...structure, ...listWords(vocabulary)];
  const others = [...readData(ordinaryWords).trim().split(/\s/), ...tradeWords];
  return { known: new Set([...wanted, ...others]), spell: createSpeller(wanted, others) };
}

function toStem(word: string, { known }: Spelling): string {
  if (word.length < 8 || known.has(word)) return word;
  return stems.find((stem) => word.startsWith(stem)) ?? word;
}

/** A form of a word of the vocabulary, or of a sentence, that no list has: "flakey", "graunchy". */
function isForm(word: string): boolean {
  return forms.test(word) || findSentence(word) !== undefined;
}
const forms = new RegExp(`^${compileWords(`(?:${listStems(vocabulary).join("|")})~`).source}$`);

/** A word with its slips put right. Notes of a desk have few words, and most of them many times. */
const spellWord = rememberLast((word) => {
  spelling ??= makeSpelling();
  return toStem(isForm(word) ? word : spelling.spell(word), spelling);
}, 10_000);

/**
 * A note as patterns of words want it: small letters and digits, one space between words, ` , `
 * where a clause ends, no apostrophes, and slips of the finger put right.
 *
 * @example
 * normalizeNote("Doesn't hum; +48V flaky"); // "doesnt hum , phantom flaky"
 */
export function normalizeNote(text: string): string {
  return normalizeLately(text);
}

/** Controls, symptoms and clauses are looked for in one note after another. */
const normalizeLately = rememberLast(
  (text: string) =>
    expandShorthand(
      text
        .normalize("NFKC")
        .toLowerCase()
        .replace(/['’‘`´]/g, "")
        // "hissssss"
        .replace(/(\p{L})\1{2,}/gu, "$1$1")
        // "Hum? No."
        .replace(/(\p{L}+)\s*\?\s*(?:no|nope|nah|never|neither|none|not at all)\b/gu, "no $1"),
    )
      .replace(/(?:\+ ?|\bp)?\b48 ?v(?:dc|olts?)?\b|\bp48\b/g, " phantom ")
      .replace(/\b(does|do|did|is|was|are|has|have|had|could|would) not\b/g, "$1nt")
      .replace(/\b(?:will not|wouldnt)\b/g, "wont")
      .replace(/\bcan ?not\b/g, "cant")
      .replace(/(\d)[.,](\d)/g, "$1p$2")
      .replace(/(?<![\p{L}\p{N}])[-−](?=\d)/gu, " minus ")
      .replace(/\s[-–—]+\s|[,;:!?()\n—–]|\.(?=\s|$)|\.{2,}/g, clauseEnd)
      .replace(/[&+]/g, " and ")
      .replace(/\//g, " / ")
      .replace(/[^\p{L}\p{N},/\s]/gu, " ")
      .replace(/\p{L}+/gu, spellWord)
      .replace(/\s+/g, " ")
      .replace(/(?: ,)+(?= |$)/g, " ,")
      .replace(/^[ ,]+|[ ,]+$/g, ""),
  1000,
);

import { createSpeller } from "../../text/create-speller.js";
import { rememberLast } from "../../text/remember-last.js";
import { findSentence } from "./concepts.js";
import { controlWords } from "./control-words.js";
import { readData } from "./read-data.js";
import { expandShorthand } from "./shorthand.js";
import { symptomWords } from "./symptom-words.js";
import { compileWords, listStems, listWords } from "./word-pattern.js";

/** Vocabulary against which a note's words are checked. */
const clauseEnd = " , ";

const vocabulary = [...Object.values(controlWords), ...Object.values(symptomWords)].flat();
/** Words of sentence structure that are worth correcting. */
const structure = (
  "doesnt without longer anymore working channel stopped distortion oscillation equaliser equalizer " +
  "equalized metre meter master monitor monitors group patchbay supply"
).split(" ");

/** Workshop words that look like misspellings of others. */
const tradeWords = (
  "reseat reseats reseated reseating resolder resoldered reflow reflowed recap recaps recapped " +
  "recapping retension repatch repatched shunt shunts crimp crimped bodge bodged loom looms ferrite " +
  "heatsink standoff standoffs rivnut spade spades molex solder soldered soldering desolder leads " +
  "earthed grounded biased biasing trimmed trimming slewing swing bench benched jig extender scope " +
  "scoped probe probed metered metering hold holds holding"
).split(" ");

/** Stems long enough to be certain with any ending: "distortionated", "intermittance". */
const stems = listStems(vocabulary).filter((stem) => stem.length >= 6);

/**
 * Everyday words that are one or two typing errors from a word of the vocabulary and mean something
 * else, so that they are left alone: those that `createSpeller` would have corrected, of the
 * commonest 40 000 English words (SCOWL, sizes 10 to 35, wordlist.aspell.net; free to use,
 * copyright 2000-2014 by Kevin Atkinson).
 */
const ordinaryWords = "ordinary-words.txt";

/** Created when the first note is read. */
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

/** Forms of vocabulary words that no list has: "flakey", "graunchy". */
function isForm(word: string): boolean {
  return forms.test(word) || findSentence(word) !== undefined;
}
const forms = new RegExp(`^${compileWords(`(?:${listStems(vocabulary).join("|")})~`).source}$`);

/** Cache of corrected words: the notes of a desk have few words, most of them many times. */
const spellWord = rememberLast((word) => {
  spelling ??= makeSpelling();
  return toStem(isForm(word) ? word : spelling.spell(word), spelling);
}, 10_000);

/**
 * A note in the form that word patterns need: lower case and digits, one space between words, ` , `
 * where a clause ends, no apostrophes, and typing errors corrected.
 *
 * @example
 * normalizeNote("Doesn't hum; +48V flaky"); // "doesnt hum , phantom flaky"
 */
export function normalizeNote(text: string): string {
  return normalizeLately(text);
}

/** The last result is kept: controls, symptoms and clauses are searched in the same note. */
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

import { type DangerId, dangerKinds, harmlessPhrases } from "./dangers.js";
import { normalizeNote } from "./notes/normalize-note.js";
import { weighWords } from "./notes/weigh-words.js";

/**
 * The dangers that a free text describes, the most serious first; empty if there are none. Misspelt
 * words count; phrases that only sound like a danger do not. A doubtful case counts as a danger.
 *
 * @param text a note, verbatim
 * @example
 * findDangers("burning a CD"); // []
 * findDangers("fader scratchy, smell of burning, resistor hot"); // ["burning", "heat"]
 */
export function findDangers(text: string): readonly DangerId[] {
  const plain = withoutHarmless(text);
  const found = matchDangers(plain);
  return found.length > 0 ? found : weighDangers(plain);
}

/**
 * A text in lower case, without phrases that only sound like a danger.
 *
 * @example
 * withoutHarmless("Burning a CD"); // " · "
 */
export function withoutHarmless(text: string): string {
  return harmlessPhrases.reduce((left, phrase) => left.replace(phrase, " · "), spelled(text));
}

/**
 * The dangers that the list's patterns find.
 *
 * @param plain what `withoutHarmless` returns
 * @example
 * matchDangers("resistor hot"); // ["heat"]
 */
export function matchDangers(plain: string): readonly DangerId[] {
  return dangerKinds
    .filter(({ words }) => words.some((word) => word.test(plain)))
    .map(({ id }) => id);
}

/**
 * If no pattern of the list fits, the likeliest danger is returned once the probability that there
 * is one exceeds this. A missed danger costs more than a false alarm: of 36 dangers that an earlier
 * list missed, words learned without their writer's notes find 30 at 0.5 and 26 at 0.7; of 1012
 * harmless notes they flag 14 and 5, besides the 44 that the list flags.
 */
const leastDanger = 0.55;
/**
 * The same if a harmless phrase was removed: of such notes among those that the words were learned
 * from, it misses no more dangers and flags 4 instead of 13.
 */
const leastBesideHarmless = 0.7;

/** The name of a place alone does not show what is wrong there. */
const placeAlone = /\b(?:fader|strip|suppl(?:y|ie)|psu|unit)s?\b/g;

/** Plurals occur mostly in notes about spilt liquids, and say nothing about a danger themselves. */
const manyOfThem = /\b(fader|strip)s\b/g;

function weighDangers(plain: string): readonly DangerId[] {
  // A single word left over from a harmless phrase is not weighed.
  if (plain.includes("·") && (plain.match(/\p{L}{2,}/gu) ?? []).length < 2) return [];
  const [none, ...dangers] = weighWords("danger", normalizeNote(plain.replace(manyOfThem, "$1")));
  if (!/\p{L}{2,}/u.test(plain.replace(placeAlone, ""))) return [];
  const least = plain.includes("·") ? leastBesideHarmless : leastDanger;
  if (1 - Math.exp(none[1]) < least) return [];
  const [likeliest] = dangers.reduce((a, b) => (b[1] > a[1] ? b : a));
  return likeliest === undefined ? [] : [likeliest];
}

/** Words that are recognised with a typing error; short ones are too close to others. */
const misspelled = [
  ...["smoke", "smoking", "flames", "burning", "burnt", "burned", "scorched", "melted", "melting"],
  ...["smell", "smells", "stinks", "overheating", "overheats", "overheated", "heating"],
  ...["shock", "shocks", "electrocuted", "tingle", "tingles", "tingling", "zapped"],
  ...["bulging", "bulged", "swollen", "leaking", "leaked", "electrolytic", "electrolyte"],
  ...["exploded", "arcing", "spark", "sparks", "sparking", "crackling", "sizzling"],
  ...["transformer", "humming", "buzzing", "spilled", "spilt", "coffee", "water", "breaker"],
  ...["supply", "capacitor", "capacitors", "tripped", "dripping", "frayed"],
] as const;

/** Words that are one typing error away from a danger word but mean something else. */
const innocent: ReadonlySet<string> = new Set([
  ...[
    "spoke",
    "spokes",
    "smell",
    "sell",
    "sells",
    "spell",
    "spells",
    "small",
    "spars",
    "park",
    "parks",
  ],
  ...[
    "stock",
    "stocks",
    "shook",
    "shack",
    "socks",
    "sock",
    "chock",
    "spark",
    "sparks",
    "sparkle",
    "sparkling",
  ],
  ...[
    "burn",
    "burns",
    "burnin",
    "boring",
    "burying",
    "bunt",
    "turning",
    "brunt",
    "tingly",
    "single",
  ],
  ...[
    "milting",
    "belting",
    "melded",
    "malted",
    "hating",
    "seating",
    "slit",
    "split",
    "spilt",
    "spill",
  ],
  ...[
    "racing",
    "acing",
    "arching",
    "sparing",
    "sparring",
    "sprinkling",
    "supple",
    "apply",
    "lacking",
  ],
  ...["looking", "locking", "licking", "linking", "leaning", "leaping", "baking", "breakers"],
  ...["braker", "tipped", "trapped", "dropping", "drooping", "played", "fray", "later", "wader"],
  ...["waiter", "coffer", "toffee", "caffe", "flame", "frames", "fames", "stocks", "shucks"],
  ...[
    "sinks",
    "sink",
    "shocks",
    "shock",
    "explored",
    "smock",
    "smoky",
    "smokey",
    "smoked",
    "smokes",
    "smite",
    "swelled",
    "swells",
  ],
  ...["bulgy", "budging", "lugging", "bugging", "leaky", "leased", "leaped", "peaking", "burner"],
  ...["burners", "burnish", "buried", "bared", "bourned", "smelly", "smelt", "shell", "humping"],
]);

/** Lower case, plain spaces, and one typing error per word corrected. */
function spelled(text: string): string {
  return text
    .normalize("NFKC")
    .toLowerCase()
    .replace(/[’‘`´]/g, "'")
    .replace(/[ \t\u00a0]+/g, " ")
    .replace(/\p{L}+/gu, (word) => {
      if (word.length < 4 || innocent.has(word)) return word;
      return misspelled.find((right) => isSlip(word, right)) ?? word;
    });
}

/**
 * Whether a word is another with one typing error: two letters swapped, one missing, one too many,
 * or one vowel for another, or c for k. The first letter is seldom wrong and must match.
 */
function isSlip(word: string, right: string): boolean {
  if (word === right || word[0] !== right[0] || Math.abs(word.length - right.length) > 1) {
    return false;
  }
  let at = 1;
  while (at < right.length && word[at] === right[at]) at++;
  const [rest, wanted] = [word.slice(at), right.slice(at)];
  if (word.length < right.length) return right.length >= 5 && rest === wanted.slice(1);
  if (word.length > right.length) return rest.slice(1) === wanted;
  if (rest.slice(2) === wanted.slice(2) && rest[0] === wanted[1] && rest[1] === wanted[0])
    return true;
  return rest.slice(1) === wanted.slice(1) && soundsLike(rest[0], wanted[0]);
}

function soundsLike(a: string, b: string): boolean {
  return ["aeiouy", "ck"].some((group) => group.includes(a) && group.includes(b));
}

import type { Symptom } from "../note-vocabulary.js";
import { compileWords } from "./word-pattern.js";

/** Comparisons for sounds by people who do not know the word (common practice, no source). */
const alike: Readonly<Partial<Record<Symptom, string>>> = {
  scratch:
    "furniture|chalk|(?:finger ?)?nails|black ?boards?|zips?|zippers?|velcro|rusty|hinges?|sand ?paper|brooms?|shovels?|saws?|saw(?:ing)? wood|files?|gravel path|sand",
  buzz: "bees?|bumblebees?|wasps?|hornets?|fly|flies|insects?|razors?|shavers?|hair ?clippers?|door ?bells?|(?:dit ?)+|(?:dut ?)+",
  hum: "fridges?|refrigerators?|freezers?|generators?|lorr(?:y|ies)|tractors?|power stations?|substations?|didgeridoos?|monks?|drones?",
  hiss: "oceans?|sea|surf|waves?|rain|wind|waterfalls?|showers?|steam|snakes?|taps?|gas|tyres?|tires?|spray cans?|cassettes?|sandstorms?|rivers?|air (?:leak|escaping)",
  crackle:
    "camp ?fires?|log fires?|fire ?places?|bonfires?|eggs?|bacon|gravel|vinyl|(?:old )?records?|paper|cellophane|crisps?|crisp packets?|bubble wrap|geiger counters?|popcorn|cereals?|(?:dry )?leaves|foil|fireworks",
  distorted:
    "fuzz ?box(?:es)?|(?:broken|torn|blown|ripped) (?:speaker|cone)s?|kazoos?|robots?|guitar amps?",
  dull: "under ?water|next (?:door|room)|the next room|another room|far away|mud|bedclothes|duvets?|mattress(?:es)?",
  thin: "toys?|tin|tin cans?|transistor radios?|am radios?|telephones?|phones?|wasps in a tin",
  whistle: "kettles?|birds?|dentists?|flutes?|tinnitus|theremins?|mosquito(?:e?s)?|dog whistles?",
  pop: "woodpeckers?|clocks?|metronomes?|typewriters?|horses?|knocking on wood",
  unsteady: "roller ?coasters?|tremolos?|yo ?yos?|see ?saws?|seasick|tides?",
  intermittent: "morse(?: code)?",
};

const compares =
  /\b(?:like|as if|as though|resembl\w+|reminds|kind of|sort of|type of|sounds?|is an? (?:(?:proper|right|real|total|complete) )*(?=\w+$)|noise of|trapped|living|inside it)\b/;

const rows = (Object.keys(alike) as Symptom[]).map(
  (symptom) => [symptom, compileWords(alike[symptom] as string)] as const,
);

/**
 * The symptom that a clause describes by what it sounds like: "like a bee in a jar" is a buzz.
 *
 * @param clause from what `normalizeNote` returns
 * @example
 * findSimile("sounds like a bee in a jar"); // "buzz"
 * findSimile("crackles"); // undefined
 */
export function findSimile(clause: string): Symptom | undefined {
  if (!compares.test(clause)) return undefined;
  return rows.find(([, pattern]) => new RegExp(pattern.source).test(clause))?.[0];
}

import { splitPathWords } from "../desk/path-words.js";
import { findClosestWord } from "../desk/paths.js";
import { getProgramName } from "../text/program-name.js";

/** Other names that people use, and the command that does it. */
const otherNames: readonly (readonly [names: string, instead: string])[] = [
  [
    "list ls rounds",
    `\`${getProgramName()} show --list\` lists the rounds, \`${getProgramName()} note list\` the notes.`,
  ],
  [
    "status state",
    `\`${getProgramName()} show\` prints the last round, \`${getProgramName()} opening status\` how far an opening has got.`,
  ],
  ["history life", `\`${getProgramName()} plan --history 7\` prints the life of a strip.`],
  ["import csv", `\`${getProgramName()} note import FILE\` imports notes.`],
  [
    "add",
    `To note a fault: ${getProgramName()} note add 7 "hum"; parts: ${getProgramName()} stores add`,
  ],
  ["close", `\`${getProgramName()} note close n1\` closes a note.`],
  [
    "meter volts",
    `\`${getProgramName()} note meter 7 phantom --pin2 48 --pin3 48\` notes a meter's reading.`,
  ],
  ["accept", `\`${getProgramName()} note accept 7/line "why"\` leaves a known oddity alone.`],
  ["fault fault noted", `To note a fault: ${getProgramName()} note add 7 "hum"`],
  ["worklist todo work repair", `The worklist: ${getProgramName()} plan`],
  ["measure test run", `\`${getProgramName()} analyze FILES\` measures recordings.`],
  [
    "retest re-test gate",
    `\`${getProgramName()} plan --retest\` prints its sheet, \`${getProgramName()} analyze --retest FILES\` measures it.`,
  ],
  ["diff changes", `\`${getProgramName()} compare\` compares a round with an earlier one.`],
  ["trend trends ageing", `\`${getProgramName()} compare --trend\` shows what ages.`],
  [
    "page html print pdf",
    `\`${getProgramName()} report\` writes the page, which a browser prints.`,
  ],
  ["version", `\`${getProgramName()} --version\` prints the version.`],
  [
    "play start",
    `\`${getProgramName()} listen --play\` plays the signal and records, \`${getProgramName()} signal\` writes it as a file.`,
  ],
  [
    "tone sweep sheet runsheet",
    `\`${getProgramName()} signal\` writes the test signal and the run sheet.`,
  ],
  ["record rec follow", `\`${getProgramName()} listen FOLDER\` follows a recording.`],
  ["parts stock stores", `\`${getProgramName()} stores list\` lists the parts in stock.`],
  [
    "open dismantle",
    `\`${getProgramName()} opening\` records an opening of the desk, step by step.`,
  ],
  ["new create setup", `\`${getProgramName()} init --desk FOLDER\` writes a desk file.`],
  [
    "delete remove rm undo",
    `\`${getProgramName()} withdraw ROUND\` sets a round aside, \`${getProgramName()} note correct n1 --withdraw\` a note.`,
  ],
  ["limits pass fail verify", `\`${getProgramName()} check\` judges a round by limits.`],
  [
    "loopback interface",
    `\`${getProgramName()} calibrate\` measures the interface, whose share is then subtracted.`,
  ],
  [
    "why plot",
    `\`${getProgramName()} show --why 7/mic\` shows how its causes were weighed, \`--plot\` draws the response.`,
  ],
];

/** The same for `deskround note`. */
const noteNames: readonly (readonly [names: string, instead: string])[] = [
  [
    "delete remove rm undo",
    `\`${getProgramName()} note correct n1 --withdraw\` takes a note back, \`${getProgramName()} note close n1\` closes it.`,
  ],
  ["edit change move", `\`${getProgramName()} note correct n1\` corrects a note.`],
  ["new noted fault", `To note a fault: ${getProgramName()} note add 7 "hum"`],
  [
    "repair fixed mended replaced",
    `\`${getProgramName()} note done 7 "C4 replaced"\` notes what was done.`,
  ],
  ["ignore known", `\`${getProgramName()} note accept 7/line "why"\` leaves a known oddity alone.`],
  [
    "volts measure reading",
    `\`${getProgramName()} note meter 7 phantom --pin2 48 --pin3 48\` notes a meter's reading.`,
  ],
];

/** The same for `deskround opening`. */
const openingNames: readonly (readonly [names: string, instead: string])[] = [
  ["begin new open", `\`${getProgramName()} opening start\` starts one.`],
  ["finish stop close done", `\`${getProgramName()} opening end\` ends it.`],
  ["show list", `\`${getProgramName()} opening status\` says how far it has got.`],
  ["remove take", `For example: ${getProgramName()} opening off 7 meter-bridge`],
];

/** The tables of the commands that have subcommands. */
const namesOf: Readonly<Record<string, typeof otherNames>> = {
  note: noteNames,
  opening: openingNames,
};

/**
 * What a word that is not a command probably means: another name of a command, a typing error, a
 * command and a strip written together, or a path alone.
 *
 * @param words everything typed after the program's name, or after the command's
 * @param known the existing commands
 * @param of the command whose subcommands they are; undefined for the program's own
 */
export function suggestCommand(
  words: readonly string[],
  known: readonly string[],
  of?: string,
): string | undefined {
  const [first = "", ...rest] = words;
  const word = first.toLowerCase();
  const table = of === undefined ? otherNames : (namesOf[of] ?? []);
  const found = table.find(([names]) => names.split(" ").includes(word));
  if (found !== undefined) return found[1];
  const call = (...typed: readonly string[]) =>
    [getProgramName(), ...(of === undefined ? [] : [of]), ...typed.map(quoteWord)].join(" ");
  const joined = known.find(
    (name) => word.startsWith(name) && /^[-/]?\d/.test(word.slice(name.length)),
  );
  if (joined !== undefined) {
    return `Did you mean: ${call(joined, first.slice(joined.length).replace(/^[-/]/, ""), ...rest)}`;
  }
  const like = findClosestWord(word, known);
  if (like !== undefined) return `Did you mean: ${call(like, ...rest)}`;
  if (of !== undefined) {
    if (of !== "note") return undefined;
    return /^n?\d+$/.test(word)
      ? `\`${getProgramName()} note show ${first}\` prints a note.`
      : suggestNote(words);
  }
  const option = words.findIndex((one) => one.startsWith("-"));
  const path = findWrittenPath(option < 0 ? words : words.slice(0, option));
  return path === undefined ? undefined : `\`${getProgramName()} show ${path}\` shows it.`;
}

/** A note typed without `add` means `note add`. */
function suggestNote(typed: readonly string[]): string {
  const option = typed.findIndex((word) => word.startsWith("-"));
  const text = (option < 0 ? typed : typed.slice(0, option)).join(" ");
  const words = text.split(/\s+/);
  for (const count of [2, 1]) {
    const place = findWrittenPath([words.slice(0, count).join(" ")]);
    // Only the desk knows which words are inputs.
    if (place === undefined || words.length <= count) continue;
    if (place.includes("/") && !words[0].includes("/")) continue;
    return `Did you mean: ${getProgramName()} note add ${place} "${words.slice(count).join(" ")}"`;
  }
  return `To note a fault: ${getProgramName()} note add 7 "hum"`;
}

/** Options that people expect, and what does the same. */
const otherOptions: readonly (readonly [options: string, instead: string])[] = [
  ["-v -V", `\`${getProgramName()} --version\` prints the version.`],
  ["--verbose", "--debug shows where in the program an error occurred."],
  [
    "--quiet -q --silent",
    "Results go to stdout, so `>/dev/null` leaves only the exit code and errors.",
  ],
  ["--pdf", `Print the page from the browser, which writes a PDF too: ${getProgramName()} report`],
  ["--open --browser", `\`${getProgramName()} report\` says which file to open in a browser.`],
  [
    "--trend --trends --history",
    `\`${getProgramName()} compare --trend\` shows what ages, \`${getProgramName()} plan --history 7\` a strip's life.`,
  ],
  ["--xml", `\`${getProgramName()} check --format junit\` writes XML for build servers.`],
  ["--csv", "Use --format csv with commands that have it."],
  [
    "--dry-run",
    `\`${getProgramName()} analyze --preview\` stores nothing; most other commands only read.`,
  ],
];

/** What does the job of an unknown option; undefined if nothing is known. */
export function suggestOption(flag: string): string | undefined {
  const [word] = flag.split("=");
  return otherOptions.find(([names]) => names.split(" ").includes(word))?.[1];
}

/** A word quoted for a shell if necessary. */
function quoteWord(word: string): string {
  return /^[\w./,:=@%+-]+$/.test(word) ? word : `"${word}"`;
}

/** The strip or path that words mean, in its usual form; undefined if they mean none. */
export function findWrittenPath(words: readonly string[]): string | undefined {
  const whole = words.find((word) => word.includes("/"));
  const groups = [words.slice(0, 3), words.slice(0, 2), words.slice(0, 1)];
  for (const some of whole === undefined ? groups : [[whole]]) {
    const { strip, input } = splitPathWords(some.join(" "));
    if (strip === undefined || /^\d{4}/.test(strip)) continue;
    return input === undefined ? strip : `${strip}/${input}`;
  }
  return undefined;
}

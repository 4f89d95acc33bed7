import type { Command } from "commander";
import { getProgramName } from "../text/program-name.js";

/**
 * Examples of each command, without the name of the program, the most common first; `--help` and
 * the man page show them.
 */
const examples: Readonly<Record<string, readonly string[]>> = {
  init: ["init --desk mydesk --strips 24 --inputs mic,line,tape"],
  signal: [
    "signal > run-sheet.txt",
    "signal --only 7,12/mic --sheet-only",
    "signal --outputs 8",
    "signal --tone 30 --minutes 2",
  ],
  calibrate: ["calibrate loopback.wav --output-volts 1.228"],
  analyze: [
    "analyze recording*.wav",
    "analyze evening.wav --only 7,12/mic",
    "analyze one.wav --map 1/mic,2/mic",
    "analyze recording*.wav --silent 7/mic",
    "analyze recording*.wav --take 7/mic=1",
    "analyze retest*.wav --retest",
    "analyze again.wav --only 7/mic --setting low-cut",
  ],
  listen: ["listen recordings/", "listen --play --only 1-8"],
  halve: ["halve", "halve play-1.wav play-2.wav"],
  morning: ["morning recording.wav"],
  show: [
    "show 7",
    "show 7/mic --why",
    "show 2031-03-14 7/mic",
    "show --list",
    "show --mornings 3/tape",
  ],
  compare: ["compare", "compare --with oldest", "compare --path 7/mic", "compare --trend"],
  check: ["check", "check --format junit > check.xml"],
  report: ["report", "report --with oldest --out page.html"],
  note: [],
  "note add": ['note add 7/mic "hum since the move"'],
  "note meter": ["note meter 7 phantom --pin2 48.1 --pin3 47.9", "note meter 7 direct 120mV"],
  "note done": ['note done 7 "C4 and C7 replaced" --part "2x 10 µF 63 V"'],
  "note off": ['note off 7 "bottom cover"'],
  "note back": ["note back n12", "note back all"],
  "note list": ["note list", "note list 7"],
  "note show": ["note show n12"],
  "note close": ['note close n12 --text "cable replaced"'],
  "note accept": ['note accept 7/line "modified in 2031" --until 2033'],
  "note correct": ["note correct n12 --place 8/mic"],
  "note import": ["note import notes.csv"],
  plan: ["plan", "plan --hours 4", "plan --history 7", "plan --retest"],
  opening: [],
  "opening start": ["opening start"],
  "opening off": ['opening off 6 "bottom cover"'],
  "opening unplugged": ['opening unplugged desk "talkback lead"'],
  "opening back": ["opening back n12", "opening back all"],
  "opening counted": ['opening counted n12 "2x M3x6 pan head"'],
  stores: [],
  "stores add": ["stores add electrolytic 10 µF 63 V --count 20 --price 0.12"],
  "stores take": ["stores take electrolytic 10 µF 63 V --count 2"],
  "stores count": ["stores count electrolytic 10 µF 63 V --count 14"],
  "stores missing": ["stores missing --format csv > order.csv"],
  withdraw: ['withdraw last "strip 11 was skipped"'],
  demo: ["demo"],
  completion: ["completion bash", "completion zsh"],
};

/** The examples of a command; empty if it has none. */
export function examplesOf(command: Command): readonly string[] {
  const { parent } = command;
  const isNested = parent !== null && parent.parent !== null;
  const name = isNested ? `${parent.name()} ${command.name()}` : command.name();
  return (examples[name] ?? []).map((words) => `${getProgramName()} ${words}`);
}

import type { Command } from "commander";

/** How each command is called, the commonest way first; `--help` and the man page show them. */
const examples: Readonly<Record<string, readonly string[]>> = {
  init: ["deskround init --desk mydesk --strips 24 --inputs mic,line,tape"],
  signal: [
    "deskround signal > run-sheet.txt",
    "deskround signal --only 7,12/mic --sheet-only",
    "deskround signal --outputs 8",
    "deskround signal --tone 30 --minutes 2",
  ],
  calibrate: ["deskround calibrate loopback.wav --output-volts 1.228"],
  analyze: [
    "deskround analyze recording*.wav",
    "deskround analyze evening.wav --only 7,12/mic",
    "deskround analyze one.wav --map 1/mic,2/mic",
    "deskround analyze recording*.wav --silent 7/mic",
    "deskround analyze recording*.wav --take 7/mic=1",
    "deskround analyze retest*.wav --retest",
    "deskround analyze again.wav --only 7/mic --setting low-cut",
  ],
  listen: ["deskround listen recordings/", "deskround listen --play --only 1-8"],
  halve: ["deskround halve", "deskround halve play-1.wav play-2.wav"],
  morning: ["deskround morning recording.wav"],
  show: [
    "deskround show 7",
    "deskround show 7/mic --why",
    "deskround show 2031-03-14 7/mic",
    "deskround show --list",
    "deskround show --mornings 3/tape",
  ],
  compare: [
    "deskround compare",
    "deskround compare --with oldest",
    "deskround compare --path 7/mic",
    "deskround compare --trend",
  ],
  check: ["deskround check", "deskround check --format junit > check.xml"],
  report: ["deskround report", "deskround report --with oldest --out page.html"],
  note: [],
  "note add": ['deskround note add 7/mic "hum since the move"'],
  "note meter": [
    "deskround note meter 7 phantom --pin2 48.1 --pin3 47.9",
    "deskround note meter 7 direct 120mV",
  ],
  "note done": ['deskround note done 7 "C4 and C7 replaced" --part "2x 10 µF 63 V"'],
  "note off": ['deskround note off 7 "bottom cover"'],
  "note back": ["deskround note back n12", "deskround note back all"],
  "note list": ["deskround note list", "deskround note list 7"],
  "note show": ["deskround note show n12"],
  "note close": ['deskround note close n12 --text "cable replaced"'],
  "note accept": ['deskround note accept 7/line "modified in 2031" --until 2033'],
  "note correct": ["deskround note correct n12 --place 8/mic"],
  "note import": ["deskround note import notes.csv"],
  plan: [
    "deskround plan",
    "deskround plan --hours 4",
    "deskround plan --history 7",
    "deskround plan --retest",
  ],
  opening: [],
  "opening start": ["deskround opening start"],
  "opening off": ['deskround opening off 6 "bottom cover"'],
  "opening unplugged": ['deskround opening unplugged desk "talkback lead"'],
  "opening back": ["deskround opening back n12", "deskround opening back all"],
  "opening counted": ['deskround opening counted n12 "2x M3x6 pan head"'],
  stores: [],
  "stores add": ["deskround stores add electrolytic 10 µF 63 V --count 20 --price 0.12"],
  "stores take": ["deskround stores take electrolytic 10 µF 63 V --count 2"],
  "stores count": ["deskround stores count electrolytic 10 µF 63 V --count 14"],
  "stores missing": ["deskround stores missing --format csv > order.csv"],
  withdraw: ['deskround withdraw last "strip 11 was skipped"'],
  demo: ["deskround demo"],
  completion: ["deskround completion bash", "deskround completion zsh"],
};

/** The examples of a command, none where it has none of its own. */
export function examplesOf(command: Command): readonly string[] {
  const { parent } = command;
  const isNested = parent !== null && parent.parent !== null;
  const name = isNested ? `${parent.name()} ${command.name()}` : command.name();
  return examples[name] ?? [];
}

import type { Command } from "commander";
import { getProgramName } from "../text/program-name.js";

/** How each command is called, the commonest way first; `--help` and the man page show them. */
const examples: Readonly<Record<string, readonly string[]>> = {
  init: [`${getProgramName()} init --desk mydesk --strips 24 --inputs mic,line,tape`],
  signal: [
    `${getProgramName()} signal > run-sheet.txt`,
    `${getProgramName()} signal --only 7,12/mic --sheet-only`,
    `${getProgramName()} signal --outputs 8`,
    `${getProgramName()} signal --tone 30 --minutes 2`,
  ],
  calibrate: [`${getProgramName()} calibrate loopback.wav --output-volts 1.228`],
  analyze: [
    `${getProgramName()} analyze recording*.wav`,
    `${getProgramName()} analyze evening.wav --only 7,12/mic`,
    `${getProgramName()} analyze one.wav --map 1/mic,2/mic`,
    `${getProgramName()} analyze recording*.wav --silent 7/mic`,
    `${getProgramName()} analyze recording*.wav --take 7/mic=1`,
    `${getProgramName()} analyze retest*.wav --retest`,
    `${getProgramName()} analyze again.wav --only 7/mic --setting low-cut`,
  ],
  listen: [
    `${getProgramName()} listen recordings/`,
    `${getProgramName()} listen --play --only 1-8`,
  ],
  halve: [`${getProgramName()} halve`, `${getProgramName()} halve play-1.wav play-2.wav`],
  morning: [`${getProgramName()} morning recording.wav`],
  show: [
    `${getProgramName()} show 7`,
    `${getProgramName()} show 7/mic --why`,
    `${getProgramName()} show 2031-03-14 7/mic`,
    `${getProgramName()} show --list`,
    `${getProgramName()} show --mornings 3/tape`,
  ],
  compare: [
    `${getProgramName()} compare`,
    `${getProgramName()} compare --with oldest`,
    `${getProgramName()} compare --path 7/mic`,
    `${getProgramName()} compare --trend`,
  ],
  check: [`${getProgramName()} check`, `${getProgramName()} check --format junit > check.xml`],
  report: [
    `${getProgramName()} report`,
    `${getProgramName()} report --with oldest --out page.html`,
  ],
  note: [],
  "note add": [`${getProgramName()} note add 7/mic "hum since the move"`],
  "note meter": [
    `${getProgramName()} note meter 7 phantom --pin2 48.1 --pin3 47.9`,
    `${getProgramName()} note meter 7 direct 120mV`,
  ],
  "note done": [`${getProgramName()} note done 7 "C4 and C7 replaced" --part "2x 10 µF 63 V"`],
  "note off": [`${getProgramName()} note off 7 "bottom cover"`],
  "note back": [`${getProgramName()} note back n12`, `${getProgramName()} note back all`],
  "note list": [`${getProgramName()} note list`, `${getProgramName()} note list 7`],
  "note show": [`${getProgramName()} note show n12`],
  "note close": [`${getProgramName()} note close n12 --text "cable replaced"`],
  "note accept": [`${getProgramName()} note accept 7/line "modified in 2031" --until 2033`],
  "note correct": [`${getProgramName()} note correct n12 --place 8/mic`],
  "note import": [`${getProgramName()} note import notes.csv`],
  plan: [
    `${getProgramName()} plan`,
    `${getProgramName()} plan --hours 4`,
    `${getProgramName()} plan --history 7`,
    `${getProgramName()} plan --retest`,
  ],
  opening: [],
  "opening start": [`${getProgramName()} opening start`],
  "opening off": [`${getProgramName()} opening off 6 "bottom cover"`],
  "opening unplugged": [`${getProgramName()} opening unplugged desk "talkback lead"`],
  "opening back": [`${getProgramName()} opening back n12`, `${getProgramName()} opening back all`],
  "opening counted": [`${getProgramName()} opening counted n12 "2x M3x6 pan head"`],
  stores: [],
  "stores add": [`${getProgramName()} stores add electrolytic 10 µF 63 V --count 20 --price 0.12`],
  "stores take": [`${getProgramName()} stores take electrolytic 10 µF 63 V --count 2`],
  "stores count": [`${getProgramName()} stores count electrolytic 10 µF 63 V --count 14`],
  "stores missing": [`${getProgramName()} stores missing --format csv > order.csv`],
  withdraw: [`${getProgramName()} withdraw last "strip 11 was skipped"`],
  demo: [`${getProgramName()} demo`],
  completion: [`${getProgramName()} completion bash`, `${getProgramName()} completion zsh`],
};

/** The examples of a command, none where it has none of its own. */
export function examplesOf(command: Command): readonly string[] {
  const { parent } = command;
  const isNested = parent !== null && parent.parent !== null;
  const name = isNested ? `${parent.name()} ${command.name()}` : command.name();
  return examples[name] ?? [];
}

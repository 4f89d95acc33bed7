import { DeskroundError } from "../errors.js";
import { validateInputName, validateLine } from "./names.js";
import { parseCountOrStrips } from "./strips.js";

/** What is known about a desk before its file is written; the rest is filled in by hand. */
export interface StarterRequest {
  /** See {@link createDeskId}; absent: the file has none. */
  readonly id?: string;
  readonly name: string;
  /** A number of strips, a range or names: `24`, `1-24`, `1,2,3A`. */
  readonly strips: string;
  readonly inputs: readonly string[];
  readonly mainsHz: 50 | 60;
}

interface Usual {
  readonly nominalDbu: number;
  readonly setup: string;
  readonly gain: string;
}

/**
 * Levels and settings to start from: −40 dBu for a microphone, +4 dBu for line (common practice).
 */
const usual: Readonly<Record<string, Usual>> = {
  mic: {
    nominalDbu: -40,
    setup: "Mic selected; phantom power and pad off; mic gain at 44 dB.",
    gain: "44 dB",
  },
  line: { nominalDbu: 4, setup: "Line selected; line trim at 0 dB.", gain: "0 dB" },
  tape: { nominalDbu: 4, setup: "Tape return selected; its trim at 0 dB.", gain: "0 dB" },
};

const unknown: Usual = {
  nominalDbu: 4,
  setup: "This input selected; its trim at 0 dB.",
  gain: "0 dB",
};

/**
 * The text of a starting desk file, with comments that explain it.
 *
 * @throws DeskroundError `usage` for a name not allowed in a desk file
 */
export function formatStarterDesk({ id, name, strips, inputs, mainsHz }: StarterRequest): string {
  return `# The desk under care. Lines that begin with # are notes; change the rest.
version: 1

${id === undefined ? "" : idLines(id)}name: ${quoted(checkedName(name))}

# Mains frequency where the desk stands, Hz: 50 or 60.
mains: ${mainsHz}

# The channel strips: how many (24), a range (1-24) or their names ([1, 2, 3A]).
strips: ${checkedStrips(strips)}

# The inputs of a strip, in the order in which they are tested. For each:
#   nominal  dBu at the socket while the 1 kHz tone plays (mic: through a pad)
#   setup    how to set the strip for it; the run sheet repeats these words
#   source   ohms that the socket looks into (the pad's output, say 150): with a
#            calibration this gives the equivalent input noise
#   plug     where the plug goes, as in: rear panel, lower row
#   pad      dB between interface and socket, if it is not what the levels say
#   set      how controls are set for it, see below
#   strips   only if not every strip has it: 1-20, or [1, 2, 3A]
inputs:
${checkedInputs(inputs).map(inputBlock).join("\n")}

# Level at the mix output while the 1 kHz tone plays, dBu.
reference: 4

# What every strip has to turn (knob), press (switch) and slide (fader), and how
# it is set for a test; an input that wants it otherwise says so under its own
# set, as in set: { gain: 44 dB, pad: out }.
controls:
  phantom: { kind: switch, set: off }
  gain: knob
  low cut: { kind: switch, set: out }
  equaliser: { kind: switch, set: out }
  pan: { kind: knob, set: at its mark }
  fader: { kind: fader, set: at its mark }

# The order of the run sheet: fewest (plugs, pads and controls to change),
# by-input (one input of every strip, then the next input) or by-strip (every
# input of one strip, then the next strip). A recording follows it.
order: fewest

# What is not a strip and can have notes too; what each supply feeds.
# places:
#   group 1-8: group
#   master: master
#   PSU A: { kind: supply, feeds: [1-12, group 1-8] }

# Strips are compared with their siblings. Rebuilt ones are best kept apart:
# each line here is a group of its own, all other strips stay together.
# families:
#   recapped: 13-24
`;
}

function idLines(id: string): string {
  return `# What its rounds know it by, whatever its name becomes: leave it as it is.
id: ${id}

`;
}

function inputBlock(input: string): string {
  const { nominalDbu, setup, gain } = usual[input] ?? unknown;
  return (
    `  ${input}:\n    nominal: ${nominalDbu}\n    setup: ${quoted(setup)}\n` +
    `    set: { gain: ${gain} }`
  );
}

function checkedName(name: string): string {
  const line = name.trim();
  const fault = line === "" ? "is empty" : validateLine(line, 60);
  if (fault !== undefined)
    throw new DeskroundError(
      "usage",
      `The name of the desk ${fault}.`,
      "Give it one line of plain text with --name.",
    );
  return line;
}

function checkedStrips(strips: string): string {
  const list = parseCountOrStrips(strips);
  const [first] = list.faults;
  if (first !== undefined) {
    throw new DeskroundError(
      "usage",
      `Strips "${strips}": ${first.fault}.`,
      "Give how many there are (24), a range (1-24) or names (1,2,3A).",
    );
  }
  return strips.includes(",") ? `[${strips.split(",").map(oneStrip).join(", ")}]` : strips.trim();
}

/** A name as YAML text; with quotes only if YAML would read it differently. */
function oneStrip(strip: string): string {
  return /^[\p{L}\p{N}.+-]+$/u.test(strip.trim()) ? strip.trim() : quoted(strip.trim());
}

function checkedInputs(inputs: readonly string[]): readonly string[] {
  const names = inputs.map((input) => input.trim());
  names.forEach((input, i) => {
    const fault =
      validateInputName(input) ?? (names.indexOf(input) < i ? "named twice" : undefined);
    if (fault !== undefined)
      throw new DeskroundError(
        "usage",
        `Input "${input}": ${fault}.`,
        "Name the inputs in one list: mic,line,tape",
      );
  });
  return names;
}

/** Double quotes of JSON are double quotes of YAML. */
function quoted(text: string): string {
  return JSON.stringify(text);
}

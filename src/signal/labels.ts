import type { ControlAction, Move, Segment, SignalTable } from "./types.js";

/**
 * The segment table as texts, one for each segment plus a heading, stored as labels of the cue
 * points in the signal's file: `sweep kind=sweep start=2.7 length=4.25 from=10 …`. Seconds,
 * hertz and dBFS; numbers are written in full, so that reading them back gives the same table.
 */

const headingName = "deskround-signal";

/** Longer than any label of ours, even with a control's name in full; longer ones are not parsed. */
const longestLabel = 1000;

/** The contents of the heading. */
export type Heading = Omit<SignalTable, "segments" | "profile" | "band"> & {
  readonly profile: string;
  readonly band: string;
};

/**
 * The heading as the text of a cue point.
 *
 * @example
 * formatHeading(buildSignalTable("quick", "base")).split(" ")[0]; // "deskround-signal"
 */
export function formatHeading({ version, profile, band, lengthS, nominalDbfs }: SignalTable) {
  return written(headingName, { version, profile, band, length: lengthS, nominal: nominalDbfs });
}

/**
 * A segment as the text of its cue point.
 *
 * @example
 * const [first] = buildSignalTable("quick", "base").segments;
 * parseSegment(formatSegment(first)).kind; // "marker"
 */
export function formatSegment(segment: Segment): string {
  const { name, kind, startS, lengthS } = segment;
  const span = { kind, start: startS, length: lengthS };
  switch (segment.kind) {
    case "silence":
      return written(name, { ...span, ...moveWords(segment.move) });
    case "pips": {
      const { frequencyHz, count, spacingS, pipS, levelDbfs } = segment;
      const shape = { frequency: frequencyHz, count, spacing: spacingS, pip: pipS };
      return written(name, { ...span, ...shape, level: levelDbfs });
    }
    case "marker": {
      const { which, spacingS, levelDbfs } = segment;
      return written(name, { ...span, which, spacing: spacingS, level: levelDbfs });
    }
    case "sweep": {
      const { fromHz, toHz, rateS, sweepS, levelDbfs } = segment;
      const shape = { from: fromHz, to: toHz, rate: rateS, sweep: sweepS };
      return written(name, { ...span, ...shape, level: levelDbfs });
    }
    case "tone": {
      const { frequencyHz, levelDbfs, move } = segment;
      const shape = { frequency: frequencyHz, level: levelDbfs };
      return written(name, { ...span, ...shape, ...moveWords(move) });
    }
    case "twin": {
      const { lowHz, highHz, levelDbfs } = segment;
      return written(name, { ...span, low: lowHz, high: highHz, level: levelDbfs });
    }
    case "steps": {
      const { frequencyHz, stepS, levelsDbfs } = segment;
      const ladder = { frequency: frequencyHz, step: stepS, levels: levelsDbfs.join(",") };
      return written(name, { ...span, ...ladder });
    }
  }
}

/**
 * The heading in a label; undefined if it is not a heading.
 *
 * @example
 * parseHeading(formatHeading(buildSignalTable("quick", "base")))?.profile; // "quick"
 */
export function parseHeading(label: string): Heading | undefined {
  const words = parseWords(label);
  if (words?.name !== headingName) return undefined;
  const { numbers, text } = words;
  const heading = {
    ...numbers({ version: "version", length: "lengthS", nominal: "nominalDbfs" }),
    profile: text("profile"),
    band: text("band"),
  };
  return complete<Heading>(heading);
}

/**
 * The segment in a label; undefined for labels from other programs.
 *
 * @throws SyntaxError if it is a segment's label with a part missing or corrupt
 * @example
 * parseSegment("no segment of ours"); // undefined
 */
export function parseSegment(label: string): Segment | undefined {
  const words = parseWords(label);
  const kind = words?.text("kind");
  if (words === undefined || kind === undefined) return undefined;
  const { name, numbers, text, list } = words;
  const span = { kind, name, ...numbers({ start: "startS", length: "lengthS" }) };
  const level = { level: "levelDbfs" };
  let rest: Record<string, unknown>;
  switch (kind) {
    case "silence":
      rest = moveOf(text);
      break;
    case "pips":
      rest = numbers({
        frequency: "frequencyHz",
        count: "count",
        spacing: "spacingS",
        pip: "pipS",
        ...level,
      });
      break;
    case "marker": {
      const which = text("which");
      rest = { which: which === "start" || which === "end" ? which : undefined };
      Object.assign(rest, numbers({ spacing: "spacingS", ...level }));
      break;
    }
    case "sweep":
      rest = numbers({ from: "fromHz", to: "toHz", rate: "rateS", sweep: "sweepS", ...level });
      break;
    case "tone":
      rest = { ...numbers({ frequency: "frequencyHz", ...level }), ...moveOf(text) };
      break;
    case "twin":
      rest = numbers({ low: "lowHz", high: "highHz", ...level });
      break;
    case "steps":
      rest = {
        ...numbers({ frequency: "frequencyHz", step: "stepS" }),
        levelsDbfs: list("levels"),
      };
      break;
    default:
      throw new SyntaxError(`unknown kind of segment: ${kind}`);
  }
  const segment = complete<Segment>({ ...span, ...rest });
  if (segment === undefined) throw new SyntaxError(`incomplete segment: ${label}`);
  return segment;
}

/** A control's name may hold spaces and non-ASCII letters: percent-encoded, as in a URL (RFC 3986). */
function moveWords(move: Move | undefined): Readonly<Record<string, string>> {
  return move === undefined ? {} : { hand: move.hand, control: encodeURIComponent(move.control) };
}

/** The move in a label: none, one, or undefined for a corrupt one. */
function moveOf(text: (key: string) => string | undefined): { move?: Move | undefined } {
  const hand = hands.find((name) => name === text("hand"));
  const control = text("control");
  if (control === undefined && text("hand") === undefined) return {};
  if (control === undefined || hand === undefined) return { move: undefined };
  try {
    return { move: { control: decodeURIComponent(control), hand } };
  } catch {
    return { move: undefined };
  }
}

const hands: readonly ControlAction[] = ["turn", "slide", "press"];

function written(name: string, parts: Readonly<Record<string, string | number>>): string {
  return [name, ...Object.entries(parts).map(([key, value]) => `${key}=${value}`)].join(" ");
}

function parseWords(label: string) {
  if (label.length > longestLabel) return undefined;
  const [name, ...pairs] = label.split(" ");
  if (name === "" || pairs.length === 0) return undefined;
  const values = new Map(
    pairs.map((pair) => {
      const at = pair.indexOf("=");
      return [pair.slice(0, Math.max(0, at)), pair.slice(at + 1)] as const;
    }),
  );
  const text = (key: string) => values.get(key);
  /** Numbers under their names in the table, each undefined if missing or not a number. */
  const numbers = (keys: Readonly<Record<string, string>>) =>
    Object.fromEntries(Object.entries(keys).map(([key, as]) => [as, toNumber(text(key))]));
  const list = (key: string) => {
    const all = text(key)?.split(",").map(toNumber);
    return all?.includes(undefined) ? undefined : all;
  };
  return { name, text, numbers, list };
}

function toNumber(text: string | undefined): number | undefined {
  if (text === undefined || !/^-?\d+(\.\d+)?(e[-+]?\d+)?$/.test(text)) return undefined;
  const value = Number(text);
  return Number.isFinite(value) ? value : undefined;
}

function complete<T>(parts: Readonly<Record<string, unknown>>): T | undefined {
  return Object.values(parts).includes(undefined) ? undefined : (parts as T);
}

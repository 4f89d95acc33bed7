import type { SittingCommand } from "../sitting/types.js";

/** Keys from a terminal, or lines from anything else. */
export interface KeyReader {
  /** What is being typed for a path or a note; undefined if nothing is. */
  readonly typed: () => string | undefined;
  readonly close: () => void;
}

const simple: Readonly<Record<string, SittingCommand>> = {
  "\r": { do: "play" },
  "\n": { do: "play" },
  a: { do: "again" },
  s: { do: "skip" },
  "0": { do: "silent" },
  b: { do: "back" },
  d: { do: "drop" },
  y: { do: "accept" },
  " ": { do: "pause" },
  e: { do: "end" },
  q: { do: "leave" },
};

const asked = {
  p: "next path: ",
  t: "this was path: ",
  n: "note: ",
} as const;

const words: Readonly<Record<string, SittingCommand>> = {
  play: { do: "play" },
  muted: { do: "muted" },
  again: { do: "again" },
  skip: { do: "skip" },
  silent: { do: "silent" },
  back: { do: "back" },
  drop: { do: "drop" },
  yes: { do: "accept" },
  pause: { do: "pause" },
  end: { do: "end" },
  leave: { do: "leave" },
};

/** Control codes as a terminal in raw mode sends them (ECMA-48). */
const interrupt = String.fromCharCode(3);
const endOfText = String.fromCharCode(4);
const escapeKey = String.fromCharCode(27);
const erase = new Set([String.fromCharCode(8), String.fromCharCode(127)]);

/**
 * Reads commands from standard input.
 *
 * @param send called with each command
 * @param changed called when what is typed has changed
 * @param help called when the user asks for the list of keys
 */
export function createKeyReader(
  send: (command: SittingCommand) => void,
  changed: () => void,
  help: () => void,
): KeyReader {
  const input = process.stdin;
  if (input.isTTY !== true) return createLineReader(send);
  let field: keyof typeof asked | undefined;
  let text = "";
  const onData = (data: string) => {
    // An arrow or function key arrives as one chunk that starts with escape.
    if (data.length > 1 && data.startsWith(escapeKey)) return;
    for (const key of data) onKey(key);
    changed();
  };
  const onKey = (key: string) => {
    if (key === interrupt || key === endOfText) {
      send({ do: "leave" });
      return;
    }
    if (field === undefined) {
      const command = simple[key.toLowerCase()];
      if (command !== undefined) send(command);
      else if (key === "?" || key === "h") help();
      else if (key.toLowerCase() in asked) field = key.toLowerCase() as keyof typeof asked;
      return;
    }
    if (key === escapeKey) {
      field = undefined;
      text = "";
    } else if (key === "\r" || key === "\n") {
      const typed = text.trim();
      if (typed !== "") send(commandOf(field, typed));
      field = undefined;
      text = "";
    } else if (erase.has(key)) {
      text = [...text].slice(0, -1).join("");
    } else if (key >= " " && text.length < 500) {
      text += key;
    }
  };
  input.setRawMode(true);
  input.setEncoding("utf8");
  input.on("data", onData);
  input.resume();
  return {
    typed: () => (field === undefined ? undefined : `${asked[field]}${text}`),
    close: () => {
      input.off("data", onData);
      input.setRawMode(false);
      input.pause();
    },
  };
}

function commandOf(field: keyof typeof asked, text: string): SittingCommand {
  if (field === "n") return { do: "note", text };
  return field === "p" ? { do: "next", path: text } : { do: "assign", path: text };
}

/** The longest line that is accepted. */
const longestLine = 2000;

function createLineReader(send: (command: SittingCommand) => void): KeyReader {
  const input = process.stdin;
  let rest = "";
  const onData = (data: string) => {
    const lines = (rest + data).split("\n");
    rest = (lines.pop() ?? "").slice(0, longestLine);
    for (const line of lines) {
      const command = parseLine(line.trim());
      if (command !== undefined) send(command);
    }
  };
  input.setEncoding("utf8");
  input.on("data", onData);
  input.on("error", () => {});
  return {
    typed: () => undefined,
    close: () => {
      input.off("data", onData);
      input.pause();
      // A pipe that stays open must not keep the program running.
      input.unref?.();
    },
  };
}

function parseLine(line: string): SittingCommand | undefined {
  const command = words[line.toLowerCase()];
  if (command !== undefined) return command;
  const [, word = "", text = ""] = /^(next|this|note)\s+(.+)$/i.exec(line) ?? [];
  if (text === "") return undefined;
  if (word.toLowerCase() === "note") return { do: "note", text };
  return word.toLowerCase() === "next" ? { do: "next", path: text } : { do: "assign", path: text };
}

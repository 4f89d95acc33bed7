import { writeFileSync } from "node:fs";
import { join } from "node:path";

/**
 * A player and a recorder as an operating system has them, with a wire between: the recorder writes
 * what the player plays as time passes, noise before and after, until it is interrupted. Both are
 * programs of their own.
 */
export interface SoundPrograms {
  /** As `audio` in desk.yaml wants them. */
  readonly play: readonly string[];
  readonly record: readonly string[];
}

/** What a program does instead of working. */
export interface Misbehaviour {
  /** The device is in use: the recorder says so and ends at once. */
  readonly busy?: true;
  /** The recorder ends by itself after so many seconds of recording. */
  readonly diesAfterS?: number;
  /** What is played comes back at another gain. */
  readonly gain?: number;
}

/** RIFF chunk by its name. */
const findChunk = `function chunk(bytes, name) {
  for (let at = 12; at + 8 <= bytes.length; ) {
    const length = bytes.readUInt32LE(at + 4);
    if (bytes.toString("latin1", at, at + 4) === name) return bytes.subarray(at + 8, at + 8 + length);
    at += 8 + length + (length % 2);
  }
}`;

/**
 * Writes the two programs into a folder.
 *
 * @param speed so many times faster than real time
 */
export function writeSoundPrograms(
  folder: string,
  speed: number,
  { busy, diesAfterS = 1e9, gain = 0.5 }: Misbehaviour = {},
): SoundPrograms {
  const wire = join(folder, "wire.json");
  const player = join(folder, "player.mjs");
  const recorder = join(folder, "recorder.mjs");
  writeFileSync(
    player,
    `import { readFileSync, rmSync, writeFileSync } from "node:fs";
const file = process.argv[2];
const bytes = readFileSync(file);
const seconds = chunk(bytes, "data").length / chunk(bytes, "fmt ").readUInt32LE(8);
${findChunk}
writeFileSync(${JSON.stringify(wire)}, JSON.stringify({ file, at: Date.now() }));
setTimeout(() => rmSync(${JSON.stringify(wire)}), (1000 * seconds) / ${speed} + 100);
`,
  );
  writeFileSync(
    recorder,
    `import { closeSync, openSync, readFileSync, writeSync } from "node:fs";
const [file, rateText] = process.argv.slice(2);
const rate = Number(rateText);
if (${busy === true}) {
  process.stderr.write("device or resource busy\\n");
  process.exit(1);
}
const fd = openSync(file, "w");
function header(bytes) {
  const head = Buffer.alloc(44);
  head.write("RIFF", 0); head.writeUInt32LE((36 + bytes) >>> 0, 4); head.write("WAVEfmt ", 8);
  head.writeUInt32LE(16, 16); head.writeUInt16LE(1, 20); head.writeUInt16LE(1, 22);
  head.writeUInt32LE(rate, 24); head.writeUInt32LE(3 * rate, 28);
  head.writeUInt16LE(3, 32); head.writeUInt16LE(24, 34);
  head.write("data", 36); head.writeUInt32LE(bytes, 40);
  return head;
}
writeSync(fd, header(0));
const began = Date.now();
let frames = 0;
let played;
let seed = process.pid;
const random = () => (seed = (seed * 1103515245 + 12345) % 2147483648) / 1073741824 - 1;
function more() {
  const until = Math.round(((Date.now() - began) / 1000) * ${speed} * rate);
  if (until <= frames) return;
  try {
    const { file: name, at } = JSON.parse(readFileSync(${JSON.stringify(wire)}, "utf8"));
    if (played?.at !== at) {
      const bytes = readFileSync(name);
      const data = chunk(bytes, "data");
      const width = chunk(bytes, "fmt ").readUInt16LE(14) / 8;
      const count = Math.floor(data.length / width);
      const full = 2 ** (8 * width - 1);
      const samples = Float64Array.from({ length: count }, (_, n) => data.readIntLE(width * n, width) / full);
      played = { at, first: Math.max(frames, Math.round(((at - began) / 1000) * ${speed} * rate)), samples };
    }
  } catch {}
  const out = Buffer.alloc(3 * (until - frames));
  for (let n = frames; n < until; n++) {
    const one = ${gain} * (played?.samples[n - played.first] ?? 0) + 1e-5 * random();
    out.writeIntLE(Math.max(-8388608, Math.min(8388607, Math.round(8388608 * one))), 3 * (n - frames), 3);
  }
  writeSync(fd, out, 0, out.length, 44 + 3 * frames);
  frames = until;
  if (frames > ${diesAfterS} * rate) process.exit(1);
}
${findChunk}
const timer = setInterval(more, 20);
process.on("SIGINT", () => {
  clearInterval(timer);
  more();
  writeSync(fd, header(3 * frames), 0, 44, 0);
  closeSync(fd);
  process.exit(0);
});
`,
  );
  return {
    play: [process.execPath, player, "{file}"],
    record: [process.execPath, recorder, "{file}", "{rate}"],
  };
}

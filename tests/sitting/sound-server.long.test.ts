import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Round } from "../../src/history/types.js";
import { encodeCaptureWav } from "../../src/signal/signal-wav.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";
import {
  cutoffHz,
  has,
  hasFilter,
  type SoundServer,
  startPipewire,
  startPulse,
} from "./sound-servers.js";

// Sound servers without hardware play and record in real time; in PulseAudio's way there is a filter
// that nobody here wrote. Expected: the filter's own frequency, and a wire that changes nothing.

const launcher = new URL("../../bin/deskround.js", import.meta.url).pathname;
// Where CI installs them, a test that does not find them fails.
const isRequired = process.env.CI_SOUND === "required";
const hasPulse = has("pulseaudio") && has("paplay") && hasFilter();

interface Event {
  readonly kind: string;
  readonly answer?: { readonly path: string; readonly standing: string };
  readonly chain?: { readonly instead?: string };
  readonly round?: string;
}

/** A desk in the server's folder, with these programs. */
function newDesk({ home, env }: SoundServer, name: string, audio: string): string {
  const desk = join(home, name);
  mkdirSync(desk);
  const text = `name: The sound desk\nmains: 50\nstrips: 1-3\ninputs:\n  line:\n    nominal: 4\n    setup: Line selected.\naudio: ${audio}\n`;
  writeFileSync(join(desk, "desk.yaml"), text);
  run(desk, env, ["signal", "--profile", "quick"]);
  return desk;
}

function run(desk: string, env: NodeJS.ProcessEnv, args: readonly string[]) {
  const words = [launcher, ...args, "--desk", "."];
  return spawnSync(process.execPath, words, { cwd: desk, env, encoding: "utf8" });
}

describe.runIf(hasPulse || isRequired)("with PulseAudio", { retry: 1 }, () => {
  let server: SoundServer;
  let noise: ChildProcess | undefined;

  beforeAll(async () => {
    server = await startPulse();
    // What a desk adds: without it two plays are the same to the sample, as no two plays of one are.
    const next = gaussian(5);
    const block = makeSamples(17 * 48_000, () => 3e-5 * next());
    const hiss = makeSamples(240 * 48_000, (n) => block[n % block.length]);
    const file = join(server.home, "hiss.wav");
    writeFileSync(file, encodeCaptureWav(hiss, 48_000, "int24"));
    noise = spawn("paplay", ["--device=desk", file], { env: server.env, stdio: "ignore" });
  });

  afterAll(async () => {
    noise?.kill();
    await server.stop();
  });

  it("says which program is not installed", () => {
    const audio = '{ play: [no-such-player, "{file}"], record: pulse, input: desk.monitor }';
    const desk = newDesk(server, `none-${Date.now()}`, audio);
    const { stderr, status } = run(desk, server.env, ["listen", "--try"]);
    expect(stderr).toMatch(
      /no-such-player, which should play, cannot be started: it is not installed\./,
    );
    expect(status).toBe(2);
  });

  it("plays, records and answers each path, and stores the round", async () => {
    const audio = "{ play: pulse, record: pulse, output: strip, input: desk.monitor }";
    const desk = newDesk(server, `play-${Date.now()}`, audio);
    const words = [launcher, "listen", "--play", "--json", "--desk", "."];
    const child = spawn(process.execPath, words, { cwd: desk, env: server.env });
    const events: Event[] = [];
    const say = (line: string) => child.stdin.write(`${line}\n`);
    let rest = "";
    say("muted");
    child.stdout.on("data", (data: Buffer) => {
      const lines = (rest + data.toString("utf8")).split("\n");
      rest = lines.pop() ?? "";
      for (const line of lines) {
        const event: Event = JSON.parse(line);
        events.push(event);
        // A machine that is too busy breaks the sound off: what was not heard whole is played again.
        if (event.chain?.instead !== undefined) say("play");
        if (["refused", "cut", "nothing-came"].includes(event.kind)) say("play");
        if (event.kind === "answer" && event.answer?.standing === "unusable") {
          say("again");
          say("play");
        } else if (event.kind === "answer" && event.answer !== undefined) {
          say(event.answer.path === "3/line" ? "end" : "play");
        }
      }
    });
    const code = await new Promise((resolve) => child.once("close", resolve));
    // An answer that is compared again with more siblings is none of its own.
    const answers = events.flatMap(({ kind, answer }) => (kind === "answer" ? (answer ?? []) : []));
    expect(
      answers
        .filter(({ standing }) => standing !== "unusable")
        .map(({ path, standing }) => [path, standing]),
    ).toEqual([
      ["1/line", "unjudged"],
      ["2/line", "alike"],
      ["3/line", "alike"],
    ]);
    expect(code).toBe(0);
    const id = events.find(({ kind }) => kind === "ended")?.round;
    const round = JSON.parse(readFileSync(join(desk, "rounds", `${id}.json`), "utf8")) as Round;
    // Half the power of that at 1 kHz, of a first-order low-pass: 1 + (f/fc)² = 2·(1 + (1000/fc)²).
    const cornerHz = cutoffHz * Math.sqrt(2 * (1 + (1000 / cutoffHz) ** 2) - 1);
    for (const { readings } of round.paths) {
      expect(readings.cornerHigh.value / cornerHz).toBeCloseTo(1, 1);
    }
  });

  // Through ALSA's plugin for the server, and with the devices of its own name.
  it.each([
    ["pulse", ["paplay", "parecord"], "output: strip, input: desk.monitor", {}],
    ["alsa", ["aplay", "arecord"], "output: strip, input: monitor", {}],
    ["sox", ["sox"], "output: strip, input: monitor", { AUDIODRIVER: "alsa" }],
    ["sox", ["sox"], "output: strip, input: desk.monitor", { AUDIODRIVER: "pulseaudio" }],
  ])("finds the chain sound with the programs of %s", (entry, programs, devices, more) => {
    const missing = programs.filter((program) => !has(program));
    if (missing.length > 0 && !isRequired) return;
    const audio = `{ play: ${entry}, record: ${entry}, ${devices} }`;
    const desk = newDesk(server, `try-${entry}-${Date.now()}`, audio);
    const { stdout, stderr, status } = run(desk, { ...server.env, ...more }, ["listen", "--try"]);
    expect(stderr + stdout).toContain("The chain is in order.");
    expect(status).toBe(0);
  });
});

const hasPipewire = ["pipewire", "wireplumber", "pw-play", "dbus-run-session"].every(has);

describe.runIf(hasPipewire || isRequired)("with PipeWire", { retry: 1 }, () => {
  it("finds the chain sound, and nothing lost on the way", async () => {
    const server = await startPipewire();
    try {
      const audio = "{ play: pipewire, record: pipewire, output: desk, input: desk }";
      const desk = newDesk(server, "desk", audio);
      const { stdout, stderr, status } = run(desk, server.env, ["listen", "--try"]);
      expect(stderr + stdout).toMatch(/The chain is in order\..* [+−]0\.0 dB of what was sent/);
      expect(status).toBe(0);
    } finally {
      await server.stop();
    }
  });
});

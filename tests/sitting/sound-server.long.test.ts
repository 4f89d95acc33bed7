import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { encodeCaptureWav } from "../../src/signal/signal-wav.js";
import { gaussian } from "../helpers/noise.js";

// A sound server without hardware plays and records in real time, through a filter of the LADSPA
// SDK: an exponential low-pass of one pole, whose −3 dB point is the frequency that it is given.

const launcher = new URL("../../bin/deskround.js", import.meta.url).pathname;
const cutoffHz = 2000;
const isThere =
  spawnSync("pulseaudio", ["--version"]).status === 0 &&
  spawnSync("paplay", ["--version"]).status === 0;
const hasFilter = isThere && readdirIfThere("/usr/lib/ladspa").includes("filter.so");
// Where CI installs them, a test that does not find them fails.
const isRequired = process.env.CI_SOUND === "required";

function readdirIfThere(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

// Sound in real time breaks off where a machine is busy: what was spoilt is played again.
describe.runIf(hasFilter || isRequired)("with a sound server", { retry: 3 }, () => {
  const home = mkdtempSync(join(tmpdir(), "sound-"));
  const desk = join(home, "desk");
  const env = { ...process.env, XDG_RUNTIME_DIR: home, NO_COLOR: "1" };
  let server: ChildProcess | undefined;
  let noise: ChildProcess | undefined;

  beforeAll(async () => {
    const script = join(home, "server.pa");
    writeFileSync(
      script,
      [
        "load-module module-native-protocol-unix",
        "load-module module-null-sink sink_name=desk rate=48000 format=float32le channels=1 channel_map=mono",
        `load-module module-ladspa-sink sink_name=strip sink_master=desk plugin=filter label=lpf control=${cutoffHz}`,
        "",
      ].join("\n"),
    );
    const options = ["--daemonize=no", "--exit-idle-time=-1", "-n", "-F", script];
    server = spawn("pulseaudio", options, { env, stdio: "ignore" });
    for (let k = 0; k < 100; k++) {
      if (spawnSync("pactl", ["info"], { env }).status === 0) break;
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    const next = gaussian(5);
    const hiss = Float64Array.from({ length: 180 * 48_000 }, () => 3e-5 * next());
    const file = join(home, "hiss.wav");
    writeFileSync(file, encodeCaptureWav(hiss, 48_000, "float32"));
    // What a desk adds: without it two plays are the same to the sample, as no two plays of one are.
    noise = spawn("paplay", ["--device=desk", file], { env, stdio: "ignore" });
    spawnSync("mkdir", ["-p", desk]);
    writeFileSync(
      join(desk, "desk.yaml"),
      [
        "name: The sound desk",
        "mains: 50",
        "strips: 1-3",
        "inputs:",
        "  line:",
        "    nominal: 4",
        "    setup: Line selected.",
        "audio: { play: pulse, record: pulse, output: strip, input: desk.monitor }",
        "",
      ].join("\n"),
    );
    run(["signal", "--profile", "quick"]);
  });

  afterAll(() => {
    noise?.kill();
    server?.kill();
    rmSync(home, { recursive: true, force: true });
  });

  function run(args: readonly string[]) {
    return spawnSync(process.execPath, [launcher, ...args, "--desk", "."], {
      cwd: desk,
      env,
      encoding: "utf8",
    });
  }

  it("says that a chain is sound before a round", () => {
    const { stdout, status } = run(["listen", "--try"]);
    expect(stdout).toContain("The chain is sound.");
    expect(status).toBe(0);
  });

  it("says which program is not installed", () => {
    const text = readFileSync(join(desk, "desk.yaml"), "utf8");
    writeFileSync(
      join(desk, "desk.yaml"),
      text.replace("play: pulse", 'play: [no-such-player, "{file}"]'),
    );
    const { stderr, status } = run(["listen", "--try"]);
    writeFileSync(join(desk, "desk.yaml"), text);
    expect(stderr).toMatch(
      /no-such-player, which is to play, cannot be started: it is not installed\./,
    );
    expect(status).toBe(2);
  });
});

import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readMornings } from "../../src/history/morning-log.js";

// A sound server without hardware plays a multichannel file in real time and is recorded from its
// monitor, channel by channel. Its volume is cubic: 80 % are 60·lg 0.8 = −5.81 dB (PulseAudio,
// pa_sw_volume_to_dB).

const launcher = new URL("../../bin/deskround.js", import.meta.url).pathname;
const isThere =
  spawnSync("pulseaudio", ["--version"]).status === 0 &&
  spawnSync("paplay", ["--version"]).status === 0;
const isRequired = process.env.CI_SOUND === "required";

// Sound in real time breaks off where a machine is busy: what was spoilt is played again.
describe.runIf(isThere || isRequired)("a multichannel file on a sound server", { retry: 3 }, () => {
  const home = mkdtempSync(join(tmpdir(), "sound-"));
  const env = { ...process.env, XDG_RUNTIME_DIR: home, NO_COLOR: "1" };
  let server: ChildProcess | undefined;

  beforeAll(async () => {
    const script = join(home, "server.pa");
    writeFileSync(
      script,
      [
        "load-module module-native-protocol-unix",
        "load-module module-null-sink sink_name=desk rate=48000 format=float32le channels=4 channel_map=aux0,aux1,aux2,aux3",
        "",
      ].join("\n"),
    );
    const options = ["--daemonize=no", "--exit-idle-time=-1", "-n", "-F", script];
    server = spawn("pulseaudio", options, { env, stdio: "ignore" });
    for (let k = 0; k < 100; k++) {
      if (spawnSync("pactl", ["info"], { env }).status === 0) break;
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
  });
  afterAll(() => {
    server?.kill();
    rmSync(home, { recursive: true, force: true });
  });

  it("comes back output by output on as many channels", () => {
    const desk = join(home, `desk ${Date.now()}`);
    mkdirSync(desk);
    writeFileSync(
      join(desk, "desk.yaml"),
      [
        "name: The Quillmere desk",
        "mains: 50",
        "strips: 1-4",
        "inputs:",
        "  tape: { nominal: 4 }",
        "outputs: [1-4/tape]",
        "channels: 1-4",
        "audio: { play: pulse, record: pulse, output: desk, input: desk.monitor, channels: 4 }",
        "",
      ].join("\n"),
    );
    const morning = () =>
      spawnSync(process.execPath, [launcher, "morning", "--desk", desk, "--play"], {
        env,
        encoding: "utf8",
      });
    const volumes = (...percent: number[]) =>
      spawnSync("pactl", ["set-sink-volume", "desk", ...percent.map((one) => `${one}%`)], { env });
    volumes(100, 100, 100, 100);
    const first = morning();
    expect([first.status, first.stdout]).toEqual([0, expect.stringMatching(/Not checked/)]);
    expect(first.stdout).toMatch(/^First good day: 4 wired paths measured/);
    volumes(100, 100, 80, 100);
    const second = morning();
    expect(second.status).toBe(1);
    expect(second.stdout).toMatch(
      /^Not as on \d{4}-\d\d-\d\d: 3\/tape level 5\.8 dB down\.\nNot checked: .*\n$/,
    );
    const { paths } = readMornings(desk).entries[1];
    expect(paths["3/tape"].gain).toBeCloseTo(60 * Math.log10(0.8), 1);
    for (const path of ["1/tape", "2/tape", "4/tape"]) {
      expect(paths[path].gain, path).toBeCloseTo(0, 2);
    }
  });
});

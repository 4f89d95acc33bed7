import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** A sound server without hardware, in a folder and with settings of its own. */
export interface SoundServer {
  readonly home: string;
  /** What its clients want in their environment. */
  readonly env: NodeJS.ProcessEnv;
  readonly stop: () => Promise<void>;
}

/** −3 dB point of the filter in PulseAudio's way, Hz. */
export const cutoffHz = 2000;

export function has(program: string): boolean {
  return spawnSync(program, ["--version"], { stdio: "ignore" }).error === undefined;
}

export function hasFilter(): boolean {
  try {
    return readdirSync("/usr/lib/ladspa").includes("filter.so");
  } catch {
    return false;
  }
}

/**
 * Clients keep so much sound ahead, milliseconds. With the usual buffers sound breaks off when the
 * machine is busy for a tenth of a second, and what was played is lost.
 */
const aheadMs = 1500;

/**
 * PulseAudio with a sink `desk`, whose monitor is recorded, and a sink `strip` before it with a filter
 * of the LADSPA SDK: an exponential low-pass of one pole.
 */
export async function startPulse(): Promise<SoundServer> {
  const home = mkdtempSync(join(tmpdir(), "pulse-"));
  const env = serverEnv(home, { PULSE_LATENCY_MSEC: String(aheadMs) });
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
  // ALSA's programs and those that use it reach the server through its plugin.
  writeFileSync(
    join(home, ".asoundrc"),
    "pcm.strip { type pulse device strip }\npcm.monitor { type pulse device desk.monitor }\n",
  );
  const server = startServer(
    "pulseaudio",
    ["--daemonize=no", "--exit-idle-time=-1", "-n", "-F", script],
    env,
  );
  await until(() => spawnSync("pactl", ["info"], { env, stdio: "ignore" }).status === 0);
  return { home, env, stop: () => stopAll(home, [server]) };
}

/** PipeWire with a sink `desk`, and the session manager that joins clients with it. */
export async function startPipewire(): Promise<SoundServer> {
  const home = mkdtempSync(join(tmpdir(), "pipewire-"));
  const env = serverEnv(home, {});
  const config = join(home, "server.conf");
  const modules = [
    ...["protocol-native", "metadata", "spa-node-factory", "client-node", "client-device"],
    ...["access", "adapter", "link-factory", "session-manager"],
  ];
  writeFileSync(
    config,
    `context.properties = { default.clock.rate = 48000 default.clock.quantum = 4096 default.clock.min-quantum = 2048 core.daemon = true core.name = pipewire-0 mem.allow-mlock = false }
context.spa-libs = { audio.convert.* = audioconvert/libspa-audioconvert support.* = support/libspa-support }
context.modules = [ ${modules.map((name) => `{ name = libpipewire-module-${name} }`).join(" ")} ]
context.objects = [
  { factory = spa-node-factory args = { factory.name = support.node.driver node.name = Driver node.group = pipewire.dummy priority.driver = 20000 } }
  { factory = adapter args = { factory.name = support.null-audio-sink node.name = desk media.class = Audio/Sink object.linger = true audio.position = [ MONO ] audio.rate = 48000 node.pause-on-idle = false } }
]
`,
  );
  const server = startServer("pipewire", ["-c", config], env);
  await until(() => spawnSync("pw-cli", ["info", "0"], { env, stdio: "ignore" }).status === 0);
  const manager = startServer("dbus-run-session", ["--", "wireplumber"], env);
  await until(() => {
    const { stdout } = spawnSync("pw-metadata", [], { env, encoding: "utf8" });
    return /default\.(configured\.)?audio\.sink/.test(stdout);
  });
  return { home, env, stop: () => stopAll(home, [manager, server]) };
}

function serverEnv(home: string, more: NodeJS.ProcessEnv): NodeJS.ProcessEnv {
  const { PULSE_SERVER: _, AUDIODRIVER: __, ...rest } = process.env;
  return { ...rest, HOME: home, XDG_RUNTIME_DIR: home, NO_COLOR: "1", ...more };
}

/** In a process group of its own, so that what it starts ends with it; before others where that is allowed. */
function startServer(program: string, words: readonly string[], env: NodeJS.ProcessEnv) {
  const isRoot = process.getuid?.() === 0;
  const [command, ...args] = [...(isRoot ? ["nice", "-n", "-10"] : []), program, ...words];
  return spawn(command, args, { env, stdio: "ignore", detached: true });
}

/** Ends servers, and only then removes their folder: one that is still ending writes into it. */
async function stopAll(home: string, servers: readonly ChildProcess[]): Promise<void> {
  for (const server of servers) await stopGroup(server);
  rmSync(home, { recursive: true, force: true, maxRetries: 5 });
}

/** Asks a server and what it started to end, and ends by force what has not after some seconds. */
async function stopGroup({ pid }: ChildProcess): Promise<void> {
  if (pid === undefined) return;
  const send = (signal: NodeJS.Signals | 0): boolean => {
    try {
      return process.kill(-pid, signal);
    } catch {
      return false;
    }
  };
  if (!send("SIGTERM")) return;
  await until(() => !send(0), 50);
  if (send("SIGKILL")) await until(() => !send(0), 50);
}

/** Waits until something holds, at most so many tenths of a second. */
async function until(holds: () => boolean, tenths = 150): Promise<void> {
  for (let k = 0; k < tenths; k++) {
    if (holds()) return;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

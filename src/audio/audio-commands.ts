import type { AudioProgram, AudioSetup } from "../desk/audio.js";

/** A program to start without a shell, so that no argument is interpreted. */
export interface AudioCommand {
  readonly program: string;
  readonly words: readonly string[];
}

/** The format of a recording. */
export interface RecordingFormat {
  readonly file: string;
  readonly sampleRate: number;
}

/**
 * The command that plays a file to its end.
 *
 * @param channels channels of the file: several go to as many outputs in order, whatever
 * loudspeakers they are labelled for
 */
export function buildPlayCommand(
  { play, output }: AudioSetup,
  file: string,
  channels = 1,
  platform: NodeJS.Platform = process.platform,
): AudioCommand {
  if (typeof play !== "string") return ownCommand(play, { file, device: output ?? "" });
  const on = output === undefined ? [] : [output];
  switch (play) {
    case "alsa":
      return command("aplay", ["-q", ...on.flatMap((device) => ["-D", device]), file]);
    case "pipewire":
      return command("pw-play", [...on.flatMap((device) => ["--target", device]), file]);
    case "pulse":
      return command("paplay", [
        ...on.map((device) => `--device=${device}`),
        ...oneByOne(channels),
        file,
      ]);
    case "sox":
      if (output === undefined) return command("play", ["-q", file]);
      return command("sox", ["-q", file, "-t", soxDriver(platform), output]);
    case "ffmpeg":
      return command("ffplay", ["-nodisp", "-autoexit", "-loglevel", "error", file]);
  }
}

/**
 * The command that records until it is interrupted: 24 bits, WAV, without conversion by this
 * program.
 */
export function buildRecordCommand(
  { record, input, channels }: AudioSetup,
  { file, sampleRate }: RecordingFormat,
  platform: NodeJS.Platform = process.platform,
): AudioCommand {
  const [rate, count] = [String(sampleRate), String(channels)];
  if (typeof record !== "string") {
    return ownCommand(record, { file, device: input ?? "", rate, channels: count });
  }
  const from = input === undefined ? [] : [input];
  switch (record) {
    case "alsa":
      return command("arecord", [
        "-q",
        ...from.flatMap((device) => ["-D", device]),
        ...["-t", "wav", "-f", "S24_3LE", "-r", rate, "-c", count, file],
      ]);
    case "pipewire":
      return command("pw-record", [
        ...from.flatMap((device) => ["--target", device]),
        ...["--rate", rate, "--channels", count, "--format", "s24", file],
      ]);
    case "pulse":
      return command("parecord", [
        ...from.map((device) => `--device=${device}`),
        ...["--file-format=wav", "--format=s24le", `--rate=${rate}`, `--channels=${count}`],
        ...oneByOne(channels),
        file,
      ]);
    case "sox":
      if (input === undefined) {
        return command("rec", ["-q", "-b", "24", "-r", rate, "-c", count, file]);
      }
      return command("sox", [
        ...["-q", "-r", rate, "-c", count, "-t", soxDriver(platform), input],
        ...["-b", "24", file],
      ]);
    case "ffmpeg":
      return command("ffmpeg", [
        ...["-loglevel", "error", "-nostdin", "-f", ffmpegSystem(platform)],
        ...["-i", input ?? "default", "-ar", rate, "-ac", count, "-c:a", "pcm_s24le", file],
      ]);
  }
}

/** Keeps a sound server from mixing channels by loudspeaker names. */
function oneByOne(channels: number): readonly string[] {
  return channels > 2 ? ["--no-remap", "--no-remix"] : [];
}

/** The package with each known program, for the message that it is missing. */
export const programPackages: Readonly<Record<AudioProgram, string>> = {
  alsa: "alsa-utils",
  pipewire: "pipewire's own tools",
  pulse: "pulseaudio-utils",
  sox: "sox",
  ffmpeg: "ffmpeg",
};

function ffmpegSystem(platform: NodeJS.Platform): string {
  if (platform === "darwin") return "avfoundation";
  return platform === "win32" ? "dshow" : "alsa";
}

/**
 * With `AUDIODEV` sox tests a device by playing on it, which a recording device refuses, so a named
 * device is given with its driver (sox(1), soxformat(7)).
 */
function soxDriver(platform: NodeJS.Platform): string {
  const { AUDIODRIVER } = process.env;
  if (AUDIODRIVER !== undefined && AUDIODRIVER !== "") return AUDIODRIVER;
  if (platform === "darwin") return "coreaudio";
  return platform === "win32" ? "waveaudio" : "alsa";
}

function command(program: string, words: readonly string[]): AudioCommand {
  return { program, words };
}

function ownCommand(
  own: readonly string[],
  values: Readonly<Record<string, string>>,
): AudioCommand {
  const [program = "", ...words] = own.map((word) =>
    word.replace(/\{(\w+)\}/g, (all, name: string) => values[name] ?? all),
  );
  return { program, words };
}

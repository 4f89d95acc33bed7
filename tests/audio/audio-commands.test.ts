import { describe, expect, it } from "vitest";
import { buildPlayCommand, buildRecordCommand } from "../../src/audio/audio-commands.js";
import type { AudioSetup } from "../../src/desk/audio.js";

// Expected: the options as the manual pages have them: aplay(1), pw-cat(1), pacat(1), sox(1),
// ffplay(1) and ffmpeg(1). All of them were run against a sound server on Linux.

const plain: AudioSetup = { play: "sox", record: "sox", channels: 1 };
const line = ({ program, words }: ReturnType<typeof buildPlayCommand>) =>
  [program, ...words].join(" ");
const plays = (setup: Partial<AudioSetup>, platform: NodeJS.Platform = "linux") =>
  line(buildPlayCommand({ ...plain, ...setup }, "s.wav", 1, platform));
const records = (setup: Partial<AudioSetup>, platform: NodeJS.Platform = "linux") =>
  line(buildRecordCommand({ ...plain, ...setup }, { file: "r.wav", sampleRate: 48_000 }, platform));

describe("commands that play and record", () => {
  it("leave the device to the system where none is named", () => {
    expect(plays({ play: "alsa" })).toBe("aplay -q s.wav");
    expect(plays({ play: "sox" })).toBe("play -q s.wav");
    expect(records({ record: "alsa" })).toBe("arecord -q -t wav -f S24_3LE -r 48000 -c 1 r.wav");
    expect(records({ record: "sox" })).toBe("rec -q -b 24 -r 48000 -c 1 r.wav");
  });

  it("name the device in each program's way", () => {
    expect(plays({ play: "alsa", output: "hw:1" })).toBe("aplay -q -D hw:1 s.wav");
    expect(plays({ play: "pulse", output: "out" })).toBe("paplay --device=out s.wav");
    expect(plays({ play: "pipewire", output: "out" })).toBe("pw-play --target out s.wav");
    expect(records({ record: "pulse", input: "in" })).toBe(
      "parecord --device=in --file-format=wav --format=s24le --rate=48000 --channels=1 r.wav",
    );
    expect(records({ record: "ffmpeg", input: "in" })).toBe(
      "ffmpeg -loglevel error -nostdin -f alsa -i in -ar 48000 -ac 1 -c:a pcm_s24le r.wav",
    );
  });

  it("give sox a named device with the driver of its system", () => {
    const before = process.env.AUDIODRIVER;
    delete process.env.AUDIODRIVER;
    try {
      expect(plays({ output: "hw:1" })).toBe("sox -q s.wav -t alsa hw:1");
      expect(plays({ output: "Desk" }, "darwin")).toBe("sox -q s.wav -t coreaudio Desk");
      expect(records({ input: "0", channels: 2 }, "win32")).toBe(
        "sox -q -r 48000 -c 2 -t waveaudio 0 -b 24 r.wav",
      );
      process.env.AUDIODRIVER = "pulseaudio";
      expect(plays({ output: "out" })).toBe("sox -q s.wav -t pulseaudio out");
    } finally {
      if (before === undefined) delete process.env.AUDIODRIVER;
      else process.env.AUDIODRIVER = before;
    }
  });

  it("put file, device, rate and channels into a command of one's own", () => {
    const own = ["rec tool", "--from={device}", "{rate}", "{channels}", "{file}", "{other}"];
    expect(
      buildRecordCommand({ ...plain, record: own, input: "x" }, { file: "a b.wav", sampleRate: 8 }),
    ).toEqual({ program: "rec tool", words: ["--from=x", "8", "1", "a b.wav", "{other}"] });
  });
});

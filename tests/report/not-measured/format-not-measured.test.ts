import { describe, expect, it } from "vitest";
import type { NothingBack, NotMeasured } from "../../../src/not-measured.js";
import { formatHeard } from "../../../src/report/not-measured/format-heard.js";
import { formatNoReturn } from "../../../src/report/not-measured/format-no-return.js";
import { formatNotMeasured } from "../../../src/report/not-measured/format-not-measured.js";
import { formatHeardAdvice } from "../../../src/report/not-measured/heard-advice.js";

describe("why a path was not measured", () => {
  const cut = { there: 3000, promised: 90_000, unit: "bytes" } as const;
  const silence = { code: "silence", peakDbfs: -90.4 } as const;
  const cases: readonly (readonly [NotMeasured, string])[] = [
    [
      { code: "nothing-back", heard: { code: "trace", levelDb: -41.7 } },
      "nothing of the signal came back (only a trace, −42 dB of what was sent)",
    ],
    [
      { code: "cut-short", cut, heard: silence },
      "its recording was cut short, with 3000 of the 90000 bytes of samples left; copy it again from the recorder, or record it again",
    ],
    // 300 samples at 48 kHz are 300/48 = 6.25 ms, in two figures.
    [
      { code: "slip", samples: -300, sampleRate: 48_000, between: [2.1, 2.16] },
      "the recorder lost about 300 samples (6.3 ms) 2.13 s into the signal; record it again",
    ],
    // 5000 millionths are 0.5 %.
    [
      { code: "other-speed", longerPpm: -5000 },
      "the whole return runs 0.50 % faster than the signal, more than clocks differ; play and record at the signal's own sample rate, without conversion, and record it again",
    ],
    [
      { code: "dropout", what: "held", samples: 1, between: [1, 2.5], more: 2 },
      "the recorder held one value for 1 sample between 1.0 s and 2.5 s of the signal, and 2 more times; close other programs, give the interface a larger buffer and record it again",
    ],
    [
      { code: "dropout", what: "repeated", samples: 31, between: [1, 1.01], more: 0 },
      "the recorder repeated 31 samples 1.00 s into the signal; let both machines run on one clock, close other programs and record it again",
    ],
    [
      { code: "unreadable", because: { code: "converter-clipped" }, clipped: { fromS: 2 } },
      "the converter clipped from 2.00 s of the signal on; turn down the interface's input and record it again",
    ],
    [
      {
        code: "copy-of-path",
        of: [
          { path: "2/mic", file: "02.wav" },
          { path: "3/mic", channel: 1 },
        ],
      },
      "identical to the sample with 2/mic in 02.wav, 3/mic on channel 2: one is a copy, or one output was recorded as two; record it again",
    ],
  ];

  it.each(cases)("%j", (why, words) => {
    expect(formatNotMeasured(why)).toBe(words);
  });

  it("is the cut before all else, where a file ends too early", () => {
    expect(formatNoReturn("a.wav", { heard: silence, cut })).toBe(
      "a.wav: was cut short while recording or copying: it holds 3000 of the 90000 bytes of samples that its header promises, and no whole return. What it holds is silence, nothing above −90 dBFS.",
    );
    expect(formatNoReturn("a.wav", { heard: silence })).toBe(
      "a.wav: no return was found; what was heard is silence, nothing above −90 dBFS.",
    );
  });

  it("comes with advice that fits what was heard", () => {
    const heard: readonly NothingBack[] = [
      { code: "clipped", share: 0.123 },
      { code: "too-low", peakDbfs: -60 },
    ];
    expect(heard.map(formatHeard)).toEqual([
      "a clipped signal, 12 % of its samples at full scale",
      "a level far too low, nothing above −60 dBFS",
    ]);
    expect(formatHeardAdvice({ code: "clipped", share: 0.1 })).toMatch(/^Turn down/);
    expect(formatHeardAdvice({ code: "too-low", peakDbfs: -60 })).toMatch(/^Turn up/);
  });
});

import { rmSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import { readDesk } from "../../../src/desk/read/read-desk.js";
import {
  renderPanel,
  type SittingPanel,
  updatePanel,
} from "../../../src/report/sitting/sitting-panel.js";
import { buildNextPatch } from "../../../src/service/run-sheet.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import type { SittingEvent } from "../../../src/sitting/sitting-events.js";
import { newDesk } from "../../jobs/recordings.js";

const style = { colour: "none", width: 80 } as const;
const blank: SittingPanel = { isPaused: false, sound: "by-hand" };
const folder = newDesk(3);
const desk = readDesk(folder);
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const turn: SittingEvent = {
  kind: "turn",
  turn: { path: "2/mic", done: 1, wanted: 3, patch: buildNextPatch(desk, desk.paths[1]) },
};
const now = {
  file: "evening.wav",
  sampleRate: 48_000,
  atS: 75,
  peakDbfs: -18.2,
  rmsDbfs: -21,
  atFullScale: 0,
};

function show(events: readonly SittingEvent[], typed?: string, width = 80, rows = 24) {
  return renderPanel(events.reduce(updatePanel, blank), typed, { ...style, width }, rows);
}

describe("the foot of the terminal in a sitting", () => {
  it("names the next path and how to set it, what is heard, and the keys", () => {
    const { segments } = buildSignalTable("standard", "base");
    const lines = show([turn, { kind: "now", now, segment: segments[2], share: 0.5 }]);
    expect(lines[0]).toMatch(/^Next 2\/mic \(2 of 3\): strip 2, mic socket, /);
    expect(lines.at(-2)).toBe("1:15  ##########..........  sweep, peak −18 dBFS");
    expect(lines.at(-1)).toMatch(/^a again {2}s skip {2}0 silent /);
  });

  it.each(["quick", "standard", "full"] as const)(
    "has a word for every part of the %s signal",
    (profile) => {
      for (const segment of buildSignalTable(profile, "base").segments) {
        const line = show([{ kind: "now", now, segment, share: 0.5 }]).at(-2);
        expect(line).toMatch(
          /\.\. {2}(start marker|end marker|silence|sweep|1 kHz tone|100 Hz tone|twin tone|level steps), peak −18 dBFS$/,
        );
      }
    },
  );

  it("says that it clips, that nothing is heard, that nothing comes", () => {
    const last = (event: SittingEvent) => show([turn, event]).at(-2);
    expect(last({ kind: "now", now: { ...now, atFullScale: 3 } })).toContain("CLIPS");
    expect(last({ kind: "now", now: { ...now, peakDbfs: Number.NEGATIVE_INFINITY } })).toBe(
      "1:15  no signal: waiting for its start marker, digital silence",
    );
    expect(last({ kind: "idle", forS: 1, recorder: "open" })).toMatch(/there is no recording yet/);
    const idle = { kind: "idle", file: "evening.wav", forS: 12.3 } as const;
    expect(last({ ...idle, recorder: "open" })).toBe("Nothing new in evening.wav for 12 s.");
    expect(last({ ...idle, recorder: "closed" })).toContain("evening.wav is closed.");
  });

  it("shows what is typed in place of the keys, and that it pauses", () => {
    const lines = show([turn, { kind: "done", command: "pause" }], "note: stiff");
    expect(lines[0]).toMatch(/^PAUSED/);
    expect(lines.at(-1)).toBe("note: stiff");
    expect(show([turn, { kind: "done", command: "resume" }])[0]).toMatch(/^Next/);
  });

  it("says what the program plays", () => {
    const plays = (events: readonly SittingEvent[]) =>
      renderPanel(
        events.reduce(updatePanel, { ...blank, sound: "plays" }),
        undefined,
        style,
        24,
      ).at(-2);
    expect(plays([turn])).toBe("Ready: Enter plays the signal.");
    const soft: SittingEvent = { kind: "sound", what: "soft", path: "2/mic" };
    expect(plays([turn, soft])).toMatch(/^Playing softly/);
    expect(plays([turn, soft, { ...soft, what: "signal" }])).toBe("Playing into 2/mic.");
    expect(plays([turn, soft, { ...soft, what: "over" }])).toMatch(/^Ready/);
  });

  it.each([
    [80, 24],
    [40, 10],
    [20, 5],
  ])("fits %s columns and %s rows", (width, rows) => {
    const lines = show(
      [turn, { kind: "now", now: { ...now, atFullScale: 2 } }],
      undefined,
      width,
      rows,
    );
    for (const line of lines) expect(line.length).toBeLessThan(width);
    expect(lines.length).toBeLessThan(rows);
  });
});

import { describe, expect, it } from "vitest";
import { planPasses } from "../../src/desk/passes.js";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { makePassSheet } from "../../src/jobs/pass-signal.js";
import { formatDangerReminder } from "../../src/report/danger.js";
import { getSheetFormat } from "../../src/report/sheet/form.js";
import type { OpenDanger } from "../../src/service/notebook/open-dangers.js";
import { buildRunSheet } from "../../src/service/run-sheet.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";

// That power stays off first: common practice of electrical safety, no source.

const desk = parseDesk(
  `name: House desk
mains: 50
strips: 2
inputs: { line: { nominal: 4 } }
outputs: 2
`,
  "desk.yaml",
);
const hot: OpenDanger = {
  note: "n2",
  date: "2031-03-14",
  strip: "2",
  words: "resistor hot",
  dangers: ["heat"],
};
const smoke: OpenDanger = {
  note: "n1",
  date: "2031-03-14",
  words: "smoke from the back",
  dangers: ["smoke"],
};

describe("a run sheet while a danger is open", () => {
  const table = buildSignalTable("quick", "base");
  const options = { sampleRate: 48_000, file: "a.wav" };
  const passes = (dangers: readonly OpenDanger[]) =>
    makePassSheet(desk, planPasses(desk, desk.paths), {
      profile: "quick",
      band: "base",
      sampleRate: 48_000,
      dangers,
    }).sheet;

  it.each(["sheet.txt", "sheet.md", "sheet.html"])(
    "says in %s before anything else to leave the power off",
    (name) => {
      const form = getSheetFormat(name);
      for (const render of [
        (dangers: readonly OpenDanger[]) =>
          form.render(buildRunSheet(desk, table, { ...options, dangers })),
        (dangers: readonly OpenDanger[]) => form.renderPasses(passes(dangers)),
      ]) {
        const page = render([hot, smoke]).replace(/\s+/g, " ");
        const at = page.search(/DANGER, strip 2: heat/);
        expect(at).toBeGreaterThan(0);
        expect(page.search(/DANGER, the desk: smoke/)).toBeGreaterThan(at);
        expect(page.search(/Mute the (control-room )?monitors/)).toBeGreaterThan(at);
        expect(page.slice(at)).toMatch(/switch off at the mains switch, pull the mains plug/);
        expect(render([])).not.toMatch(/DANGER/);
      }
    },
  );
});

describe("formatDangerReminder", () => {
  it("keeps the desk off while a strip is in, or altogether", () => {
    expect(formatDangerReminder([hot])).toMatch(
      /^Leave the power off while strip 2 is plugged in: n2: DANGER, strip 2/,
    );
    expect(formatDangerReminder([hot, { ...hot, strip: "5" }])).toMatch(
      /^Leave the power off while strip 2 or 5 is plugged in:/,
    );
    expect(formatDangerReminder([hot, smoke])).toMatch(/^Leave the power off: /);
  });
});

import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { renderPlan } from "../../../src/report/plan/text.js";
import { wordPlan } from "../../../src/report/plan/word-plan.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { makePlan } from "../../../src/service/plan/plan.js";

// A step stands where the desk is in the state of power that it needs: common practice, no source.

const desk = parseDesk(
  "name: The Quillmere desk\nmains: 50\nstrips: 8\ninputs:\n  mic: { nominal: -40 }\n",
  "desk.yaml",
);
const master = { section: "master", sectionKind: "master", text: "left side dull" };
const strip = { strip: "3", text: "fader scratchy" };

const print = (...notes: readonly object[]) => printFor(undefined, ...notes);

function printFor(hours: number | undefined, ...notes: readonly object[]) {
  const lines = notes.map((note, k) =>
    JSON.stringify({
      note: 1,
      id: `n${k + 1}`,
      date: "2031-03-14T12:00:00Z",
      kind: "fault",
      ...note,
    }),
  );
  const plan = makePlan({
    desk,
    round: undefined,
    notebook: parseNotebook(Buffer.from(`${lines.join("\n")}\n`), "notebook.jsonl"),
    done: new Map(),
    date: "2031-06-01",
    ...(hours === undefined ? {} : { hours }),
  });
  const text = renderPlan(wordPlan(plan), { colour: "none", width: 80 }).replace(/\s+/g, " ");
  const at = (words: string) => {
    expect(text).toContain(words);
    return text.indexOf(words);
  };
  return { text, at };
}

describe("the rest of the desk in a plan", () => {
  it("has numbered phases of its own where no strip comes out", () => {
    const { at, text } = print(master);
    const order = [
      "1 OF 7: WITHOUT OPENING THE DESK power ON, desk closed ! mute the monitors",
      "n1 2031-03-14",
      "BEFORE UNDOING A SCREW",
      "15 kHz tone: `deskround signal --tone 15000",
      // 60 minutes where desk.yaml does not say: docs/worklist.md.
      "2 OF 7: OPEN THE DESK, 60 MIN WITH CLOSING power OFF",
      "each must be below 1 V",
      "3 OF 7: MEASURE INSIDE, EVERY STRIP STILL IN ITS PLACE power ON, desk open and live",
      "master: high-frequency loss",
      "4 OF 7: AT THE SUPPLIES, BUSES AND THE REST OF THE DESK power OFF",
      "Check the wiring to the bus and the ribbon",
      "Before power goes on again",
      "5 OF 7: TRY IT BEFORE CLOSING THE DESK power ON, desk open and live",
      "6 OF 7: CLOSE THE DESK power OFF",
      "7 OF 7: THE FIRST HOUR power ON, desk closed",
    ].map(at);
    expect(order).toStrictEqual([...order].sort((a, b) => a - b));
    expect(text).not.toContain("marked `powered`");
    // To open, the work itself (35 min by the bench book): no strip is pulled.
    at("time about 1 h 35 min");
    printFor(1.5, master).at("time about 1 h 35 min, more than the 1.5 h at hand");
    printFor(2, master).at("time about 1 h 35 min of the 2 h at hand");
  });

  it("stays closed where nothing of it is worked on inside", () => {
    const { at, text } = print({ section: "automation", sectionKind: "automation", text: "dead" });
    at("WITHOUT OPENING THE DESK power ON, desk closed");
    for (const words of ["BEFORE UNDOING A SCREW", "OPEN THE DESK,", "1 OF"]) {
      expect(text).not.toContain(words);
    }
  });

  it("is measured and repaired with the strips where these come out too", () => {
    const { at, text } = print(master, strip);
    at("BEFORE ANY STRIP: SUPPLIES, BUSES AND THE REST OF THE DESK power ON, desk closed !");
    expect(at("now do only what is marked `in use`")).toBeLessThan(at("n1 2031-03-14"));
    const [inside, strips] = [at("MEASURE INSIDE"), at("AT THE STRIPS")];
    const live = at("Play a 15 kHz tone");
    expect(live).toBeGreaterThan(inside);
    expect(live).toBeLessThan(strips);
    expect(text.indexOf("Play a 15 kHz tone", live + 1)).toBe(-1);
    expect(at("master: what is marked `unplugged`")).toBeGreaterThan(strips);
  });

  it("has no input that could be at fault, and says how its steps are marked", () => {
    const bus = (text: string) => ({ section: "bus 5", sectionKind: "bus", text });
    const quiet = print(bus("level 2 dB low"), strip).text;
    expect(quiet).not.toContain("one leg of the balanced input");
    const ringing = print(bus("whistle"), strip);
    ringing.at("leave what is marked `bench` and the repair until “At the strips”");
    ringing.at("bus 5: what is marked `bench` under “Before any strip”, and the repair");
  });

  it("speaks of no power while a danger of the whole desk is open", () => {
    const smoke = { section: "supply", sectionKind: "supply", text: "smoke" };
    const { at, text } = print(smoke, master, strip);
    at(
      "BEFORE ANY STRIP: SUPPLIES, BUSES AND THE REST OF THE DESK ! leave what is marked `unplugged`",
    );
    at("and the repair until “At the strips”");
    for (const words of ["Measure inside", "MEASURE INSIDE", "`in use`", "15 kHz"]) {
      expect(text).not.toContain(words);
    }
  });

  it("asks for nothing of an opening where all is done from outside", () => {
    expect(print({ ...strip, text: "no hum any more" }).text).not.toContain(
      "BEFORE UNDOING A SCREW",
    );
  });
});

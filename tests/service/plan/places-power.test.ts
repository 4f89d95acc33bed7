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

function print(...notes: readonly object[]) {
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
  });
  const text = renderPlan(wordPlan(plan), { colour: "none", width: 80 }).replace(/\s+/g, " ");
  const at = (words: string) => {
    expect(text).toContain(words);
    return text.indexOf(words);
  };
  return { text, at };
}

describe("the rest of the desk in a plan", () => {
  it("has its cautions and tools first where no strip comes out", () => {
    const { at } = print(master);
    expect(at("BEFORE A SCREW IS TURNED")).toBeLessThan(at("HAVE READY"));
    expect(at("15 kHz tone: `deskround signal --tone 15000")).toBeLessThan(at("n1 2031-03-14"));
    at("what is marked `powered`: the desk is open and live");
    at("what is marked `unplugged`: only with the desk off");
    at("Before power goes on again");
  });

  it("is measured and mended with the strips where these come out too", () => {
    const { at, text } = print(master, strip);
    expect(at("do now only what is marked `in use`")).toBeLessThan(at("n1 2031-03-14"));
    const [inside, strips] = [at("MEASURE INSIDE"), at("AT THE STRIPS")];
    const live = at("Play a 15 kHz tone");
    expect(live).toBeGreaterThan(inside);
    expect(live).toBeLessThan(strips);
    expect(text.indexOf("Play a 15 kHz tone", live + 1)).toBe(-1);
    expect(at("master: what is marked `unplugged`")).toBeGreaterThan(strips);
  });

  it("speaks of no power while a danger of the whole desk is open", () => {
    const smoke = { section: "supply", sectionKind: "supply", text: "smoke" };
    const { at, text } = print(smoke, master, strip);
    at("what is marked `unplugged` and the repair wait for “At the strips”");
    for (const words of ["Measure inside", "MEASURE INSIDE", "`in use`", "15 kHz"]) {
      expect(text).not.toContain(words);
    }
  });

  it("asks for nothing of an opening where all is done from outside", () => {
    expect(print({ ...strip, text: "no hum any more" }).text).not.toContain("BEFORE A SCREW");
  });
});

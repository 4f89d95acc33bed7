import { describe, expect, it } from "vitest";
import { interpretNote } from "../../../src/service/plan/interpret-note.js";

// What a service engineer takes from such words (common practice, no source).

const read = (text: string, more: object = {}) =>
  interpretNote({
    line: {
      note: 1,
      id: "n1",
      date: "2031-03-14T12:00:00Z",
      kind: "fault",
      strip: "7",
      text,
      ...more,
    } as never,
  });
const faults = (text: string, more: object = {}) =>
  read(text, more).faults.map(({ control, symptom }) => `${control ?? "-"} ${symptom ?? "-"}`);

describe("a note of a danger", () => {
  it.each([
    ["fader intermittent", "fader intermittent", []],
    ["mains socket loose", "socket loose", []],
    ["socket stuck", "socket stuck", []],
    ["smell of burning, hums", "- hum", ["- hum"]],
    ["socket hums", "socket hum", ["socket hum"]],
  ])("beside %j keeps what is more than how it was noticed", (text, alone, inDanger) => {
    if (!text.includes("burning")) expect(faults(text)).toEqual([alone]);
    expect(faults(`${text}, smell of burning`)).toEqual(inDanger);
  });

  it("orders nothing, and is never in order", () => {
    const sure = (text: string) => read(text).faults.map(({ isSure }) => isSure);
    expect(sure("fader scratchy")).toEqual([true]);
    expect(sure("fader scratchy, smell of burning")).toEqual([false]);
    expect(read("no hum any more").isInOrder).toBe(true);
    expect(read("no hum any more, smell of burning").isInOrder).toBe(false);
    expect(read("hum").isInOrder).toBe(false);
  });
});

describe("what options say", () => {
  it("goes before the words, and takes the rest from the fault that it fits", () => {
    expect(faults("", { control: "fader" })).toEqual(["fader -"]);
    expect(faults("", { symptom: "hum" })).toEqual(["- hum"]);
    expect(faults("fader scratchy", { control: "fader" })).toEqual(["fader scratch"]);
    expect(faults("fader scratchy", { symptom: "hum" })[0]).toMatch(/ hum$/);
    expect(faults("fader scratchy", { control: "pan", symptom: "hum" })[0]).toBe("pan hum");
  });

  it("is sure where it names both, whatever the words", () => {
    const [typed] = read("by the look of it", { control: "fader", symptom: "scratch" }).faults;
    expect(typed.isSure).toBe(true);
    expect(read("ask Jo about it").faults).toEqual([]);
    expect(interpretNote({ line: { kind: "repair", text: "hum" } as never })).toEqual({
      causes: [],
      faults: [],
      isInOrder: false,
    });
  });

  it("is that of the first fault for the whole note", () => {
    const found = read("fader scratchy");
    expect(found).toMatchObject({ control: "fader", symptom: "scratch" });
    expect(found.causes).toEqual(found.faults[0].causes);
    expect(read("hum")).not.toHaveProperty("control");
  });
});

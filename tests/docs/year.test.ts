import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

// tests/docs/examples.long.test.ts runs the page through the program and holds it to what comes out;
// here stands what the story is to say.
const page = readFileSync(new URL("../../docs/a-year-with-the-desk.md", import.meta.url), "utf8");
const printedBy = (command: string) => page.split(`$ ${command}`)[1] ?? "";

describe("a year with the desk", () => {
  it("plans strips 3, 5 and 7, and no strip for a low-cut left in", () => {
    const plan = printedBy("deskround plan --hours 3.5 --date 2031-11-20");
    expect(plan).toMatch(/^Pull strips 3, 5, 7; /m);
    const [, closed] = plan.split(/^(?:1 OF \d: )?WITHOUT OPENING THE DESK$/m);
    expect(closed.split(/^BEFORE /m)[0]).toContain("2/line set wrongly?: low-cut left in");
  });

  it("finds the ribbon that was not pushed home before the desk is closed", () => {
    const first = printedBy("deskround analyze --retest closing.wav");
    expect(first).toMatch(/new fault +strip 8/);
    expect(first).toContain("Do not close the desk: 8/line, which nobody worked on, got worse.");
  });

  it("closes what is proven repaired, and nothing else", () => {
    expect(page).toContain("Closed in the notebook: n2, n3, n4, n8.");
    const second = printedBy("deskround analyze --retest closing-2.wav");
    expect(second).not.toMatch(/^new fault/m);
    expect(second).toContain("The desk can be closed.");
    expect(second).toContain("1 open note; 4 closed (--all).\nn1 ");
    // What was proven asks for no check any more.
    expect(page).toContain("and 1 open note\n\nNothing calls for opening the desk.");
  });

  it("has nothing left to open the desk for", () => {
    expect(printedBy("deskround plan --date 2031-11-23")).toContain(
      "Nothing calls for opening the desk.",
    );
  });
});

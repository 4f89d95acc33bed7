import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { DeskroundError } from "../../../src/errors.js";
import { slow } from "../../helpers/slow.js";

const lines = `version: 1
name: Big desk
mains: 50
strips: [1-4, 7A]
inputs:
  mic:
    nominal: -40
    setup: gain up
    strips: 1-3
  line: { nominal: 4 }
families:
  recapped: [3-4]
captures:
  - <strip> <input>
  - mic: [Mikrofon <strip>, M<strip> <take>]
reference: 4
order: by-strip`.split("\n");

const scraps = fc.constantFrom(
  ..."- |: |?|[|]|{|}|&a|*a|!!x|<<: *a|null|~|.inf|1e999|''|\"\\e\"|\t|#|,|__proto__|constructor|toString".split(
    "|",
  ),
);

/** Spoils one place of one line. */
const spoilt = fc
  .tuple(fc.nat(lines.length - 1), fc.nat(30), fc.nat(6), fc.oneof(scraps, fc.string()))
  .map(([line, at, cut, scrap]) => {
    const text = lines[line] ?? "";
    const changed = text.slice(0, at) + scrap + text.slice(at + cut);
    return lines.toSpliced(line, 1, changed).join("\n");
  });

describe("any text", () => {
  it("is a desk or is refused in one line that names the file", slow, () => {
    fc.assert(
      fc.property(spoilt, (text) => {
        try {
          expect(parseDesk(text, "desk.yaml").paths.length).toBeGreaterThan(0);
        } catch (error) {
          if (!(error instanceof DeskroundError)) throw error;
          expect(error.code).toBe("desk-file");
          expect(error.message).toMatch(/^desk\.yaml/);
          expect(error.message).not.toMatch(/undefined|\[object/);
          expect(error.hint ?? "").not.toMatch(/undefined|\[object/);
        }
      }),
      { numRuns: 2000, seed: 1 },
    );
  });
});

import { describe, expect, it } from "vitest";
import { dangerKinds } from "../../src/diagnose/dangers.js";
import { listDangerAdvice } from "../../src/report/danger.js";

// What to do first: common practice of first aid and of electrical safety, no source.
describe("listDangerAdvice", () => {
  it.each(dangerKinds.map(({ id }) => [id]))(
    "for %s says first when not to touch, and leaves the power off",
    (id) => {
      const [first, then] = listDangerAdvice({ strip: "7", dangers: [id] });
      expect(first).toMatch(
        /^(If there is smoke or fire, or metal gives shocks, do not touch the desk: cut the power at the breaker|Do not touch the desk again: cut the power)/,
      );
      expect(first).toMatch(/pull the mains plug and leave it out/);
      expect(first).toMatch(/fire service/);
      expect(then).toMatch(/^Do not power .* until the cause is found and repaired/);
      expect(then).toMatch(/licensed people, under local codes/);
    },
  );

  it("sends nobody to a switch on what gives shocks, whatever else is noted", () => {
    expect(listDangerAdvice({ strip: "7", dangers: ["heat", "shock"] })[0]).toMatch(
      /^Do not touch/,
    );
    const [heat] = listDangerAdvice({ dangers: ["heat"] });
    expect(heat).toMatch(
      /^If there is smoke .*do not touch .*Otherwise switch off at the mains switch/,
    );
  });

  it("sends whoever had a shock to a doctor", () => {
    expect(listDangerAdvice({ dangers: ["heat", "shock"] })[2]).toMatch(/should see a doctor/);
    expect(listDangerAdvice({ dangers: ["heat"] })).toHaveLength(2);
  });
});

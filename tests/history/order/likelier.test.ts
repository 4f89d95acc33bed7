import { describe, expect, it } from "vitest";
import { findRange, isLikelier } from "../../../src/history/order/likelier.js";
import { listOrders } from "../../../src/history/order/list-orders.js";

// Bounds are those that the comments beside them give, a guess of the trade: each is tried at it and
// just below it.

describe("another reading of the same recordings", () => {
  const of =
    (by: "earlier" | "families", isCounted = false) =>
    (gain: number, ...gains: readonly number[]) =>
      isLikelier({ by, isCounted, gain, gains });

  it("is far likelier than the last round's by 12 nats, of three returns and most of those in doubt", () => {
    const earlier = of("earlier");
    expect([11.9, 12].map((gain) => earlier(gain, 4, 4, 4))).toEqual([false, true]);
    expect(earlier(20, 10, 10)).toBe(false);
    // Three of five are six in ten, three of six are not; what gains nothing is no better.
    expect(earlier(20, 7, 7, 7, -1, 0)).toBe(true);
    expect(earlier(20, 7, 7, 7, -1, 0, 0)).toBe(false);
    expect(earlier(20, 7, 7, 7, 7, 0, 0)).toBe(true);
  });

  it("is so without the two returns that gain most as well, by 3 nats", () => {
    const earlier = of("earlier");
    expect(earlier(19.9, 9, 8, 2.9)).toBe(false);
    expect(earlier(20, 8, 9, 3)).toBe(true);
    expect(earlier(20, 3, 8, 9)).toBe(true);
  });

  it("is so of the families alone by 12 nats, and by more than 6 of two returns", () => {
    const families = of("families");
    expect([11.9, 12].map((gain) => families(gain, 6.1, 6.1))).toEqual([false, true]);
    expect(families(20, 6.1, 6)).toBe(false);
    expect(families(20, 6.1, 5, 5, 5)).toBe(false);
    // Those that fit worse say nothing, where another family's middle is drawn.
    expect(families(20, 9, 9, -1, -1, -1, -1)).toBe(true);
  });

  it("is so by one return where the count says that there is one", () => {
    const earlier = of("earlier", true);
    expect([4.9, 5].map((gain) => earlier(gain, 5))).toEqual([false, true]);
    expect(earlier(9, 5, 5, 5, -1, 0)).toBe(true);
    expect(earlier(9, 5, 5, 5, -1, 0, 0)).toBe(false);
    expect(earlier(9)).toBe(false);
    const families = of("families", true);
    expect([5.9, 6].map((gain) => families(gain, 6.1))).toEqual([false, true]);
    expect([6, 6.1].map((one) => families(9, one, -1, -1, -1))).toEqual([false, true]);
  });
});

describe("where a shift begins", () => {
  const late = (first: string, gain: number) => ({
    gain,
    shift: { places: "late", first } as const,
  });
  const early = (first: string, gain: number) => ({
    gain,
    shift: { places: "early", first } as const,
  });
  const best = late("3/mic", 20);

  it("lies between the first and the last place that are as likely within 3 nats", () => {
    const told = [
      late("1/mic", 17),
      late("2/mic", 17.1),
      best,
      late("4/mic", 18),
      late("5/mic", 9),
    ];
    expect(findRange(best, told)).toEqual(["2/mic", "4/mic"]);
  });

  it("is known where it is one place, or where the others go the other way", () => {
    expect(findRange(best, [best])).toBeUndefined();
    expect(findRange(best, [early("1/mic", 20), best, early("9/mic", 20)])).toBeUndefined();
    expect(findRange(best, [{ gain: 20, shift: undefined }, best])).toBeUndefined();
  });

  it("is no question of files in another order", () => {
    const files = { gain: 20, shift: undefined };
    expect(findRange(files, [files, files, best])).toBeUndefined();
  });
});

describe("other orders of files", () => {
  const orders = (files: string) => listOrders([...files]).map((order) => order.join(""));

  it("are all but the one that they are in, of four at most", () => {
    expect(["", "a", "ab"].map(orders)).toEqual([[], [], ["ba"]]);
    expect(orders("abc")).toEqual(["acb", "bac", "bca", "cab", "cba"]);
    // 4! − 1.
    expect(new Set(orders("abcd")).size).toBe(23);
  });

  it("are those with any two in each other's place, of more", () => {
    expect(orders("abcde")).toEqual([
      "bacde",
      "cbade",
      "dbcae",
      "ebcda",
      "acbde",
      "adcbe",
      "aecdb",
      "abdce",
      "abedc",
      "abced",
    ]);
  });
});

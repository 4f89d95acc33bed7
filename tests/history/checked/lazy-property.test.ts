import { expect, test } from "vitest";
import { defineLazily } from "../../../src/history/checked/lazy-property.js";

// Expected: a property as any other (ECMA-262, CreateDataProperty: writable, enumerable, configurable).

const asAnyOther = (value: unknown) => ({
  value,
  writable: true,
  enumerable: true,
  configurable: true,
});
const describe = (of: object) => Object.getOwnPropertyDescriptor(of, "x");

test("is worked out once, when it is looked at, and stands there as any other", () => {
  let asked = 0;
  const target: { x?: number } = {};
  defineLazily(target, "x", () => ++asked);
  expect(Object.keys(target)).toEqual(["x"]);
  expect(describe(target)).toMatchObject({ enumerable: true, configurable: true });
  expect(asked).toBe(0);
  expect([target.x, target.x, asked]).toEqual([1, 1, 1]);
  expect(describe(target)).toEqual(asAnyOther(1));
});

test("is written to and removed before it is looked at, and then never worked out", () => {
  const fail = () => {
    throw new Error("looked at");
  };
  const target: { x?: number } = {};
  defineLazily(target, "x", fail);
  target.x = 7;
  expect(describe(target)).toEqual(asAnyOther(7));
  const other: { x?: number } = {};
  defineLazily(other, "x", fail);
  delete other.x;
  expect(other).toEqual({});
});

import { describe, expect, it } from "vitest";
import {
  borrowBuffer,
  borrowCopy,
  createOwnBuffer,
  withBuffer,
  withBufferPool,
} from "../../src/dsp/buffer-pool.js";

const large = 10_000;

describe("rooms", () => {
  it("are fresh and empty outside of any work", () => {
    const first = borrowBuffer(large).fill(1);
    expect(borrowBuffer(large).every((x) => x === 0)).toBe(true);
    expect(first.length).toBe(large);
  });

  it("are apart within one work, and used again by the next", () => {
    const buffers = withBufferPool(() => [
      borrowBuffer(large).buffer,
      borrowBuffer(large + 3).buffer,
    ]);
    expect(buffers[0]).not.toBe(buffers[1]);
    // A sample or two more or fewer makes no difference.
    const again = withBufferPool(() => [
      borrowBuffer(large - 1).buffer,
      borrowBuffer(large + 2).buffer,
    ]);
    expect(new Set(again)).toEqual(new Set(buffers));
  });

  it("have the length that was asked for, whatever is behind them", () => {
    withBufferPool(() => {
      expect(borrowBuffer(large).length).toBe(large);
      expect(borrowCopy(new Float64Array(large).fill(2)).every((x) => x === 2)).toBe(true);
      expect(borrowBuffer(7).length).toBe(7);
    });
  });

  it("go to the next part of a work when they were lent for one", () => {
    withBufferPool(() => {
      const first = withBuffer(7 * large, (room) => room.buffer);
      const second = withBuffer(7 * large, (room) => {
        expect(borrowBuffer(7 * large).buffer).not.toBe(room.buffer);
        return room.buffer;
      });
      expect(second).toBe(first);
    });
  });

  it("come back when the work fails", () => {
    const fail = () =>
      withBufferPool(() => {
        withBuffer(large, () => {
          throw new RangeError("as expected");
        });
      });
    expect(fail).toThrow("as expected");
    const first = borrowBuffer(large);
    expect(borrowBuffer(large).buffer).not.toBe(first.buffer);
  });

  it("that are one's own grow and stay", () => {
    const room = createOwnBuffer();
    const first = room(100);
    expect(room(60).buffer).toBe(first.buffer);
    expect(room(60).length).toBe(60);
    expect(room(200).buffer).not.toBe(first.buffer);
  });
});

describe("rooms, by the very memory that is behind them", () => {
  const step = 4096;
  const isAmong = (one: unknown, others: readonly unknown[]) => others.some((o) => o === one);

  it("are those of the work before", () => {
    const lengths = [3 * step, 5 * step];
    const first = withBufferPool(() => lengths.map((n) => borrowBuffer(n).buffer));
    const second = withBufferPool(() => lengths.map((n) => borrowBuffer(n).buffer));
    for (const one of second) expect(isAmong(one, first)).toBe(true);
    expect(second[0]).not.toBe(second[1]);
  });

  it("are one for all of a work within a work, and stay lent until the outer one ends", () => {
    const [inner, outer] = withBufferPool(() => {
      const one = withBufferPool(() => borrowBuffer(step).buffer);
      return [one, borrowBuffer(step).buffer];
    });
    expect(outer).not.toBe(inner);
    const again = withBufferPool(() => [borrowBuffer(step).buffer, borrowBuffer(step).buffer]);
    for (const one of again) expect(isAmong(one, [inner, outer])).toBe(true);
  });

  it.each([
    [step - 1, false],
    [step, true],
    [step + 1, true],
  ])("are kept from 4096 numbers on: %i", (length, isKept) => {
    const lend = () => withBufferPool(() => borrowBuffer(length).buffer);
    const first = lend();
    expect(lend() === first).toBe(isKept);
    const [one, two] = withBufferPool(() => [
      withBuffer(length, (room) => room.buffer),
      withBuffer(length, (room) => room.buffer),
    ]);
    expect(one === two).toBe(isKept);
    // whole steps of 4096 numbers of eight bytes
    const kept = length <= step ? step : 2 * step;
    expect(one.byteLength).toBe(8 * (isKept ? kept : length));
  });

  it("are lent to a part outside of any work too, each time a fresh one", () => {
    const one = withBuffer(step, (room) => room.buffer);
    expect(one.byteLength).toBe(8 * step);
    expect(withBuffer(step, (room) => room.buffer)).not.toBe(one);
  });

  it("that are one's own are the same when as many are asked for again", () => {
    const room = createOwnBuffer();
    room(5).fill(3);
    expect(Array.from(room(5))).toEqual([3, 3, 3, 3, 3]);
    expect(Array.from(room(2))).toEqual([3, 3]);
    expect(Array.from(room(6))).toEqual([0, 0, 0, 0, 0, 0]);
  });
});

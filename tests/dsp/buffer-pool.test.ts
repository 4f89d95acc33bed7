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

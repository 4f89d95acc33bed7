import { describe, expect, it } from "vitest";
import { copyOf, ownRoom, roomOf, withRoom, withRooms } from "../../src/dsp/rooms.js";

const large = 10_000;

describe("rooms", () => {
  it("are fresh and empty outside of any work", () => {
    const first = roomOf(large).fill(1);
    expect(roomOf(large).every((x) => x === 0)).toBe(true);
    expect(first.length).toBe(large);
  });

  it("are apart within one work, and used again by the next", () => {
    const buffers = withRooms(() => [roomOf(large).buffer, roomOf(large + 3).buffer]);
    expect(buffers[0]).not.toBe(buffers[1]);
    // A sample or two more or fewer makes no difference.
    const again = withRooms(() => [roomOf(large - 1).buffer, roomOf(large + 2).buffer]);
    expect(new Set(again)).toEqual(new Set(buffers));
  });

  it("have the length that was asked for, whatever is behind them", () => {
    withRooms(() => {
      expect(roomOf(large).length).toBe(large);
      expect(copyOf(new Float64Array(large).fill(2)).every((x) => x === 2)).toBe(true);
      expect(roomOf(7).length).toBe(7);
    });
  });

  it("go to the next part of a work when they were lent for one", () => {
    withRooms(() => {
      const first = withRoom(7 * large, (room) => room.buffer);
      const second = withRoom(7 * large, (room) => {
        expect(roomOf(7 * large).buffer).not.toBe(room.buffer);
        return room.buffer;
      });
      expect(second).toBe(first);
    });
  });

  it("come back when the work fails", () => {
    const fail = () =>
      withRooms(() => {
        withRoom(large, () => {
          throw new RangeError("as expected");
        });
      });
    expect(fail).toThrow("as expected");
    const first = roomOf(large);
    expect(roomOf(large).buffer).not.toBe(first.buffer);
  });

  it("that are one's own grow and stay", () => {
    const room = ownRoom();
    const first = room(100);
    expect(room(60).buffer).toBe(first.buffer);
    expect(room(60).length).toBe(60);
    expect(room(200).buffer).not.toBe(first.buffer);
  });
});

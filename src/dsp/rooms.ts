/**
 * Room for large arrays. What a return needs is asked for again by the next one, and large arrays
 * that were thrown away wait long until they are cleared up: within {@link withRooms} they are kept
 * and handed out again instead.
 */

/** Handed out since the work began, and kept from the work before. */
interface Rooms {
  readonly lent: Float64Array[];
  readonly stock: Float64Array[];
}

let current: Rooms | undefined;
let stock: Float64Array[] = [];

/** Lengths go in steps of this: those of two returns differ by a sample or two. Less is not kept. */
const step = 4096;

/**
 * Does some work whose large arrays end with it: whatever {@link roomOf} gave it is used again by
 * the work after. Only plain figures may leave.
 *
 * @param work must not keep an array of {@link roomOf} beyond its end, nor hand one out
 */
export function withRooms<T>(work: () => T): T {
  if (current !== undefined) return work();
  const rooms = { lent: [], stock };
  current = rooms;
  try {
    return work();
  } finally {
    // What nobody asked for this time is let go.
    stock = rooms.lent;
    current = undefined;
  }
}

/**
 * An array to fill: a fresh one, or within {@link withRooms} one of the work before.
 *
 * @returns `length` numbers of any value
 */
export function roomOf(length: number): Float64Array {
  if (current === undefined || length < step) return new Float64Array(length);
  const { stock, lent } = current;
  const size = Math.ceil(length / step) * step;
  const kept = stock.findIndex((one) => one.length === size);
  const room = kept < 0 ? new Float64Array(size) : stock.splice(kept, 1)[0];
  lent.push(room);
  return room.subarray(0, length);
}

/** A copy in an array of {@link roomOf}. */
export function copyOf(samples: Float64Array): Float64Array {
  const copy = roomOf(samples.length);
  copy.set(samples);
  return copy;
}

/**
 * Room for one purpose, kept for good and as large as was ever asked for: what was written lasts
 * until it is asked for again.
 */
export function ownRoom(): (length: number) => Float64Array {
  let room = new Float64Array(0);
  return (length) => {
    if (room.length < length) room = new Float64Array(length);
    return room.length === length ? room : room.subarray(0, length);
  };
}

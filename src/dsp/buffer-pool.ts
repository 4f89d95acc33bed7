/**
 * Reuse of large arrays. Each return needs the same ones as the last, and garbage collection of large
 * arrays comes late: within {@link withBufferPool} they are kept and handed out again instead.
 */

interface Rooms {
  /** All arrays handed out since the work began. */
  readonly used: Set<Float64Array>;
  /** Arrays that are free. */
  readonly free: Float64Array[];
}

let current: Rooms | undefined;
let kept: readonly Float64Array[] = [];

/** Granularity of lengths, as two returns differ by a sample or two. Shorter arrays are not kept. */
const step = 4096;

/**
 * Runs some work whose large arrays end with it: the next work reuses whatever {@link borrowBuffer}
 * handed out. Only plain figures may be returned.
 *
 * @param work must not keep an array of {@link borrowBuffer} beyond its end, nor hand one out
 * @example
 * const sum = () => borrowBuffer(8).fill(2).reduce((a, b) => a + b);
 * withBufferPool(sum); // 16
 */
export function withBufferPool<T>(work: () => T): T {
  if (current !== undefined) return work();
  const rooms = { used: new Set<Float64Array>(), free: [...kept] };
  current = rooms;
  try {
    return work();
  } finally {
    // What was not asked for this time is released.
    kept = [...rooms.used];
    current = undefined;
  }
}

/**
 * An array to fill: a fresh one, or within {@link withBufferPool} one that was used before.
 *
 * @returns `length` numbers of any value
 * @example
 * borrowBuffer(480).length; // 480
 */
export function borrowBuffer(length: number): Float64Array {
  return current === undefined || length < step
    ? new Float64Array(length)
    : taken(current, length).subarray(0, length);
}

/**
 * Lends an array for a part of the work, after which another part may have it.
 *
 * @param work gets `length` numbers of any value, and must not keep them
 * @example
 * withBuffer(4, (room) => room.fill(3)[0]); // 3
 */
export function withBuffer<T>(length: number, work: (room: Float64Array) => T): T {
  const rooms = current;
  if (rooms === undefined || length < step) return work(new Float64Array(length));
  const room = taken(rooms, length);
  try {
    return work(room.subarray(0, length));
  } finally {
    rooms.free.push(room);
  }
}

function taken({ used, free }: Rooms, length: number): Float64Array {
  const size = Math.ceil(length / step) * step;
  const place = free.findIndex((one) => one.length === size);
  const room = place < 0 ? new Float64Array(size) : free.splice(place, 1)[0];
  used.add(room);
  return room;
}

/**
 * A copy in an array of {@link borrowBuffer}.
 *
 * @example
 * borrowCopy(Float64Array.of(1, 2))[1]; // 2
 */
export function borrowCopy(samples: Float64Array): Float64Array {
  const copy = borrowBuffer(samples.length);
  copy.set(samples);
  return copy;
}

/**
 * A buffer for one purpose, kept for good and grown to the largest size ever asked for. Its contents
 * last until it is asked for again.
 *
 * @example
 * const room = createOwnBuffer();
 * room(8).fill(1);
 * room(4)[3]; // 1
 */
export function createOwnBuffer(): (length: number) => Float64Array {
  let room = new Float64Array(0);
  return (length) => {
    if (room.length < length) room = new Float64Array(length);
    return room.length === length ? room : room.subarray(0, length);
  };
}

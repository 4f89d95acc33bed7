/**
 * The two checksums of FLAC (RFC 9639, sections 9.1.8 and 9.3): one byte over a frame's header, two
 * over the whole frame. Neither is inverted or reflected, and both begin with 0, so that the
 * checksum over bytes that end in their own checksum is 0.
 */

const crc8Table = Uint8Array.from({ length: 256 }, (_, byte) => remainder(byte, 0x07, 8));

/** Tables for eight bytes at once: table k gives the effect of a byte followed by k others. */
const crc16Tables = buildCrc16Tables();

function remainder(byte: number, polynomial: number, bits: number): number {
  const top = 1 << (bits - 1);
  let rest = byte << (bits - 8);
  for (let k = 0; k < 8; k++) rest = (rest & top) !== 0 ? (rest << 1) ^ polynomial : rest << 1;
  return rest & (2 * top - 1);
}

function buildCrc16Tables(): readonly Uint16Array[] {
  const tables = [Uint16Array.from({ length: 256 }, (_, byte) => remainder(byte, 0x8005, 16))];
  for (let k = 1; k < 8; k++) {
    const before = tables[k - 1];
    tables.push(before.map((rest) => ((rest << 8) & 0xffff) ^ tables[0][rest >> 8]));
  }
  return tables;
}

/**
 * CRC-8 of the bytes from `from` to before `until`: polynomial x⁸ + x² + x + 1.
 *
 * @example
 * computeCrc8(new TextEncoder().encode("123456789"), 0, 9); // 0xf4
 */
export function computeCrc8(bytes: Uint8Array, from: number, until: number): number {
  let crc = 0;
  for (let i = from; i < until; i++) crc = crc8Table[crc ^ bytes[i]];
  return crc;
}

/**
 * CRC-16 of the bytes from `from` to before `until`: polynomial x¹⁶ + x¹⁵ + x² + 1.
 *
 * @param start checksum of the bytes before them
 *
 * @example
 * computeCrc16(new TextEncoder().encode("123456789"), 0, 9); // 0xfee8
 */
export function computeCrc16(bytes: Uint8Array, from: number, until: number, start = 0): number {
  const [t0, t1, t2, t3, t4, t5, t6, t7] = crc16Tables;
  let crc = start;
  let i = from;
  for (; i + 8 <= until; i += 8) {
    crc =
      t7[(crc >> 8) ^ bytes[i]] ^
      t6[(crc & 255) ^ bytes[i + 1]] ^
      t5[bytes[i + 2]] ^
      t4[bytes[i + 3]] ^
      t3[bytes[i + 4]] ^
      t2[bytes[i + 5]] ^
      t1[bytes[i + 6]] ^
      t0[bytes[i + 7]];
  }
  for (; i < until; i++) crc = ((crc << 8) & 0xffff) ^ t0[(crc >> 8) ^ bytes[i]];
  return crc;
}

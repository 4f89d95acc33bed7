/** How samples are stored in an AIFF-C file, by the four characters of its compression type. */
export interface SampleType {
  readonly sampleFormat: "int" | "float";
  /** Bits in the file; absent if the header gives them. */
  readonly bits?: number;
  readonly byteOrder: "big" | "little";
}

/**
 * Compression types that leave samples as they are: `NONE` and `fl32` of the draft, the others as
 * QuickTime and those who followed it write them.
 */
const types: Readonly<Record<string, SampleType>> = {
  NONE: { sampleFormat: "int", byteOrder: "big" },
  twos: { sampleFormat: "int", byteOrder: "big" },
  sowt: { sampleFormat: "int", byteOrder: "little" },
  "raw ": { sampleFormat: "int", bits: 8, byteOrder: "big" },
  in16: { sampleFormat: "int", bits: 16, byteOrder: "big" },
  in24: { sampleFormat: "int", bits: 24, byteOrder: "big" },
  "42ni": { sampleFormat: "int", bits: 24, byteOrder: "little" },
  in32: { sampleFormat: "int", bits: 32, byteOrder: "big" },
  "23ni": { sampleFormat: "int", bits: 32, byteOrder: "little" },
  fl32: { sampleFormat: "float", bits: 32, byteOrder: "big" },
  FL32: { sampleFormat: "float", bits: 32, byteOrder: "big" },
  fl64: { sampleFormat: "float", bits: 64, byteOrder: "big" },
  FL64: { sampleFormat: "float", bits: 64, byteOrder: "big" },
};

/** Names of compressions found in practice. */
const compressions: Readonly<Record<string, string>> = {
  ulaw: "µ-law",
  ULAW: "µ-law",
  alaw: "A-law",
  ALAW: "A-law",
  ima4: "IMA ADPCM",
  MAC3: "MACE 3:1",
  MAC6: "MACE 6:1",
  GSM: "GSM 6.10",
  ".mp3": "MPEG layer 3",
};

/**
 * @returns undefined if samples are compressed or of an unknown kind
 *
 * @example
 * getSampleType("sowt").byteOrder; // "little"
 * getSampleType("ima4"); // undefined
 */
export function getSampleType(compression: string): SampleType | undefined {
  return Object.hasOwn(types, compression) ? types[compression] : undefined;
}

/**
 * Name of a known compression.
 *
 * @example
 * getCompressionName("MAC6"); // "MACE 6:1"
 */
export function getCompressionName(compression: string): string | undefined {
  const key = compression.trim();
  return Object.hasOwn(compressions, key) ? compressions[key] : undefined;
}

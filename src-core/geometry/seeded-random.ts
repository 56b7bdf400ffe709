/**
 * A stream of numbers in [0, 1) that depends on the seed alone and is the same in every engine.
 * sfc32 (Doty-Humphrey, PractRand): 32-bit integer steps only, period at least 2^32.
 * @param seed any integer; equal seeds give equal streams
 */
export function seededRandom(seed: number): () => number {
  let a = 0x9e3779b9;
  let b = 0x243f6a88;
  let c = seed | 0;
  let counter = 1;
  const next = () => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + sum;
    c |= 0;
    return (sum >>> 0) / 4294967296;
  };
  for (let warming = 0; warming < 16; warming++) next();
  return next;
}

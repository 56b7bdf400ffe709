/**
 * Teeth by ISO 3950 (two digits): 11–18 upper right, 21–28 upper left, 31–38 lower left, 41–48 lower right;
 * deciduous 51–55, 61–65, 71–75, 81–85.
 */
export type ToothNumber = number;

export const isTooth = (n: number): boolean => {
  const quadrant = Math.floor(n / 10);
  const place = n % 10;
  if (!Number.isInteger(n) || place < 1) return false;
  return (quadrant >= 1 && quadrant <= 4 && place <= 8) || (quadrant >= 5 && quadrant <= 8 && place <= 5);
};

export type ToothKind = "incisor" | "canine" | "premolar" | "molar";

/** What kind of tooth a number names; deciduous fourths and fifths are molars. */
export function kindOf(tooth: ToothNumber): ToothKind {
  const place = tooth % 10;
  if (place <= 2) return "incisor";
  if (place === 3) return "canine";
  if (tooth >= 50) return "molar";
  return place <= 5 ? "premolar" : "molar";
}

export const isUpper = (tooth: ToothNumber): boolean => [1, 2, 5, 6].includes(Math.floor(tooth / 10));
export const isDeciduous = (tooth: ToothNumber): boolean => tooth >= 50;
/** The patient's right side: quadrants 1, 4, 5, 8. */
export const isRight = (tooth: ToothNumber): boolean => [1, 4, 5, 8].includes(Math.floor(tooth / 10));

/** The two teeth of a pair (right, left) and its name: '3–3', or 'III–III' for deciduous pairs. */
export interface ToothPair {
  readonly name: string;
  readonly right: ToothNumber;
  readonly left: ToothNumber;
}

const pair = (name: string, right: ToothNumber, left: ToothNumber): ToothPair => ({ name, right, left });

/** The upper pairs in order from front to back; deciduous and permanent teeth are never mixed. */
export const UPPER_PAIRS: readonly ToothPair[] = [
  pair("3-3", 13, 23),
  pair("4-4", 14, 24),
  pair("5-5", 15, 25),
  pair("6-6", 16, 26),
  pair("7-7", 17, 27),
  pair("III-III", 53, 63),
  pair("IV-IV", 54, 64),
  pair("V-V", 55, 65),
];

/**
 * The transcendental functions, the same to the last digit in every JavaScript engine.
 * The engines' own Math.sin, Math.exp and so on differ in the last place from one version to the next; these are
 * computed from +, −, ×, ÷ and sqrt only (after FreeBSD's msun and the Cephes library). Angles in radians.
 */
export { default as acos } from "@stdlib/math-base-special-acos";
export { default as asin } from "@stdlib/math-base-special-asin";
export { default as atan } from "@stdlib/math-base-special-atan";
export { default as atan2 } from "@stdlib/math-base-special-atan2";
export { default as cbrt } from "@stdlib/math-base-special-cbrt";
export { default as cos } from "@stdlib/math-base-special-cos";
export { default as exp } from "@stdlib/math-base-special-exp";
export { default as ln } from "@stdlib/math-base-special-ln";
export { default as pow } from "@stdlib/math-base-special-pow";
export { default as sin } from "@stdlib/math-base-special-sin";
export { default as tan } from "@stdlib/math-base-special-tan";

/** Degrees in one radian. */
export const DEGREES = 180 / Math.PI;

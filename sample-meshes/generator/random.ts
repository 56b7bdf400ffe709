import { cos, ln } from "#core/geometry/real";
import type { Vector3 } from "#core/geometry/vector";

/**
 * Seeded random numbers, the same on every machine: the 32-bit generator 'mulberry32' (public domain) for uniform
 * ones, the polar form of Box and Muller 1958 for normal ones.
 */
export class Random {
  private state: number;

  constructor(seed: number) {
    this.state = seed >>> 0;
    // Neighbouring seeds start alike; a few draws part them.
    for (let i = 0; i < 4; i++) this.uniform();
  }

  /** A number in [0, 1). */
  uniform(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }

  /** A number in [low, high). */
  between(low: number, high: number): number {
    return low + (high - low) * this.uniform();
  }

  /** A normal number of mean 0 and standard deviation 1. */
  normal(): number {
    const radius = Math.sqrt(-2 * ln(1 - this.uniform()));
    return radius * cos(2 * Math.PI * this.uniform());
  }

  /** A point uniform in the ball of the given radius (mm) about the origin. */
  inBall(radius: number): Vector3 {
    for (;;) {
      const p: Vector3 = [this.between(-1, 1), this.between(-1, 1), this.between(-1, 1)];
      if (p[0] * p[0] + p[1] * p[1] + p[2] * p[2] <= 1) return [p[0] * radius, p[1] * radius, p[2] * radius];
    }
  }

  /** A unit vector, uniform on the sphere. */
  direction(): Vector3 {
    for (;;) {
      const p = this.inBall(1);
      const l = Math.sqrt(p[0] * p[0] + p[1] * p[1] + p[2] * p[2]);
      if (l > 0.1) return [p[0] / l, p[1] / l, p[2] / l];
    }
  }

  /** A generator of its own for one purpose, so that more draws for one thing do not change another. */
  branch(purpose: number): Random {
    return new Random((Math.imul(this.state ^ (purpose * 0x9e3779b1), 0x85ebca6b) ^ purpose) >>> 0);
  }
}

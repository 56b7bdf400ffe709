import { Matrix4, OrthographicCamera, Quaternion, Vector3 } from "three";
import type { Look } from "../state/workspace";

/** Time that a movement takes, ms. */
const MOVE = 220;
/** Distance of the eye from what it looks at, mm; without meaning for what is seen, the projection being parallel. */
const FAR = 400;

const turn = (right: [number, number, number], up: [number, number, number], back: [number, number, number]) =>
  new Quaternion().setFromRotationMatrix(
    new Matrix4().makeBasis(new Vector3(...right), new Vector3(...up), new Vector3(...back)),
  );

// Arch frame: x to the patient's left, y to the back, z to the head.
const LOOK: Readonly<Record<Look, Quaternion>> = {
  below: turn([1, 0, 0], [0, -1, 0], [0, 0, -1]),
  front: turn([1, 0, 0], [0, 0, 1], [0, -1, 0]),
  right: turn([0, -1, 0], [0, 0, 1], [-1, 0, 0]),
  left: turn([0, 1, 0], [0, 0, 1], [1, 0, 0]),
};

interface Pose {
  readonly turn: Quaternion;
  readonly middle: Vector3;
  /** mm from the lower to the upper edge. */
  readonly height: number;
}

const isSame = (a: Pose, b: Pose): boolean =>
  a.turn.angleTo(b.turn) < 1e-3 && a.middle.distanceTo(b.middle) < 0.05 && Math.abs(a.height - b.height) < 0.05;

/** The eye of the stage: a parallel projection that turns about the middle of what is shown. */
export class StageCamera {
  readonly camera = new OrthographicCamera(-1, 1, 1, -1, 1, 2 * FAR);
  #pose: Pose = { turn: LOOK.below.clone(), middle: new Vector3(), height: 80 };
  #move: { from: Pose; to: Pose; begun: number } | null = null;
  #width = 1;
  #height = 1;

  constructor() {
    this.#place();
  }

  resize(width: number, height: number): void {
    this.#width = Math.max(1, width);
    this.#height = Math.max(1, height);
    this.#place();
  }

  /** Turns to a look that shows all the points; at once where `slowly` is false. @returns whether it turns at all */
  lookFrom(look: Look, points: readonly Vector3[], slowly: boolean, now: number): boolean {
    const to = this.#fitting(LOOK[look], points);
    this.#move = null;
    if (isSame(this.#pose, to)) return false;
    if (slowly) this.#move = { from: this.#pose, to, begun: now };
    else {
      this.#pose = to;
      this.#place();
    }
    return true;
  }

  /** Goes along with what is shown, by a rigid motion in the stage's coordinates: the picture stays as it is. */
  goAlong(motion: Matrix4): void {
    const turned = new Quaternion().setFromRotationMatrix(motion);
    const along = ({ turn, middle, height }: Pose): Pose => ({
      turn: turned.clone().multiply(turn).normalize(),
      middle: middle.clone().applyMatrix4(motion),
      height,
    });
    this.#pose = along(this.#pose);
    if (this.#move !== null) this.#move = { ...this.#move, from: along(this.#move.from), to: along(this.#move.to) };
    this.#place();
  }

  /** Goes on with a movement; false where none is under way. */
  step(now: number): boolean {
    if (this.#move === null) return false;
    const { from, to, begun } = this.#move;
    const t = Math.min(1, Math.max(0, (now - begun) / MOVE));
    const eased = 1 - (1 - t) ** 3;
    this.#pose = {
      turn: from.turn.clone().slerp(to.turn, eased),
      middle: from.middle.clone().lerp(to.middle, eased),
      height: from.height + (to.height - from.height) * eased,
    };
    if (t === 1) this.#move = null;
    this.#place();
    return this.#move !== null;
  }

  /** Turns by a drag over the screen, pixels. */
  turnBy(x: number, y: number): void {
    this.#move = null;
    const perPixel = Math.PI / Math.min(this.#width, this.#height);
    const angle = Math.hypot(x, y) * perPixel;
    if (angle === 0) return;
    const axis = new Vector3(-y, -x, 0).normalize();
    const turned = this.#pose.turn.clone().multiply(new Quaternion().setFromAxisAngle(axis, angle));
    this.#pose = { ...this.#pose, turn: turned.normalize() };
    this.#place();
  }

  /** Shifts what is seen by a drag over the screen, pixels. */
  shiftBy(x: number, y: number): void {
    this.#move = null;
    const perPixel = this.#pose.height / this.#height;
    const by = new Vector3(-x * perPixel, y * perPixel, 0).applyQuaternion(this.#pose.turn);
    this.#pose = { ...this.#pose, middle: this.#pose.middle.clone().add(by) };
    this.#place();
  }

  /** How much of the arch a pixel shows, mm. */
  millimetresPerPixel(): number {
    return this.#pose.height / this.#height;
  }

  /** Comes nearer (factor below 1) about a place of the screen, pixels from its middle. */
  zoomBy(factor: number, x: number, y: number): void {
    this.#move = null;
    const height = Math.min(400, Math.max(4, this.#pose.height * factor));
    const shift = (this.#pose.height - height) / this.#height;
    const by = new Vector3(x * shift, -y * shift, 0).applyQuaternion(this.#pose.turn);
    this.#pose = { ...this.#pose, height, middle: this.#pose.middle.clone().add(by) };
    this.#place();
  }

  /** The direction to the eye, in the stage's coordinates. */
  towardsEye(): Vector3 {
    return new Vector3(0, 0, 1).applyQuaternion(this.#pose.turn);
  }

  /** The direction to the right of the screen, in the stage's coordinates. */
  towardsRight(): Vector3 {
    return new Vector3(1, 0, 0).applyQuaternion(this.#pose.turn);
  }

  /** Where a point stands on the screen, pixels from the upper left corner. */
  project(point: Vector3): [x: number, y: number] {
    const seen = point.clone().project(this.camera);
    return [((seen.x + 1) / 2) * this.#width, ((1 - seen.y) / 2) * this.#height];
  }

  #fitting(looking: Quaternion, points: readonly Vector3[]): Pose {
    const back = looking.clone().invert();
    const low = new Vector3(Infinity, Infinity, Infinity);
    const high = new Vector3(-Infinity, -Infinity, -Infinity);
    for (const point of points) {
      const seen = point.clone().applyQuaternion(back);
      low.min(seen);
      high.max(seen);
    }
    if (points.length === 0) return { ...this.#pose, turn: looking.clone() };
    const middle = low.clone().add(high).multiplyScalar(0.5).applyQuaternion(looking);
    const size = high.sub(low);
    // Below stand the names of the sides.
    const height = Math.max(size.y * 1.17, (size.x * 1.1 * this.#height) / this.#width);
    return { turn: looking.clone(), middle, height };
  }

  #place(): void {
    const { turn, middle, height } = this.#pose;
    const half = height / 2;
    const wide = (half * this.#width) / this.#height;
    this.camera.left = -wide;
    this.camera.right = wide;
    this.camera.top = half;
    this.camera.bottom = -half;
    this.camera.quaternion.copy(turn);
    this.camera.position.copy(middle).addScaledVector(this.towardsEye(), FAR);
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
  }
}

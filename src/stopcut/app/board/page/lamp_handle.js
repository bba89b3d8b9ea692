// The lamp to be pushed round the board: it goes on a rounded track outside the edge and throws its light from there.
// Along the track it turns, up and down (keys) it rises and sinks.

import { make, set } from "./svg.js";

const AWAY = 19, ROUND = 19; // px: the track from the board's edge, and the radius of its corners
const TURN = 5, RAISE = 2; // degrees a key
const LOWEST = 5, HIGHEST = 85;
const EVERY_MS = 60;
const FROM = ["right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right"];

export class LampHandle {
  #view = null; #lamp = null; #held = false; #last = 0; #timer = 0;

  /** lit(lamp): light the board so; tell: the event for the program. */
  constructor(screen, lit, tell) {
    Object.assign(this, { lit, tell });
    this.group = make("g", { class: "lamp", "data-own": "", display: "none" }, screen);
    this.track = make("rect", { class: "track", rx: ROUND, "aria-hidden": "true" }, this.group);
    this.handle = make("g", { class: "handle", role: "slider", tabindex: 0, "aria-label": "Lamp", "aria-valuemin": 0, "aria-valuemax": 359 }, this.group);
    make("circle", { class: "reach", r: 20 }, this.handle);
    make("circle", { class: "bulb", r: 9 }, this.handle);
    make("path", { class: "beam", d: "M13-5l5-3M14 0h6M13 5l5 3" }, this.handle);
    this.handle.addEventListener("pointerdown", (event) => this.#press(event));
    this.handle.addEventListener("pointermove", (event) => this.#held && this.#drag(event));
    this.handle.addEventListener("keydown", (event) => this.#key(event));
    for (const name of ["pointerup", "pointercancel"]) this.handle.addEventListener(name, () => this.#release());
  }

  take(lamp) {
    if (this.#held) return;
    this.#lamp = lamp;
    set(this.group, { display: lamp?.movable ? null : "none" });
  }

  draw(view) {
    this.#view = view;
    if (!this.#lamp?.movable) return;
    const box = this.#box();
    set(this.track, { x: box.left, y: box.top, width: box.right - box.left, height: box.bottom - box.top });
    const turn = (this.#lamp.azimuth * Math.PI) / 180;
    const [x, y] = onTrack(box, Math.cos(turn) * view.flip, -Math.sin(turn));
    const inwards = (Math.atan2(Math.sin(turn), -Math.cos(turn) * view.flip) * 180) / Math.PI;
    set(this.handle, {
      transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})`,
      "aria-valuenow": Math.round(this.#lamp.azimuth) % 360,
      "aria-valuetext": `from the ${FROM[Math.round(this.#lamp.azimuth / 45) % 8]}, ${Math.round(this.#lamp.elevation)} degrees high`,
    });
    set(this.handle.querySelector(".beam"), { transform: `rotate(${inwards.toFixed(1)})` });
  }

  #box() {
    const { left, top, right, bottom } = this.#view.edge, { width, height } = this.#view.frame;
    const low = height - this.#view.pads.bottom + AWAY + 2;
    return {
      left: Math.max(left - AWAY, AWAY / 2), top: Math.max(top - AWAY, AWAY / 2),
      right: Math.min(right + AWAY, width - AWAY / 2), bottom: Math.min(bottom + AWAY, low),
    };
  }

  #press(event) {
    this.handle.setPointerCapture(event.pointerId);
    this.#held = true;
    event.stopPropagation();
  }

  #drag(event) {
    const frame = this.group.ownerSVGElement.getBoundingClientRect(), box = this.#box();
    const x = event.clientX - frame.left - (box.left + box.right) / 2;
    const y = event.clientY - frame.top - (box.top + box.bottom) / 2;
    if (Math.hypot(x, y) < 4) return;
    this.#turn((Math.atan2(-y, x * this.#view.flip) * 180) / Math.PI, this.#lamp.elevation);
  }

  #key(event) {
    const [turn, raise] = { ArrowLeft: [TURN, 0], ArrowRight: [-TURN, 0], ArrowUp: [0, RAISE], ArrowDown: [0, -RAISE] }[event.key] ?? [0, 0];
    if (!turn && !raise) return;
    event.preventDefault();
    event.stopPropagation();
    const elevation = Math.min(HIGHEST, Math.max(LOWEST, this.#lamp.elevation + raise));
    this.#turn(this.#lamp.azimuth + turn * this.#view.flip, elevation);
  }

  #turn(azimuth, elevation) {
    this.#lamp = { ...this.#lamp, azimuth: ((azimuth % 360) + 360) % 360, elevation };
    this.lit(this.#lamp);
    this.draw(this.#view);
    this.#say();
  }

  /** Told at once, then at most every EVERY_MS, and in the end. */
  #say() {
    const now = performance.now();
    clearTimeout(this.#timer);
    if (now - this.#last < EVERY_MS) {
      this.#timer = setTimeout(() => this.#say(), EVERY_MS);
      return;
    }
    this.#last = now;
    const { azimuth, elevation } = this.#lamp;
    this.tell("lamp", { azimuth: Math.round(azimuth * 10) / 10, elevation: Math.round(elevation * 10) / 10 });
  }

  #release() {
    this.#held = false;
  }

  stop() {
    clearTimeout(this.#timer);
  }
}

/** Where a ray from the middle of a box with round corners meets its edge. */
function onTrack(box, ux, uy) {
  const half = [(box.right - box.left) / 2, (box.bottom - box.top) / 2];
  const middle = [box.left + half[0], box.top + half[1]];
  const far = Math.min(half[0] / Math.abs(ux || 1e-9), half[1] / Math.abs(uy || 1e-9));
  let [x, y] = [ux * far, uy * far];
  const round = Math.min(ROUND, ...half);
  const corner = [half[0] - round, half[1] - round];
  if (Math.abs(x) > corner[0] && Math.abs(y) > corner[1]) {
    const [cx, cy] = [Math.sign(x) * corner[0], Math.sign(y) * corner[1]];
    // |t u - c| = round, the farther of the two
    const along = ux * cx + uy * cy;
    const t = along + Math.sqrt(Math.max(0, along ** 2 - cx ** 2 - cy ** 2 + round ** 2));
    [x, y] = [t * ux, t * uy];
  }
  return [middle[0] + x, middle[1] + y];
}

// Letters pushed by hand: dragged, or nudged by keys. What was pushed stays where it was put until the program has
// answered with a new view of it; a new view in the middle of a drag leaves the letter under the finger.

import { along } from "./affine.js";

const NO_ANSWER_MS = 1000; // after which further nudges are sent although the first has not been answered. Our choice.

export class Moves {
  drag = null; // {item, items, anchor, dx, gesture}
  #sent = new Map(); // key → {items, dx, sign}: pushed, told, and not yet answered
  #waiting = null; // {item, coarse, steps, gesture}: nudges since
  #timer = 0;

  /** tell(name, told) sends an event; changed() asks for a drawing. */
  constructor(letters, state, tell, changed) {
    Object.assign(this, { letters, state, tell, changed });
  }

  begin(item, point, gesture) {
    this.flush();
    this.drag = { key: item.key, anchor: along(item.line.arc, point), dx: 0, gesture };
  }

  get dragged() {
    return this.drag && (this.letters.items.get(this.drag.key) ?? null);
  }

  to(point) {
    const item = this.dragged;
    if (!item) return;
    const step = this.state.steps.fine / 2;
    const dx = Math.round((along(item.line.arc, point) - this.drag.anchor) / step) * step;
    this.#push(this.#items(item), dx - this.drag.dx);
    this.drag.dx = dx;
    this.changed();
  }

  drop() {
    const item = this.dragged, { dx, gesture } = this.drag;
    this.drag = null;
    if (!item || Math.abs(dx) < 1e-6) return this.changed();
    this.#hold(item, dx);
    this.tell("move", { key: item.key, dx: rounded(dx), gesture });
    this.changed();
    return item;
  }

  giveBack() {
    const item = this.dragged;
    if (item) this.#push(this.#items(item), -this.drag.dx);
    this.drag = null;
    this.changed();
  }

  /** One step to the right (1) or left (-1). Steps that come faster than answers are told together. */
  nudge(item, way, coarse, gesture) {
    const waiting = this.#waiting;
    if (waiting && (waiting.key !== item.key || waiting.coarse !== coarse)) this.flush();
    this.#waiting ??= { key: item.key, coarse, gesture, steps: 0 };
    this.#waiting.steps += way;
    this.#push(this.#items(item), way * this.#step(coarse));
    if (!this.#sent.has(item.key)) this.flush();
    else this.#timer ||= setTimeout(() => this.flush(), NO_ANSWER_MS);
    this.changed();
  }

  /** Tell what waits. */
  flush() {
    clearTimeout(this.#timer);
    this.#timer = 0;
    const waiting = this.#waiting, item = waiting && this.letters.items.get(waiting.key);
    this.#waiting = null;
    if (!item || !waiting.steps) return;
    this.#hold(item, waiting.steps * this.#step(waiting.coarse), false);
    this.tell("nudge", { key: item.key, dir: waiting.steps, coarse: waiting.coarse, gesture: waiting.gesture });
  }

  /** Nobody answers: letters go back to where the program last said they stand, and nothing waits to be told. */
  forget() {
    clearTimeout(this.#timer);
    this.#timer = 0;
    for (const held of this.#sent.values()) this.#push(held.items, -held.dx);
    this.#sent.clear();
    const waiting = this.#waiting, item = waiting && this.letters.items.get(waiting.key);
    if (item) this.#push(this.#items(item), -waiting.steps * this.#step(waiting.coarse));
    this.#waiting = null;
  }

  /** A new view has been taken: letters it has answered for are let go. settled says that nothing more of it is under
   *  way, so that further nudges may be told; anew, that it is the last word on all. */
  answered(before, anew, settled) {
    for (const [key, held] of this.#sent) {
      const item = this.letters.items.get(key);
      if (item && !anew && !held.answered && sign(item) === held.sign) continue;
      this.#push(held.items, -held.dx);
      if (settled || anew || !item) this.#sent.delete(key);
      else Object.assign(held, { dx: 0, answered: true });
    }
    if (anew && this.#waiting) {
      const item = this.letters.items.get(this.#waiting.key);
      if (item) this.#push(this.#items(item), -this.#waiting.steps * this.#step(this.#waiting.coarse));
      this.#waiting = null;
    }
    if (this.#waiting && !this.#sent.has(this.#waiting.key)) this.flush();
    this.#keepUnderFinger(before);
  }

  /** Where letters stand before a view is taken, for answered(). */
  places() {
    const item = this.dragged;
    return item ? along(item.line.arc, middle(item)) : null;
  }

  #keepUnderFinger(before) {
    const item = this.dragged;
    if (!this.drag || before === null) return;
    if (!item) {
      this.drag = null;
      return;
    }
    const step = along(item.line.arc, middle(item)) - before;
    if (Math.abs(step) < 1e-6) return;
    this.drag.anchor += step;
    this.drag.dx -= step;
    this.#push(this.#items(item), -step);
  }

  #hold(item, dx) {
    const held = this.#sent.get(item.key);
    const open = held && !held.answered;
    this.#sent.set(item.key, {
      items: this.#items(item), dx: dx + (open ? held.dx : 0), sign: open ? held.sign : sign(item), answered: false,
    });
  }

  #items(item) {
    return this.state.follows ? this.letters.from(item) : [item];
  }

  #push(items, dx) {
    for (const item of items) {
      item.dx += dx;
      if (Math.abs(item.dx) < 1e-9) item.dx = 0;
    }
  }

  #step(coarse) {
    return coarse ? this.state.steps.coarse : this.state.steps.fine;
  }
}

function middle({ data: { box } }) {
  return [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
}

/** What changes of a letter when the program has taken a push of it. */
function sign(item) {
  return JSON.stringify([item.data.matrix, item.data.gap?.shift, item.before?.data.gap?.shift]);
}

const rounded = (mm) => Math.round(mm * 1000) / 1000;

let counter = 0;

/** A name for one drag, or for one key held down. */
export function newGesture() {
  return `${Date.now().toString(36)}-${(counter++).toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
}

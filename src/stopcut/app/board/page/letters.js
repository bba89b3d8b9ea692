// The letters: one node each, kept from view to view; where each is shown, and which one lies under a finger.

import { after, apply, back, moved, pushed, written } from "./affine.js";
import { make, set } from "./svg.js";

const SETTLES_MS = 120; // what another hand moved takes so long to go there. Our choice: long enough to be followed.
const LEAST_MM = 0.005; // a smaller step is none
const EDGE_POINTS = 160; // along an outline: at 60 mm high they stand 2 mm apart. Our choice: finer than a fingertip.

export class Letters {
  items = new Map();
  order = []; // in the order of reading
  #paths = new Map();
  #lines = new Map();
  #edges = new Map();
  #began = 0;

  constructor(parent, name) {
    this.group = make("g", { class: "letters", "data-name": name }, parent);
  }

  addPaths(paths) {
    for (const [digest, data] of Object.entries(paths)) this.#paths.set(digest, data);
  }

  path(digest) {
    return this.#paths.get(digest) ?? "";
  }

  /** Take the lines as they stand now; what was elsewhere goes to its place, unless still. */
  take(lines, still) {
    const seen = new Set();
    this.order = [];
    for (const line of lines) {
      const group = this.#lineGroup(line);
      let before = null;
      for (const letter of line.letters) {
        if (!this.path(letter.path)) {
          before = null;
          continue;
        }
        const item = this.#takeLetter(letter, line, group, still);
        item.before = before;
        if (before) before.next = item;
        item.next = null;
        before = item;
        seen.add(letter.key);
        this.order.push(item);
      }
    }
    for (const [key, item] of this.items) {
      if (seen.has(key)) continue;
      item.node.remove();
      this.items.delete(key);
    }
    for (const [number, group] of this.#lines) {
      if (group.childElementCount) continue;
      group.remove();
      this.#lines.delete(number);
    }
  }

  #lineGroup(line) {
    if (!this.#lines.has(line.number)) this.#lines.set(line.number, make("g", { role: "group" }, this.group));
    return set(this.#lines.get(line.number), { "aria-label": `Line ${line.number}: ${line.words}` });
  }

  #takeLetter(letter, line, group, still) {
    let item = this.items.get(letter.key);
    if (!item) {
      const node = make("g", { class: "letter", role: "option", id: `${this.group.dataset.name}-${letter.key}` });
      item = { key: letter.key, node, outline: make("path", {}, node), dx: 0, glide: null, data: null };
      this.items.set(letter.key, item);
    }
    if (item.node.parentNode !== group) group.append(item.node);
    const was = item.data && this.shownMatrix(item);
    const same = was && item.data.path === letter.path && [0, 1, 2, 3].every((at) => item.data.matrix[at] === letter.matrix[at]);
    item.was = same && !still ? [was[4], was[5]] : null;
    item.data = letter;
    item.line = line;
    set(item.outline, { d: this.path(letter.path) });
    set(item.node, { "aria-label": letter.name, "data-key": letter.key });
    return item;
  }

  /** Once it is known how far letters are still held away from their place: let the rest glide there. */
  glide(still) {
    for (const item of this.order) {
      if (item.was && !still) {
        const [, , , , x, y] = this.matrix(item);
        const step = [item.was[0] - x, item.was[1] - y];
        item.glide = Math.hypot(...step) > LEAST_MM ? step : null;
      } else item.glide = null;
      item.was = null;
    }
    this.#began = performance.now();
  }

  /** Still on the way? */
  get gliding() {
    return performance.now() - this.#began < SETTLES_MS;
  }

  /** A letter's place (or that of anything that goes with it) with what a hand has pushed it by. */
  matrix(item, of = item.data.matrix) {
    return item.dx ? after(of, pushed(item.line.arc, item.dx)) : of;
  }

  /** The same, as it is shown just now. */
  shownMatrix(item, of = item.data.matrix) {
    const matrix = this.matrix(item, of);
    if (!item.glide) return matrix;
    const left = Math.max(0, 1 - (performance.now() - this.#began) / SETTLES_MS);
    if (!left) item.glide = null;
    return left ? moved(matrix, item.glide[0] * left ** 2, item.glide[1] * left ** 2) : matrix;
  }

  /** A letter's box as it is shown. [mm: left, bottom, right, top] */
  box(item) {
    const [left, bottom, right, top] = item.data.box;
    if (!item.dx) return item.data.box;
    const push = pushed(item.line.arc, item.dx);
    const [x, y] = apply(push, [(left + right) / 2, (bottom + top) / 2]);
    const dx = x - (left + right) / 2, dy = y - (bottom + top) / 2;
    return [left + dx, bottom + dy, right + dx, top + dy];
  }

  /** This letter and those of its line that are read after it. */
  from(item) {
    return this.order.filter((one) => one.line.number === item.line.number && one.data.index >= item.data.index);
  }

  /** The letter at a point of the board, or within slack of it [mm]: in its box, holes and all, unless another letter's
   *  ink is nearer. */
  at(point, slack) {
    const [x, y] = point;
    const there = this.order.filter((item) => {
      const [left, bottom, right, top] = this.box(item);
      return x >= left - slack && x <= right + slack && y >= bottom - slack && y <= top + slack;
    });
    if (there.length < 2) return there[0] ?? null;
    const away = there.map((item) => this.#inkAway(item, point));
    return there[away.indexOf(Math.min(...away))];
  }

  /** How far a point is from a letter's ink; 0 in it. [mm] */
  #inkAway(item, point) {
    const matrix = this.matrix(item), [x, y] = back(matrix, point);
    const spot = item.outline.ownerSVGElement.createSVGPoint();
    [spot.x, spot.y] = [x, y];
    if (item.outline.isPointInFill(spot)) return 0;
    const scale = Math.hypot(matrix[0], matrix[1]);
    return scale * Math.min(...this.#edge(item).map(([px, py]) => Math.hypot(px - x, py - y)));
  }

  /** Points along a letter's outline, in the outline's unit. */
  #edge(item) {
    const { path } = item.data;
    if (!this.#edges.has(path)) {
      const long = item.outline.getTotalLength(), many = EDGE_POINTS;
      const points = Array.from({ length: many }, (_, at) => item.outline.getPointAtLength((long * at) / many));
      this.#edges.set(path, points.map((one) => [one.x, one.y]));
    }
    return this.#edges.get(path);
  }

  draw(state) {
    for (const item of this.order) {
      set(item.outline, { transform: written(this.shownMatrix(item)) });
      const chosen = state.chosen.has(item.key);
      set(item.node, {
        class: `letter${chosen ? " chosen" : ""}${state.lit(item) ? "" : " unlit"}`,
        "aria-selected": state.still ? null : String(chosen),
      });
    }
  }
}

// The gaps between letters: two ticks under the line and the figure, as they are while a hand moves a letter. Graphite
// where the model set them, red where a hand did. A figure is only written where it has room.

import { apply, downwards, pushed } from "./affine.js";
import { bare } from "./lengths.js";
import { Kept, make, set, write } from "./svg.js";

const TICK = 8, UNDER_TICK = 15, CLEAR = 7, FIGURE = 7.8, TALL = 15; // px: ticks, their figures and the room between
const LEAST_CAP = 26; // px: lower lines show only the ticks of what was touched
const BY_HAND_MM = 0.005; // a smaller shift is none

export class Gaps {
  #figures; #model; #hand; #spots = [];

  constructor(screen) {
    this.group = make("g", { class: "gaps", "aria-hidden": "true" }, screen);
    this.#model = make("path", { class: "tick" }, this.group);
    this.#hand = make("path", { class: "tick by-hand" }, this.group);
    this.#figures = new Kept(() => make("text", { "text-anchor": "middle" }, this.group));
  }

  /** The gap after a letter as it is now: {gap, shift, text, byHand}; null where there is none. */
  now(item, units) {
    const gap = item.data.gap;
    if (!gap || !item.next) return null;
    const backwards = !item.line.arc && item.next.data.box[0] < item.data.box[0];
    const change = (item.next.dx - item.dx) * (backwards ? -1 : 1);
    const shift = gap.shift + change;
    return {
      gap: gap.gap + change, shift, byHand: Math.abs(shift) > BY_HAND_MM,
      text: Math.abs(change) > BY_HAND_MM ? bare(gap.gap + change, units) : gap.text,
    };
  }

  draw(letters, view, state) {
    const ticks = { model: [], hand: [] }, wanted = [];
    for (const item of letters.order) {
      const now = this.now(item, state.units);
      if (!now) continue;
      const spot = this.#spot(item, view);
      if (!inside(spot.at, view.frame)) continue;
      const touched = state.chosen.has(item.key) || state.chosen.has(item.next.key);
      if (item.line.cap * view.scale < LEAST_CAP && !touched && !now.byHand) continue;
      (now.byHand ? ticks.hand : ticks.model).push(spot.d);
      wanted.push({ item, now, spot, half: (now.text.length * FIGURE) / 2, worth: (touched ? 2 : 0) + (now.byHand ? 1 : 0) });
    }
    set(this.#model, { d: ticks.model.join("") });
    set(this.#hand, { d: ticks.hand.join("") });
    this.#write(wanted, linesOf(letters, view));
  }

  #spot(item, view) {
    const { from, to } = item.data.gap, arc = item.line.arc;
    const ends = [apply(pushed(arc, item.dx), from), apply(pushed(arc, item.next.dx), to)];
    const [down, down2] = ends.map((end) => downwards(arc, end)).map(([x, y]) => [x * view.flip, -y]);
    const [a, b] = ends.map((end) => view.toScreen(end));
    const d = `M${a}l${down.map((part) => part * TICK)}M${b}l${down2.map((part) => part * TICK)}`;
    const at = [0, 1].map((axis) => (a[axis] + b[axis]) / 2 + down[axis] * (TICK + UNDER_TICK));
    return { d, at: [at[0], at[1] - (1 - down[1]) * 4] };
  }

  #write(wanted, lines) {
    const taken = [];
    this.#figures.begin();
    this.#spots = [];
    for (const { item, now, spot, half, worth } of wanted.sort((a, b) => b.worth - a.worth)) {
      const [x, y] = spot.at;
      const box = [x - half - CLEAR / 2, y - TALL + 2, x + half + CLEAR / 2, y + 3];
      if (taken.some((other) => meets(box, other))) continue;
      if (worth < 2 && lines.some((line) => line.number !== item.line.number && covers(box, line))) continue;
      taken.push(box);
      const text = this.#figures.get(item.key);
      set(text, { x: x.toFixed(1), y: y.toFixed(1), class: now.byHand ? "by-hand" : null });
      write(text, now.text);
      this.#spots.push({ item, box });
    }
    this.#figures.end();
  }

  /** The letter before the gap whose figure is at a place in the frame. */
  at([px, py]) {
    return this.#spots.find(({ box }) => meets(box, [px, py, px, py]))?.item ?? null;
  }
}

/** Lines with the boxes of their letters and one round them all. [px] */
function linesOf(letters, view) {
  const lines = new Map();
  for (const item of letters.order) {
    const [left, bottom, right, top] = letters.box(item);
    const [x0, y0] = view.toScreen([left, top]), [x1, y1] = view.toScreen([right, bottom]);
    const box = [Math.min(x0, x1), y0, Math.max(x0, x1), y1], number = item.line.number;
    if (!lines.has(number)) lines.set(number, { number, box: [...box], letters: [] });
    const line = lines.get(number);
    line.letters.push(box);
    line.box = [Math.min(line.box[0], box[0]), Math.min(line.box[1], y0), Math.max(line.box[2], box[2]), Math.max(line.box[3], y1)];
  }
  return [...lines.values()];
}

function covers(box, line) {
  return meets(box, line.box) && line.letters.some((letter) => meets(box, letter));
}

function inside([x, y], { width, height }) {
  return x > 0 && x < width && y > 0 && y < height;
}

function meets(one, other) {
  return one[0] <= other[2] && other[0] <= one[2] && one[1] <= other[3] && other[1] <= one[3];
}

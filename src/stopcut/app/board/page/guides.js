// What a carver draws before the letters: margins, reference lines and cap heights, centre ticks; wood to keep clear of;
// and outside the edge the board's size and the way of its grain.

import { make, set, write } from "./svg.js";

const TICK = 9; // px
const OVERHANG = 1.06; // an arc's line runs on a little past its letters

export class Guides {
  constructor(world, screen) {
    this.group = make("g", { class: "guides", "aria-hidden": "true" }, world);
    this.margin = make("rect", { class: "margin" }, this.group);
    this.avoid = make("path", { class: "avoid" }, this.group);
    this.lines = make("path", { class: "reference" }, this.group);
    this.caps = make("path", { class: "cap" }, this.group);
    this.marks = make("g", { class: "marks", "aria-hidden": "true" }, screen);
    this.edge = make("rect", { class: "edge" }, this.marks);
    this.ticks = make("path", { class: "tick" }, this.marks);
    this.width = make("text", { "text-anchor": "middle" }, this.marks);
    this.grain = make("text", { class: "grain" }, this.marks);
    this.height = make("text", { "text-anchor": "end" }, this.marks);
    this.arrows = make("path", { class: "tick" }, this.marks);
  }

  /** Everything in mm: only when the board or its lines have changed. */
  take(view) {
    const { width, height, margin } = view;
    set(this.margin, { x: margin, y: margin, width: Math.max(0, width - 2 * margin), height: Math.max(0, height - 2 * margin) });
    set(this.margin, { display: margin > 0 ? null : "none" });
    set(this.lines, { d: view.lines.map((line) => guide(line, 0, width)).join("") });
    set(this.caps, { d: view.lines.map((line) => guide(line, line.cap, width)).join("") });
    set(this.avoid, { d: (view.avoid ?? []).map(keepClear).join("") });
    const labels = view.labels ?? {};
    write(this.width, labels.width ?? "");
    write(this.height, labels.height ?? "");
    write(this.grain, labels.grain ?? "");
    this.along = view.grain === "height" ? "height" : "width";
  }

  /** What stands outside the edge, in the frame's pixels. */
  draw(view) {
    const { left, top, right, bottom, width, height } = view.edge, { frame } = view;
    set(this.edge, { x: left, y: top, width, height });
    const middle = (left + right) / 2;
    const d = [];
    if (top >= TICK && middle > 0 && middle < frame.width) d.push(`M${middle} ${top - TICK}V${top}`);
    const below = bottom + TICK <= frame.height;
    if (below && middle > 0 && middle < frame.width) d.push(`M${middle} ${bottom}V${bottom + TICK}`);
    set(this.ticks, { d: d.join("") });
    const at = bottom + view.pads.labels;
    const shown = at < frame.height ? null : "none";
    for (const text of [this.width, this.grain, this.height, this.arrows]) set(text, { display: shown });
    if (shown) return;
    set(this.width, { x: middle, y: at });
    const start = Math.max(left, 4), end = Math.min(right, frame.width - 4);
    set(this.grain, { x: start, y: at });
    set(this.height, { x: end - 12, y: at });
    set(this.arrows, { d: arrow(start + this.#wide(this.grain) + 8, at - 5, this.along) + arrow(end - 5, at - 5, "height") });
    this.#roomForAll(middle);
  }

  /** On a narrow board the size stays, and what does not fit beside it goes. */
  #roomForAll(middle) {
    const half = this.#wide(this.width) / 2 + 14;
    const grainEnds = Number(this.grain.getAttribute("x")) + this.#wide(this.grain) + 30;
    const heightStarts = Number(this.height.getAttribute("x")) - this.#wide(this.height);
    if (grainEnds <= middle - half && heightStarts >= middle + half) return;
    for (const text of [this.grain, this.height, this.arrows]) set(text, { display: "none" });
  }

  #wide(text) {
    return text.textContent.length * 6.4; // px, closely: no measuring of text at every frame
  }
}

/** A line at a height above the letters' feet: right across the board, or along its arc. */
function guide(line, up, width) {
  if (!line.arc) return `M0 ${line.baseline + up}H${width}`;
  const { x, y, radius, bend } = line.arc;
  const at = bend === "up" ? radius + up : radius - up;
  if (at <= 0 || !line.letters.length) return "";
  const turns = line.letters.flatMap(({ box }) => [[box[0], box[1]], [box[2], box[1]]])
    .map(([px, py]) => Math.atan2(px - x, bend === "up" ? py - y : y - py));
  const from = Math.min(...turns) * OVERHANG, to = Math.max(...turns) * OVERHANG;
  const point = (turn) => `${x + at * Math.sin(turn)} ${bend === "up" ? y + at * Math.cos(turn) : y - at * Math.cos(turn)}`;
  const large = to - from > Math.PI ? 1 : 0;
  return `M${point(from)}A${at} ${at} 0 ${large} ${bend === "up" ? 0 : 1} ${point(to)}`;
}

function keepClear(spot) {
  const { x, y } = spot;
  if (spot.radius === undefined || spot.radius === null) return `M${x} ${y}h${spot.width}v${spot.height}h${-spot.width}Z`;
  const r = spot.radius;
  return `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;
}

function arrow(x, y, way) {
  return way === "height"
    ? `M${x} ${y - 7}v14m-3-3l3 3l3-3m-6-8l3-3l3 3`
    : `M${x} ${y}h22m-4-3l4 3l-4 3m-14-6l-4 3l4 3`;
}

// Measuring between two points, and taking a section: a cross by the pointer or by keys, a line with its figure, and the
// hairline of the section that the program gives back.

import { length } from "./lengths.js";
import { make, set, write } from "./svg.js";

const EVERY_MS = 60; // between two places told to the program
const CROSS = 9, END = 6; // px
const LABEL = 7.6, LABEL_TALL = 26; // px: of a figure's letter, and of its ground

export class Measure {
  cross = null; // mm: where keys have brought the cross; null while the pointer leads
  #from = null; #to = null; #fixed = false; #said = ""; #mark = null; #last = 0; #timer = 0; #next = null;

  constructor(screen, state, tell, changed) {
    Object.assign(this, { state, tell, changed });
    this.group = make("g", { class: "measure", "aria-hidden": "true" }, screen);
    this.section = make("path", { class: "section" }, this.group);
    this.sectionLabel = label(this.group);
    this.line = make("path", { class: "between" }, this.group);
    this.point = make("path", { class: "cross" }, this.group);
    this.label = label(this.group);
  }

  clear() {
    this.#from = this.#to = this.cross = this.#mark = null;
    this.#fixed = false;
  }

  /** Escape: take back the first point, or the whole line. Says whether there was any. */
  letGo() {
    const had = this.#from !== null;
    this.#from = this.#to = null;
    this.#fixed = false;
    return had;
  }

  hover(at, straight = false) {
    if (this.state.task === "measure" && this.#from && !this.#fixed) this.#to = straight ? straightened(this.#from, at) : at;
    if (this.state.task === "section") this.#probe(at);
  }

  /** A tap, or Enter at the cross. */
  set(at, straight = false) {
    if (this.state.task === "section") return this.#probe(at, true);
    if (!this.#from || this.#fixed) {
      [this.#from, this.#to, this.#fixed, this.#said] = [at, null, false, ""];
      return;
    }
    this.#to = straight ? straightened(this.#from, at) : at;
    this.#fixed = true;
    const [x0, y0, x1, y1] = [...this.#from, ...this.#to].map(rounded);
    this.tell("measured", { x0, y0, x1, y1 });
  }

  /** Two points that were written rather than set. */
  between([x0, y0, x1, y1]) {
    [this.#from, this.#to, this.#fixed, this.#said, this.cross] = [[x0, y0], [x1, y1], true, "", null];
  }

  /** The figure as the program writes it. */
  say(text) {
    this.#said = text;
  }

  /** The section the program has taken: {x0, y0, x1, y1, text}, or null. */
  mark(mark) {
    this.#mark = mark;
  }

  /** What the figure says now. */
  get text() {
    if (!this.#from || !this.#to) return "";
    return (this.#fixed && this.#said) || length(Math.hypot(this.#to[0] - this.#from[0], this.#to[1] - this.#from[1]), this.state.units);
  }

  #probe(at, atOnce = false) {
    this.#next = at;
    const wait = atOnce ? 0 : this.#last + EVERY_MS - performance.now();
    if (wait > 0) {
      this.#timer ||= setTimeout(() => this.#tellProbe(), wait);
      return;
    }
    this.#tellProbe();
  }

  #tellProbe() {
    clearTimeout(this.#timer);
    this.#timer = 0;
    this.#last = performance.now();
    this.tell("probe", { x: rounded(this.#next[0]), y: rounded(this.#next[1]) });
  }

  draw(view) {
    const from = this.#from && view.toScreen(this.#from), to = this.#to && view.toScreen(this.#to);
    set(this.line, { d: from && to ? dimension(from, to) : "" });
    put(this.label, from && to && between(from, to), this.text, view);
    const crosses = [from, to, this.cross && view.toScreen(this.cross)].filter(Boolean);
    set(this.point, { d: crosses.map(([x, y]) => `M${x - CROSS} ${y}h${2 * CROSS}M${x} ${y - CROSS}v${2 * CROSS}`).join("") });
    const mark = this.state.task === "section" ? this.#mark : null;
    const ends = mark && [view.toScreen([mark.x0, mark.y0]), view.toScreen([mark.x1, mark.y1])];
    set(this.section, { d: ends ? dimension(...ends) : "" });
    put(this.sectionLabel, ends && beyond(...ends), mark?.text ?? "", view);
  }

  stop() {
    clearTimeout(this.#timer);
  }
}

/** A figure on its own ground, so that it can be read on any wood. */
export function label(parent) {
  const group = make("g", { class: "label", display: "none" }, parent);
  make("rect", { rx: 3 }, group);
  make("text", { "text-anchor": "middle" }, group);
  return group;
}

/** Put a figure's middle at a place [px], kept inside the frame; away with it if there is none. */
export function put(group, at, text, view) {
  set(group, { display: at && text ? null : "none" });
  if (!at || !text) return;
  const wide = text.length * LABEL + 16, { width, height } = view.frame;
  const x = Math.min(Math.max(at[0], wide / 2 + 2), width - wide / 2 - 2);
  const y = Math.min(Math.max(at[1], LABEL_TALL / 2 + 2), height - LABEL_TALL / 2 - 2);
  set(group, { transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` });
  set(group.firstChild, { x: -wide / 2, y: -LABEL_TALL / 2, width: wide, height: LABEL_TALL });
  set(group.lastChild, { y: 5.5 });
  write(group.lastChild, text);
}

function dimension(from, to) {
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const [nx, ny] = [(-(to[1] - from[1]) / long) * END, ((to[0] - from[0]) / long) * END];
  const end = ([x, y]) => `M${x - nx} ${y - ny}L${x + nx} ${y + ny}`;
  return `M${from}L${to}${end(from)}${end(to)}`;
}

function between(from, to) {
  return [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2 - 22];
}

function beyond(from, to) {
  const upper = from[1] < to[1] ? from : to;
  return [upper[0], upper[1] - 22];
}

function straightened([x0, y0], [x, y]) {
  return Math.abs(x - x0) > Math.abs(y - y0) ? [x, y0] : [x0, y];
}

const rounded = (mm) => Math.round(mm * 1000) / 1000;

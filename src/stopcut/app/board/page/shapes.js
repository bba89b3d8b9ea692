// What is drawn besides the letters: ornaments and borders, and the centre and corner lines of the grooves.

import { pushed, written } from "./affine.js";
import { Kept, make, set } from "./svg.js";

export class Shapes {
  #drawn = []; #centre = new Map();

  constructor(world) {
    this.group = make("g", { class: "drawn", "aria-hidden": "true" }, world);
    this.lines = make("g", { class: "centre", "aria-hidden": "true" }, world);
    this.nodes = new Kept(() => make("path", {}, this.group));
  }

  take(view, changed, letters) {
    if (changed.drawn || changed.borders) {
      const borders = (view.borders ?? []).map((one) => ({ ...one, what: "border", carved: true }));
      this.#drawn = [...(view.drawn ?? []), ...borders];
      this.nodes.begin();
      this.#drawn.forEach((one, at) => set(this.nodes.get(at), { d: letters.path(one.path), transform: written(one.matrix) }));
      this.nodes.end();
    }
    if (changed.centre) this.#takeCentre(view.centre ?? []);
  }

  /** One path a letter for the parallel runs, another for the rest, so that they can go with their letter. */
  #takeCentre(lines) {
    this.lines.replaceChildren();
    this.#centre.clear();
    for (const { d, run, keys } of lines) {
      const key = keys[0] ?? "";
      if (!this.#centre.has(key)) this.#centre.set(key, { run: [], rest: [] });
      this.#centre.get(key)[run ? "run" : "rest"].push(d);
    }
    for (const parts of this.#centre.values()) {
      parts.node = make("g", {}, this.lines);
      make("path", { d: parts.run.join(""), class: "run" }, parts.node);
      make("path", { d: parts.rest.join(""), class: "rest" }, parts.node);
    }
  }

  draw(letters, wood, looks, task) {
    this.#drawn.forEach((one, at) => {
      const unlit = one.carved && !wood.shows(one.path);
      set(this.nodes.get(at), { class: `${one.carved ? "carved" : "uncarved"}${unlit ? " unlit" : ""}${one.what === "before" ? " before" : ""}` });
    });
    const shown = (task === "section" || looks.has("depth") || looks.has("outline")) && !looks.has("squint");
    set(this.lines, { display: shown ? null : "none" });
    if (!shown) return;
    for (const [key, { node }] of this.#centre) {
      const item = letters.items.get(key);
      set(node, { transform: item?.dx ? written(pushed(item.line.arc, item.dx)) : null });
    }
  }
}

// Findings pinned where they are: a red figure in a shape by how grave it is (a square stops, a diamond wants a look, a
// circle is a note), on a short stem whose foot is the place itself. One tab stop; arrows go from pin to pin.

import { Kept, make, set, write } from "./svg.js";

const HALF = 13; // px: half a pin's width. A finger finds 26 px and the ring of CLEAR round it.
const CLEAR = 3;
const SPOT = 7; // px: half the bar at a place that a finding holds of
const STEM = 30; // px: from the place to the middle of its pin
const WAYS = [90, 45, 135, 0, 180, -45, -135, -90]; // degrees, tried in this order
const LONGER = [1, 1.6, 2.3]; // stems, if there is no room
const SEVERITIES = { stop: "Stops the work", look: "To look at", note: "Worth knowing" };
const SHAPES = {
  stop: "M-12-12h24v24h-24z",
  look: "M0-16.5L16.5 0L0 16.5L-16.5 0Z",
  note: "M-13 0a13 13 0 1 0 26 0a13 13 0 1 0-26 0Z",
};
const PULSE = [{ transform: "scale(1)", opacity: 0.9 }, { transform: "scale(2.6)", opacity: 0 }];

export class Pins {
  #nodes; #pins = []; #current = 0; #chosen = 0;

  constructor(screen, tell, changed) {
    this.spots = make("g", { class: "spots", "aria-hidden": "true" }, screen);
    this.spotPaths = [make("path", {}, this.spots), make("path", {}, this.spots)];
    this.group = make("g", { class: "pins", role: "toolbar", "aria-label": "Findings on the board", "data-own": "" }, screen);
    this.#nodes = new Kept(() => this.#make());
    Object.assign(this, { tell, changed });
    this.group.addEventListener("click", (event) => this.#press(event.target.closest("[data-number]")));
    this.group.addEventListener("keydown", (event) => this.#key(event));
  }

  #make() {
    const node = make("g", { class: "pin", role: "button" }, this.group);
    make("path", { class: "stem" }, node);
    const head = make("g", { class: "head" }, node);
    make("circle", { class: "pulse", r: 17 }, head);
    make("path", { class: "shape" }, head);
    make("text", { "text-anchor": "middle", y: 5.5 }, head);
    make("title", {}, node);
    return node;
  }

  take(pins) {
    this.#pins = pins;
    this.#current = Math.min(this.#current, Math.max(0, pins.length - 1));
    set(this.group, { display: pins.length ? null : "none" });
    this.#nodes.begin();
    pins.forEach((pin, at) => {
      const node = this.#nodes.get(pin.number);
      const severity = SEVERITIES[pin.severity] ? pin.severity : "note";
      set(node, {
        class: `pin ${severity}`, "data-number": pin.number, tabindex: at === this.#current ? 0 : -1,
        "aria-label": `${pin.number}. ${SEVERITIES[severity]}: ${pin.says}`,
      });
      set(node.querySelector(".shape"), { d: SHAPES[severity] });
      write(node.querySelector("text"), String(pin.number));
      write(node.querySelector("title"), pin.says);
    });
    this.#nodes.end();
  }

  draw(view, letters) {
    this.#drawSpots(view);
    const taken = [], covers = covering(letters, view);
    for (const pin of this.#pins) {
      const node = this.#nodes.get(pin.number);
      const spot = view.toScreen([pin.x, pin.y]);
      const out = spot[0] < -20 || spot[1] < -20 || spot[0] > view.frame.width + 20 || spot[1] > view.frame.height + 20;
      set(node, { display: out ? "none" : null });
      if (out) continue;
      const head = place(spot, taken, covers, view.frame);
      taken.push(head);
      const [dx, dy] = [head[0] - spot[0], head[1] - spot[1]];
      set(node, { transform: `translate(${spot[0].toFixed(1)} ${spot[1].toFixed(1)})` });
      set(node.querySelector(".head"), { transform: `translate(${dx.toFixed(1)} ${dy.toFixed(1)})` });
      set(node.querySelector(".stem"), { d: `M-2.5 0a2.5 2.5 0 1 0 5 0a2.5 2.5 0 1 0-5 0M0 0L${dx.toFixed(1)} ${dy.toFixed(1)}` });
    }
  }

  /** A short bar under every place that the chosen finding holds of. */
  #drawSpots(view) {
    const pin = this.#pins.find((one) => one.number === this.#chosen);
    const d = (pin?.spots ?? []).map((spot) => view.toScreen(spot)).map(([x, y]) => `M${(x - SPOT).toFixed(1)} ${y.toFixed(1)}h${2 * SPOT}`).join("");
    for (const path of this.spotPaths) set(path, { d });
  }

  /** Where a numbered pin's foot is, or null. */
  place(number) {
    const pin = this.#pins.find((one) => one.number === number);
    return pin ? [pin.x, pin.y] : null;
  }

  pulse(number, still) {
    const node = this.group.querySelector(`[data-number="${number}"]`);
    if (!node) return;
    for (const other of this.group.querySelectorAll(".shown")) other.classList.remove("shown");
    node.classList.add("shown");
    this.#chosen = number;
    if (!still) node.querySelector(".pulse").animate(PULSE, { duration: 900, easing: "ease-out" });
  }

  #press(node) {
    if (!node) return;
    const number = Number(node.dataset.number);
    this.pulse(number, true);
    this.changed();
    this.tell("pin", { number });
  }

  #key(event) {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (event.key === "Enter" || event.key === " ") this.#press(event.target.closest("[data-number]"));
    else if (step) this.#focus(this.#current + step);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  #focus(at) {
    if (at < 0 || at >= this.#pins.length) return;
    this.#current = at;
    this.#pins.forEach((pin, which) => set(this.#nodes.get(pin.number), { tabindex: which === at ? 0 : -1 }));
    this.#nodes.get(this.#pins[at].number).focus();
  }
}

/** The first place near a spot where a pin covers no letter and no other pin, and stands in the frame; else one where it
 *  covers no other pin. */
function place([x, y], taken, covers, frame) {
  let second = null;
  for (const longer of LONGER) {
    for (const way of WAYS) {
      const at = [x + STEM * longer * Math.cos((way * Math.PI) / 180), y - STEM * longer * Math.sin((way * Math.PI) / 180)];
      const inside = at[0] > HALF && at[1] > HALF && at[0] < frame.width - HALF && at[1] < frame.height - HALF;
      if (!inside || taken.some((other) => Math.hypot(at[0] - other[0], at[1] - other[1]) < 2 * HALF + CLEAR)) continue;
      if (!covers(at)) return at;
      second ??= at;
    }
  }
  return second ?? [x, y - STEM];
}

/** Says whether a pin's head at a place would cover a letter. */
function covering(letters, view) {
  return (at) => {
    const [x, y] = view.toBoard(...at), reach = HALF / view.scale;
    return letters.order.some((item) => {
      const [left, bottom, right, top] = letters.box(item);
      return x > left - reach && x < right + reach && y > bottom - reach && y < top + reach;
    });
  };
}

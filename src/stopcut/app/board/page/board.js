// The board: wood, letters, guides and pins in a frame, and the hands that push and measure. Needs no library.
//
//   const board = createBoard(root, tell, { createLamp });   // tell(name, told) is called for every event
//   board.take({ view, look, task, chosen, follows, lamp, label, still, figures, pins, measured,
//               section });  // any of them
//   board.showPin(3);  board.whole();  board.dispose();  board.ready → Promise

import { Gaps } from "./gaps.js";
import { Guides } from "./guides.js";
import { Hands } from "./hands.js";
import { LampHandle } from "./lamp_handle.js";
import { Letters } from "./letters.js";
import { Measure } from "./measure.js";
import { Moves } from "./move.js";
import { Pins } from "./pins.js";
import { Shapes } from "./shapes.js";
import { element, make, onceAFrame, set, write } from "./svg.js";
import { Tones } from "./tones.js";
import { View } from "./view.js";
import { Wood } from "./wood.js";

const EMPTY = { width: 300, height: 100, margin: 0, lines: [], drawn: [], avoid: [], grooves: [], centre: [], pins: [], borders: [] };
// px round the board, and how far under its edge the labels stand: plain, with the lamp's track, without anything.
const PADS = { side: 2, top: 16, bottom: 34, labels: 25 };
const LAMP_PADS = { side: 31, top: 31, bottom: 54, labels: 43 };
const BARE_PADS = { side: 1, top: 1, bottom: 1, labels: Infinity };
// How high the board is drawn: with what stands round it, --most-share of the window's height less --most-less px, where
// the page says so in CSS; else by itself MOST_SHARE of it.
const MOST_SHARE = 0.6; // Our choice: what is under it must stay in sight.
const SQUINT = 0.075; // of the tallest capitals: so much is a picture blurred. Our choice: strokes run together, letters not.
const LEAST_BLUR = 2.5; // px

let boards = 0;

export function createBoard(root, tell, { createLamp = null } = {}) {
  return new Board(root, tell, createLamp);
}

class Board {
  state = {
    chosen: new Set(), active: null, task: "none", looks: new Set(["carved"]), follows: false, still: false, figures: true,
    units: "mm", steps: { fine: 0.1, coarse: 1 }, keyed: false, locked: false,
    lit: (item) => this.#litLetters.has(item.key),
  };
  view = { ...EMPTY };
  told = false; // is this view the program's?
  place = new View();
  #litLetters = new Set(); #motion = matchMedia("(prefers-reduced-motion: reduce)"); #fresh = true;

  constructor(root, tell, createLamp) {
    this.root = root;
    this.tell = (name, told) => this.state.still || tell(name, told);
    this.draw = onceAFrame(() => this.#draw());
    root.classList.add("stopcut-board");
    this.#build(root, createLamp);
    this.moves = new Moves(this.letters, this.state, this.tell, this.draw);
    this.hands = new Hands(this);
    this.#watch = new ResizeObserver(() => this.#fit());
    this.#watch.observe(root);
    this.resized = () => this.#fit();
    window.addEventListener("resize", this.resized);
    this.#fit();
  }
  #watch;

  #build(root, createLamp) {
    const name = `board-${++boards}`;
    this.frame = element("div", { class: "frame" }, root);
    this.wood = new Wood(this.frame, createLamp, () => this.draw());
    this.svg = make("svg", {}, this.frame);
    this.world = make("g", {}, this.svg);
    this.shapes = new Shapes(this.world);
    const screen = make("g", {}, this.svg);
    this.guides = new Guides(this.world, screen);
    this.letterPlace = make("g", { class: "letter-place", role: "listbox", "aria-multiselectable": "true", tabindex: 0 }, this.svg);
    this.letterWorld = make("g", { role: "presentation" }, this.letterPlace);
    this.letters = new Letters(this.letterWorld, name);
    this.ring = make("path", { class: "ring", "aria-hidden": "true" }, this.svg);
    const over = make("g", {}, this.svg);
    this.gaps = new Gaps(over);
    this.measure = new Measure(over, this.state, (...told) => this.tell(...told), this.draw);
    this.pins = new Pins(over, (...told) => this.tell(...told), () => this.draw());
    this.lamp = new LampHandle(over, (lamp) => this.wood.light(lamp), (...told) => this.tell(...told));
    this.readout = make("g", { class: "readout", "aria-hidden": "true" }, this.svg);
    this.wholeButton = element("button", { class: "whole", type: "button", hidden: "", "data-own": "" }, this.frame);
    write(this.wholeButton, "whole board");
    this.lockedWords = element("p", { class: "locked-words", hidden: "" }, this.frame);
    write(this.lockedWords, "Locked: the program does not answer. Nothing can be moved until it does.");
    this.tones = new Tones(root);
    this.says = element("p", { class: "says", "aria-live": "polite" }, root);
  }

  get still() {
    return this.#motion.matches || this.#fresh;
  }

  get ready() {
    return this.wood.ready;
  }

  take(told) {
    const { state } = this;
    if ("task" in told && told.task !== state.task) {
      state.task = told.task;
      this.measure.clear();
    }
    if ("look" in told) state.looks = new Set([told.look].flat().flatMap((look) => look.split(/[\s+]+/)));
    if ("chosen" in told) this.hands.chosen(told.chosen);
    if ("follows" in told) state.follows = told.follows;
    if ("figures" in told) state.figures = told.figures;
    if ("still" in told) state.still = told.still;
    if ("pins" in told) this.root.classList.toggle("unpinned", !told.pins);
    if ("locked" in told) this.#lock(told.locked);
    if ("label" in told) this.label = told.label;
    if ("lamp" in told) this.#takeLamp(told.lamp);
    if ("between" in told) this.measure.between(told.between);
    if ("measured" in told) this.measure.say(told.measured);
    if ("section" in told) this.measure.mark(told.section);
    if (told.view || told.anew) this.#takeView(told.view ?? {}, !!told.anew);
    this.#name();
    this.#fit();
  }

  /** The program is away: nothing is moved that it would not hear of, and what it has not answered goes back. */
  #lock(locked) {
    this.state.locked = locked;
    this.lockedWords.hidden = !locked || this.state.still;
    this.root.classList.toggle("locked", locked);
    if (!locked) return;
    this.hands.letDrop();
    this.moves.forget();
    this.draw();
  }

  #takeLamp(lamp) {
    this.light = lamp;
    this.lamp.take(this.state.still ? { ...lamp, movable: false } : lamp);
    this.wood.light(lamp);
  }

  #takeView(changed, anew) {
    const { state, letters } = this;
    letters.addPaths(changed.paths ?? {});
    Object.assign(this.view, changed);
    this.told ||= "width" in changed;
    if (changed.figures) {
      state.units = changed.figures.units ?? state.units;
      state.steps = { fine: changed.figures.step_fine ?? 0.1, coarse: changed.figures.step_coarse ?? 1 };
    }
    const before = this.moves.places();
    if (changed.lines) letters.take(this.view.lines, this.still);
    this.moves.answered(before, anew, this.view.grooves_state !== "coming");
    letters.glide(this.still);
    if (changed.lines || changed.width || changed.height || changed.margin !== undefined) this.guides.take(this.view);
    this.shapes.take(this.view, changed, letters);
    this.#takePins(changed);
    this.wood.board(this.view);
    if (this.light) this.wood.light(this.light);
    this.hands.kept();
    this.#fresh = !letters.order.length;
  }

  /** While grooves are on their way the pins before stay, faint: no pin goes and comes at every step of a letter. */
  #takePins(changed) {
    const coming = this.view.grooves_state === "coming";
    this.root.classList.toggle("coming", coming);
    if (changed.pins && !(coming && !changed.pins.length)) this.pins.take(changed.pins);
  }

  #name() {
    const { still } = this.state;
    set(this.letterPlace, {
      role: still ? "img" : "listbox", tabindex: still ? null : 0, "aria-multiselectable": still ? null : "true",
      "aria-label": this.label ?? "The board",
    });
    set(this.letterWorld, { "aria-hidden": still ? "true" : null });
    this.root.classList.toggle("still", still);
  }

  #fit() {
    const width = this.root.clientWidth;
    if (!width) return;
    const { figures } = this.state;
    const pads = this.light?.movable && !this.state.still ? LAMP_PADS : figures ? PADS : BARE_PADS;
    this.place.fit(width, this.#most(pads), { width: this.view.width, height: this.view.height }, pads);
    const { frame } = this.place;
    this.frame.style.height = `${frame.height}px`;
    set(this.svg, { width: frame.width, height: frame.height });
    this.draw();
  }

  #most(pads) {
    const said = getComputedStyle(this.root), share = Number.parseFloat(said.getPropertyValue("--most-share"));
    if (!share) return MOST_SHARE * window.innerHeight;
    return share * window.innerHeight - Number.parseFloat(said.getPropertyValue("--most-less")) - pads.top - pads.bottom;
  }

  get squints() {
    return this.state.looks.has("squint");
  }

  #draw() {
    const { state, place, letters, root } = this, { looks } = state;
    if (!place.frame.width) return;
    place.mirrored = looks.has("mirror");
    const tallest = Math.max(1, ...this.view.lines.map(({ cap }) => cap));
    const blur = this.squints ? Math.max(LEAST_BLUR, SQUINT * tallest * place.scale) : 0;
    for (const look of ["outline", "squint", "depth", "mirror"]) root.classList.toggle(look, looks.has(look));
    root.classList.toggle("dark-wood", this.wood.dark && !looks.has("outline") && !(looks.has("depth") && this.wood.lit));
    root.classList.toggle("lit", this.wood.lit);
    root.classList.toggle("close", !place.isWhole);
    root.dataset.task = state.still ? "none" : state.task;
    const matrix = `matrix(${place.matrix.join(" ")})`;
    set(this.world, { transform: matrix });
    set(this.letterWorld, { transform: matrix });
    this.letterPlace.style.filter = blur ? `blur(${blur.toFixed(1)}px)` : "";
    this.wood.depth(looks.has("depth"));
    this.wood.place(place, blur);
    this.wood.grooves(this.#lit());
    this.tones.draw(looks.has("depth") && this.wood.lit && !state.still ? this.wood.tones : [], state.units);
    letters.draw(state);
    this.shapes.draw(letters, this.wood, looks, state.task);
    this.guides.draw(place);
    if (state.figures && !this.squints) this.gaps.draw(letters, place, state);
    set(this.gaps.group, { display: state.figures && !this.squints ? null : "none" });
    this.measure.draw(place);
    this.pins.draw(place, letters);
    this.lamp.draw(place);
    this.hands.draw();
    this.wholeButton.hidden = place.isWhole || state.still;
    root.dataset.zoom = place.zoom.toFixed(2);
    if (letters.gliding) this.draw();
  }

  /** The grooves to light where they are shown now. Letters that touch are one groove, until a hand parts them. */
  #lit() {
    this.#litLetters.clear();
    const lit = [];
    const add = (groove, matrix, keys) => {
      lit.push({ tile: groove.tile, url: groove.url, matrix, wall: groove.wall, flat: groove.flat });
      if (this.wood.shows(groove.tile)) for (const key of keys) this.#litLetters.add(key);
    };
    for (const groove of this.state.looks.has("outline") ? [] : this.view.grooves) {
      const items = groove.keys.map((key) => this.letters.items.get(key)).filter(Boolean);
      if (items.length === 1) add(groove, this.letters.shownMatrix(items[0], groove.matrix), groove.keys);
      else if (!items.some((item) => item.dx || item.glide)) add(groove, groove.matrix, groove.keys);
      else {
        for (const item of items.filter(({ data }) => this.wood.shows(data.path))) {
          add({ ...groove, tile: item.data.path }, this.letters.shownMatrix(item), [item.key]);
        }
      }
    }
    return lit;
  }

  showPin(number) {
    const at = this.pins.place(number);
    if (!at) return;
    this.place.bringIn(at);
    this.root.scrollIntoView({ block: "nearest", behavior: this.#motion.matches ? "auto" : "smooth" });
    this.pins.pulse(number, this.#motion.matches);
    this.#draw();
  }

  whole() {
    this.place.whole();
    this.draw();
  }

  /** Look from so many times as near, at the chosen letter or the middle of what is shown. */
  nearer(factor) {
    this.hands.nearer(factor);
  }

  dispose() {
    this.draw.stop();
    this.#watch.disconnect();
    window.removeEventListener("resize", this.resized);
    this.measure.stop();
    this.lamp.stop();
    this.wood.dispose();
  }
}

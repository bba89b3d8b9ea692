// What hands do on the board, from whatever they touch it with: choose, push, look closer, measure. And what is drawn
// for them: the ring round the letter that keys move, the figure beside one that is being dragged.

import { onKey } from "./keys.js";
import { label, put } from "./measure.js";
import { newGesture } from "./move.js";
import { listen } from "./pointers.js";
import { gapWords, pushWords } from "./says.js";
import { set, write } from "./svg.js";

const SLACK = 3, TOUCH_SLACK = 11; // px round a letter's box that still count as the letter
const CLOSER = 2.5; // a double tap on the whole board
const RING = 5, CORNER = 9; // px

export class Hands {
  #gesture = null; #tag;

  constructor(board) {
    this.board = board;
    this.#tag = label(board.readout);
    this.#pointers = listen(board.frame, this.#pointerHands());
    board.letterPlace.addEventListener("keydown", (event) => board.state.still || onKey(event, this.#keyHands(event)));
    board.letterPlace.addEventListener("keyup", () => (this.#gesture = null));
    // heard on the frame: a group of a drawing that listens for focus can be stepped into in some browsers
    board.frame.addEventListener("focusin", ({ target }) => target === board.letterPlace && this.#focused());
    board.frame.addEventListener("focusout", ({ target }) => target === board.letterPlace && this.#blurred());
    board.wholeButton.addEventListener("click", () => {
      board.whole();
      board.letterPlace.focus();
    });
  }
  #pointers;

  // Choosing

  /** The program says which letters are chosen. */
  chosen(keys) {
    const { state } = this.board;
    state.chosen = new Set(keys);
    if (keys.length) state.active = keys[0];
  }

  /** Letters that are gone cannot stay chosen. */
  kept() {
    const { state, letters } = this.board;
    const there = [...state.chosen].filter((key) => letters.items.has(key));
    if (there.length !== state.chosen.size) state.chosen = new Set(there);
    if (!letters.items.has(state.active)) state.active = there[0] ?? null;
    this.#activate();
  }

  /** The letter that keys move comes first. */
  #choose(keys) {
    const { state, draw, tell } = this.board;
    state.chosen = new Set(keys);
    state.active = keys[0] ?? state.active;
    this.#activate();
    tell("choose", { keys: [...keys] });
    draw();
  }

  #activate() {
    const item = this.board.letters.items.get(this.board.state.active);
    set(this.board.letterPlace, { "aria-activedescendant": item && !this.board.state.still ? item.node.id : null });
  }

  get #active() {
    return this.board.letters.items.get(this.board.state.active) ?? null;
  }

  #focused() {
    const { state, letters } = this.board;
    if (!this.board.letterPlace.matches(":focus-visible")) return;
    state.keyed = true;
    if (!this.#active && letters.order.length) state.active = letters.order[0].key;
    this.#activate();
    this.board.draw();
  }

  #blurred() {
    this.board.moves.flush();
    this.board.state.keyed = false;
    this.#gesture = null;
    this.board.draw();
  }

  /** So many times as near, at the letter in hand. */
  nearer(factor) {
    const { place, letters, draw } = this.board, item = this.#active;
    place.zoomAt(factor, ...(item ? place.toScreen(middle(letters.box(item))) : [place.frame.width / 2, place.frame.height / 2]));
    draw();
  }

  // Pointers

  #pointerHands() {
    const { board } = this, { state, place, measure, moves } = board;
    const may = () => !state.still;
    return {
      grab: (at, touch) => this.#grab(at, touch),
      held: () => moves.dragged && !state.chosen.has(moves.dragged.key) && this.#choose([moves.dragged.key]),
      drag: (at) => moves.to(place.toBoard(...at)),
      drop: () => this.#sayGap(moves.drop()),
      giveBack: () => moves.giveBack(),
      pan: (dx, dy) => may() && (place.panBy(dx, dy), board.draw()),
      zoom: (factor, at) => may() && (place.zoomAt(factor, ...at), board.draw()),
      tap: (at, event) => may() && this.#tap(at, event),
      doubleTap: (at) => {
        if (!may() || this.#pointing) return;
        if (place.isWhole) place.zoomAt(CLOSER, ...at);
        else place.whole();
        board.draw();
      },
      hover: (at) => {
        if (!may()) return;
        this.#cursor(at);
        if (!this.#pointing || !at) return;
        measure.cross = null;
        measure.hover(place.toBoard(...at));
        board.draw();
      },
      wheels: () => may() && (board.root.contains(document.activeElement)),
    };
  }

  get #pointing() {
    return this.board.state.task === "measure" || this.board.state.task === "section";
  }

  #letterAt(at, touch) {
    const { letters, place } = this.board;
    return letters.at(place.toBoard(...at), (touch ? TOUCH_SLACK : SLACK) / place.scale);
  }

  #grab(at, touch) {
    const { state, moves, place } = this.board;
    if (state.still) return null;
    if (state.locked) return place.isWhole ? null : "view";
    const item = state.task === "move" ? this.#letterAt(at, touch) : null;
    if (item?.data.moves) {
      this.board.letterPlace.focus({ preventScroll: true }); // so that Escape is heard
      moves.begin(item, place.toBoard(...at), newGesture());
      return "letter";
    }
    if (item) this.#say(`${item.data.char} has no neighbour in its word to be pushed from.`);
    return place.isWhole ? null : "view";
  }

  #tap(at, event) {
    const { state, measure, gaps, place, letterPlace, draw } = this.board;
    letterPlace.focus({ preventScroll: true });
    state.keyed = false;
    if (this.#pointing) {
      measure.set(place.toBoard(...at), event.shiftKey);
      if (measure.text) this.#say(measure.text);
      return draw();
    }
    const item = this.#letterAt(at, event.pointerType === "touch");
    const gap = item ? null : gaps.at(at);
    if (gap) this.#choose([gap.next.key, gap.key]);
    else if (item && (event.shiftKey || event.ctrlKey || event.metaKey)) {
      const others = [...state.chosen].filter((key) => key !== item.key);
      this.#choose(state.chosen.has(item.key) ? others : [item.key, ...others]);
    } else if (item) this.#choose([item.key]);
    else if (state.chosen.size) this.#choose([]);
  }

  #cursor(at) {
    const { frame, state } = this.board;
    const item = at && state.task === "move" && this.#letterAt(at, false);
    frame.classList.toggle("over-letter", !!(item && item.data.moves));
  }

  // Keys

  #keyHands(event) {
    const { board } = this, { state, place, moves, measure, letters, draw } = board;
    state.keyed = true;
    return {
      task: () => state.task,
      step: (by) => this.#step(by),
      toEnd: (end) => this.#goTo(letters.order.at(end ? -1 : 0)),
      nudge: (way, coarse) => (state.task === "move" ? this.#nudge(way, coarse, event.repeat) : this.#step(way)),
      reset: () => {
        const item = this.#active;
        if (!item || state.task !== "move" || state.locked) return;
        moves.flush();
        board.tell("reset", { key: item.key });
        this.#say(`${item.data.char} as worked out.`);
      },
      letGo: () => this.#letGo(),
      zoom: (factor) => this.nearer(factor),
      whole: () => board.whole(),
      point: (dx, dy, coarse) => {
        const step = coarse ? state.steps.coarse : state.steps.fine;
        const from = measure.cross ?? [place.board.width / 2, place.board.height / 2];
        measure.cross = [from[0] + dx * place.flip * step, from[1] + dy * step];
        place.bringIn(measure.cross);
        measure.hover(measure.cross);
        draw();
      },
      set: () => {
        if (!measure.cross) return;
        measure.set(measure.cross);
        if (measure.text) this.#say(measure.text);
        draw();
      },
    };
  }

  #step(by) {
    const { order } = this.board.letters;
    const at = order.indexOf(this.#active);
    this.#goTo(order[at < 0 ? 0 : Math.min(order.length - 1, Math.max(0, at + by))]);
  }

  #goTo(item) {
    if (!item) return;
    this.board.moves.flush();
    this.board.place.bringIn(middle(item.data.box));
    this.#choose([item.key]);
  }

  #nudge(way, coarse, repeated) {
    const item = this.#active, { moves, place, state } = this.board;
    if (!item) return this.#step(0);
    if (state.locked) return this.#say(this.board.lockedWords.textContent);
    if (!item.data.moves) return this.#say(`${item.data.char} has no neighbour in its word to be pushed from.`);
    if (!state.chosen.has(item.key)) this.#choose([item.key]);
    if (!repeated || !this.#gesture) this.#gesture = newGesture();
    moves.nudge(item, way * place.flip, coarse, this.#gesture);
    this.#sayGap(item);
    return undefined;
  }

  /** A letter under a finger goes back. */
  letDrop() {
    this.#pointers.letGo();
  }

  /** Escape: first what is under way, then what is chosen. Says whether there was anything to let go. */
  #letGo() {
    const { state, measure, draw } = this.board;
    if (this.#pointers.letGo()) return true;
    const had = measure.letGo();
    if (!had && state.chosen.size) this.#choose([]);
    else if (!had) return false;
    draw();
    return true;
  }

  // What is said and drawn

  #say(text) {
    write(this.board.says, text);
  }

  #sayGap(item) {
    if (!item) return;
    const { gaps, state } = this.board;
    const first = [item.before, item].find((one) => one && gaps.now(one, state.units));
    if (first) this.#say(gapWords(first, gaps.now(first, state.units), state.units));
  }

  draw() {
    this.#drawRing();
    this.#drawReadout();
  }

  /** Corners round the letter that keys move: a shape, not a colour. */
  #drawRing() {
    const { state, ring, letters, place, letterPlace } = this.board;
    const item = this.#active;
    const shown = state.keyed && document.activeElement === letterPlace && !this.#pointing;
    if (!shown || !item) return set(ring, { d: shown ? around(place.edge) : "" });
    const [left, bottom, right, top] = letters.box(item);
    const [x0, y0] = place.toScreen([place.mirrored ? right : left, top]), [x1, y1] = place.toScreen([place.mirrored ? left : right, bottom]);
    return set(ring, { d: around({ left: x0 - RING, top: y0 - RING, right: x1 + RING, bottom: y1 + RING }) });
  }

  #drawReadout() {
    const { moves, letters, place, state } = this.board;
    const item = moves.dragged;
    this.board.root.classList.toggle("dragging", !!item);
    if (!item) return put(this.#tag, null, "", place);
    const [left, , right, top] = letters.box(item);
    const [x, y] = place.toScreen([(left + right) / 2, top]);
    return put(this.#tag, [x, y - 24], pushWords(moves.drag.dx * place.flip, state.units), place);
  }
}

function middle([left, bottom, right, top]) {
  return [(left + right) / 2, (bottom + top) / 2];
}

function around({ left, top, right, bottom }) {
  const c = CORNER;
  return `M${left} ${top + c}V${top}H${left + c}M${right - c} ${top}H${right}V${top + c}` +
    `M${right} ${bottom - c}V${bottom}H${right - c}M${left + c} ${bottom}H${left}V${bottom - c}`;
}

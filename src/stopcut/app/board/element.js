// The board as an element of the page: a thin skin round page/board.js. What the program tells it comes as one JSON text
// with only what has changed; what a hand does goes back as one event.

import { createBoard } from "stopcut-board/board.js";

let styles = null;

function styled() {
  styles ??= new Promise((resolve) => {
    const link = document.createElement("link");
    Object.assign(link, { rel: "stylesheet", href: import.meta.resolve("stopcut-board/board.css") });
    link.addEventListener("load", resolve);
    link.addEventListener("error", resolve);
    document.head.append(link);
  });
  return styles;
}

async function createLamp(canvas) {
  const { createLamp: create } = await import("stopcut-lamp/lamp.js");
  return create(canvas);
}

// In CSS pixels, from a page of the workshop: what the board leaves at its sides, and where it may stand.
const SIDES = 72, ROUND = 100, HEAD = 64, BESIDE = 500, DESK = 1100, SHARE = 0.45;

/** A tall board stands beside its fields, wherever that draws it larger. A still picture, or a board that has been told
 *  nothing yet, has no say in it: two that differ would call one another for ever. */
function stand(root, { state, view, told }) {
  const work = root.closest(".work"), { width, height } = view;
  if (!work || !told || state.still || !width) return;
  const above = Math.min((innerWidth - SIDES) / width, (SHARE * innerHeight - ROUND) / height);
  const beside = innerWidth < DESK ? 0 : Math.min(BESIDE / width, (innerHeight - HEAD - ROUND) / height);
  if (beside > above === "beside" in work.dataset) return;
  if (beside > above) work.dataset.beside = "";
  else delete work.dataset.beside;
  dispatchEvent(new Event("resize"));
}

export default {
  template: "<div></div>",
  emits: ["told"],
  async mounted() {
    await styled();
    if (!this.$el.isConnected) return;
    this.board = createBoard(this.$el, (what, told) => this.$emit("told", { what, ...told }), { createLamp });
    this.stands = () => stand(this.$el, this.board);
    addEventListener("resize", this.stands);
    this.locked = () => this.board.take({ locked: true });
    this.back = () => {
      this.board.take({ locked: false });
      this.$emit("told", { what: "ready" }); // what stands is told anew: a move on its way may have been lost
    };
    addEventListener("stopcut-away", this.locked);
    addEventListener("stopcut-back", this.back);
    if ("away" in document.documentElement.dataset) this.locked();
    this.$emit("told", { what: "ready" });
  },
  unmounted() {
    removeEventListener("resize", this.stands);
    removeEventListener("stopcut-away", this.locked);
    removeEventListener("stopcut-back", this.back);
    this.board?.dispose();
  },
  methods: {
    take(text) {
      this.board?.take(JSON.parse(text));
      if (this.board) this.stands();
    },
    showPin(number) {
      this.board?.showPin(number);
    },
    nearer(factor) {
      this.board?.nearer(factor);
    },
    whole() {
      this.board?.whole();
    },
  },
};

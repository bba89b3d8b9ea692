// The board as an element of the page: a thin skin round page/board.js. What the program tells it comes as one JSON text
// with only what has changed; what a hand does goes back as one event.

import { createBoard } from "stopcut-board/board.js";

let styles = null;

function styled() {
  styles ??= new Promise((resolve) => {
    const link = document.createElement("link");
    Object.assign(link, { rel: "stylesheet", href: import.meta.resolve("stopcut-board/board.css") });
    link.onload = link.onerror = resolve;
    document.head.append(link);
  });
  return styles;
}

async function createLamp(canvas) {
  const { createLamp: create } = await import("stopcut-lamp/lamp.js");
  return create(canvas);
}

export default {
  template: "<div></div>",
  emits: ["told"],
  async mounted() {
    await styled();
    if (!this.$el.isConnected) return;
    this.board = createBoard(this.$el, (what, told) => this.$emit("told", { what, ...told }), { createLamp });
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
    removeEventListener("stopcut-away", this.locked);
    removeEventListener("stopcut-back", this.back);
    this.board?.dispose();
  },
  methods: {
    take(text) {
      this.board?.take(JSON.parse(text));
    },
    showPin(number) {
      this.board?.showPin(number);
    },
    whole() {
      this.board?.whole();
    },
  },
};

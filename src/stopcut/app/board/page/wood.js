// The wood and what is cut into it: the lamp's canvas where there is a lamp, else a picture of the wood, else its tone.

import { element } from "./svg.js";

const PLAIN = "#dcc59f"; // wood of no name
const DARK_BELOW = 0.3; // luminance (0 … 1) under which wood wants light guides. Our choice.

export class Wood {
  tone = PLAIN;
  #lamp = null; #tiles = new Set(); #asked = new Set(); #canvas; #picture; #blurred; #told; #letters = "";
  #url = null; #view = null; #from = null; #byDepth = false;

  /** told: called when a tile or the wood's tone has come. */
  constructor(parent, createLamp, told) {
    this.holder = element("div", { class: "wood" }, parent);
    this.#blurred = element("div", { class: "wood-blurred" }, this.holder);
    this.#picture = element("div", { class: "wood-picture" }, this.#blurred);
    this.#canvas = element("canvas", { "aria-hidden": "true" }, this.#blurred);
    this.#told = told;
    this.#light(createLamp);
  }

  async #light(createLamp) {
    try {
      this.#lamp = (await createLamp?.(this.#canvas)) ?? null;
    } catch (fault) {
      console.warn(`The lamp stays off: ${fault.message}`);
    }
    if (!this.#lamp) this.#canvas.remove();
    if (this.#view) this.board(this.#view);
    if (this.#from) this.light(this.#from);
    this.depth(this.#byDepth);
    this.#told();
  }

  get lit() {
    return this.#lamp !== null;
  }

  get ready() {
    return this.#lamp?.ready ?? Promise.resolve();
  }

  get dark() {
    const [r, g, b] = [1, 3, 5].map((at) => (parseInt(this.tone.slice(at, at + 2), 16) / 255) ** 2.2);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b < DARK_BELOW;
  }

  /** Does the lamp show this letter's groove? */
  shows(digest) {
    return this.lit && this.#tiles.has(digest);
  }

  board(view) {
    this.#view = view;
    this.#asked.clear(); // a tile that could not be had is asked for again with the next view, not with the next frame
    const url = view.wood?.url || null;
    const tone = view.wood?.tone;
    if (url !== this.#url || (tone && tone !== this.tone)) this.#setWood(url, tone);
    this.#lamp?.board({ width: view.width, height: view.height, woodUrl: url, tone: this.tone });
  }

  #setWood(url, tone) {
    this.#url = url;
    this.tone = /^#[0-9a-f]{6}$/i.test(tone ?? "") ? tone : this.tone;
    this.#picture.style.backgroundColor = this.holder.style.backgroundColor = this.tone; // what a blur fades into
    this.#picture.style.backgroundImage = url ? `url("${encodeURI(url)}")` : "";
    if (url && !tone) this.#readTone(url);
  }

  /** The wood's middle tone, where nobody has said it: the picture's, brought down to one pixel. */
  async #readTone(url) {
    const image = new Image();
    image.src = url;
    try {
      await image.decode();
    } catch {
      return; // the plain tone stays
    }
    const canvas = new OffscreenCanvas(1, 1), pen = canvas.getContext("2d");
    pen.imageSmoothingQuality = "high";
    pen.drawImage(image, 0, 0, 1, 1);
    const [r, g, b] = pen.getImageData(0, 0, 1, 1).data;
    this.tone = "#" + [r, g, b].map((part) => part.toString(16).padStart(2, "0")).join("");
    this.#picture.style.backgroundColor = this.holder.style.backgroundColor = this.tone; // what a blur fades into
    this.#told();
  }

  /** The grooves to light: [{tile, url, matrix, wall, flat}], where the letters are shown now. */
  grooves(list) {
    if (!this.#lamp) return;
    for (const { tile, url } of list) {
      if (this.#asked.has(tile)) continue;
      this.#asked.add(tile);
      this.#lamp.tile(tile, url).then((there) => {
        if (there === false || this.#tiles.has(tile)) return;
        this.#tiles.add(tile);
        this.#told();
      });
    }
    const wanted = JSON.stringify(list);
    if (wanted === this.#letters) return;
    this.#letters = wanted;
    this.#lamp.letters(list);
  }

  light(lamp) {
    this.#from = lamp;
    this.#lamp?.light(lamp);
  }

  depth(on) {
    this.#byDepth = on;
    this.#lamp?.depth(on);
  }

  get tones() {
    return this.#lamp?.depthTones ?? [];
  }

  /** Follow the view, with a blur [px] for squinting. */
  place(view, blur) {
    const { left, top, width, height, right, bottom } = view.edge, { frame } = view;
    const flip = view.mirrored ? "scaleX(-1)" : "";
    Object.assign(this.#picture.style, {
      transform: `translate(${left}px, ${top}px) ${flip}`, width: `${width}px`, height: `${height}px`,
    });
    const inset = [Math.max(0, top), Math.max(0, frame.width - right), Math.max(0, frame.height - bottom), Math.max(0, left)];
    this.holder.style.clipPath = `inset(${inset.map((side) => `${side}px`).join(" ")})`;
    this.#blurred.style.filter = blur ? `blur(${blur}px)` : "";
    if (!this.#lamp) return;
    this.#canvas.style.transform = flip;
    this.#lamp.view(view.shown);
  }

  dispose() {
    this.#lamp?.dispose();
  }
}

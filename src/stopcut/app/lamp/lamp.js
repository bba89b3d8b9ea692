// The lamp: the board's wood and its lit letters on a canvas, redrawn when the lamp, the view or a letter moves.
//
//   const lamp = createLamp(canvas);            // null where the browser has no WebGL2
//   lamp.board({width, height, woodUrl, tone}); // mm; tone "#rrggbb" until the wood is there
//   lamp.tile(id, url);                         // a Promise of whether it is there; each id is fetched once
//   lamp.letters([{tile, matrix, wall, flat}]); // matrix: outline's unit to mm on the board; wall in degrees;
//                                               // flat: depth of a flat bottom in mm, or null
//   lamp.light({azimuth, elevation, sky});      // degrees, azimuth anticlockwise from the right
//   lamp.view({x, y, width, height});           // what the canvas shows, mm, y up
//   lamp.depth(true);                           // tones by depth instead of light; lamp.depthTones is their legend
//   lamp.draw();                                // now; otherwise the next frame after a change
//   lamp.ready, lamp.frame, lamp.timed(), lamp.dispose()
//
// Nothing is sent to the graphics memory again by a move: tiles stay, as figures in the outline's own unit. When the
// browser takes the graphics memory away and gives it back, everything is made again from the PNGs, which are kept.

import { depthTones } from "./depth_tones.js";
import { FACE_FRAGMENT, FACE_VERTEX, LETTER_FRAGMENT, LETTER_VERTEX, OPEN_FRAGMENT, OPEN_VERTEX } from "./shaders.js";
import { readTile } from "./tile.js";

const RAKING = { azimuth: 135, elevation: 29, sky: 0.16 }; // light.carved.RAKING
const LOWEST = 1, HIGHEST = 89.9; // the lamp's elevation is kept between [degrees]
const PAPER = "#f4f6f3", PAPER_PART = 0.75; // layout paper, and how far it hides the wood under tones by depth
const MOST_TILE_BYTES = 128 * 2 ** 20; // of graphics memory. Our choice: about 250 glyphs.
const MOST_TONES = 10; // as the shader has room for
const STILL = 3; // samples along a pixel's side, as light.sampled.FINER; while something moves as many as time allows:
const MOVING = [[14, 3], [75, 2], [Infinity, 1]]; // so many where a fine picture takes no longer than this [ms], which
// gives 60 pictures a second with a graphics card and about 20 without (two samples take 6/10 of three's time)
const REST_MS = 140; // so long after the last change the picture is drawn finely. Our choice.
const NO_BOTTOM = 1e9;
const ARRIS_MM = 2; // as the shaders have it

export function createLamp(canvas) {
  const gl = canvas.getContext("webgl2", { alpha: true, antialias: false, depth: false, stencil: false });
  return gl && new Lamp(canvas, gl);
}

class Lamp {
  #canvas; #gl; #open; #face; #letter; #square;
  #board = null; #wood = null; #shown = null; #copy = null; #woodUrl = null;
  #tiles = new Map(); // id → {url, png, tile, texture, reach, runs, array, count, used, bytes, loading}
  #letters = []; #light = RAKING; #view = null; #byDepth = false;
  #waiting = new Set(); #asked = 0; #rest = 0; #finer = STILL; #moving = 2; #timedFor = ''; #frame = 0; #gone = false; #counter = 0; #tones = null;
  #watcher; #lost; #restored;

  constructor(canvas, gl) {
    this.#canvas = canvas;
    this.#gl = gl;
    this.#lost = (event) => event.preventDefault();
    this.#restored = () => this.#restore();
    canvas.addEventListener("webglcontextlost", this.#lost);
    canvas.addEventListener("webglcontextrestored", this.#restored);
    this.#watcher = new ResizeObserver((entries) => this.#resize(entries[entries.length - 1]));
    try {
      this.#watcher.observe(canvas, { box: "device-pixel-content-box" });
    } catch {
      this.#watcher.observe(canvas);
    }
    this.#make();
    this.#resize(null);
  }

  board({ width, height, woodUrl = null, tone = "#dcc59f" }) {
    this.#board = { width, height, tone };
    if (this.#view === null) this.#view = { x: 0, y: 0, width, height };
    if (!this.#wood || !woodUrl) this.#plainWood();
    if (woodUrl && woodUrl !== this.#woodUrl) this.#wait(this.#loadWood(woodUrl));
    this.#woodUrl = woodUrl;
    this.#changed();
  }

  tile(id, url) {
    const known = this.#tiles.get(id);
    if (known) return known.loading ?? Promise.resolve(true);
    const entry = { url, png: null, tile: null, texture: null, reach: null, runs: null, array: null, count: 0 };
    Object.assign(entry, { used: this.#counter, bytes: 0, loading: null });
    this.#tiles.set(id, entry);
    entry.loading = this.#loadTile(id, entry).finally(() => (entry.loading = null));
    return this.#wait(entry.loading);
  }

  letters(list) {
    this.#letters = list;
    this.#tones = null;
    this.#forgetUnused();
    this.#changed();
  }

  light({ azimuth, elevation, sky = this.#light.sky }) {
    this.#light = { azimuth, elevation: Math.min(HIGHEST, Math.max(LOWEST, elevation)), sky };
    this.#changed();
  }

  view({ x, y, width, height }) {
    this.#view = { x, y, width, height };
    this.#changed();
  }

  depth(on) {
    this.#byDepth = !!on;
    this.#changed();
  }

  /** The legend of the tones by depth: [{from, to, tone}] in mm, shallow to deep; empty without letters. */
  get depthTones() {
    if (!this.#tones) {
      const deepest = Math.max(0, ...this.#letters.map((letter) => this.#deepest(letter)));
      this.#tones = deepest > 0 ? depthTones(deepest).slice(0, MOST_TONES) : [];
    }
    return this.#tones;
  }

  /** Settled when all that was asked for so far is there and drawn. A tile that cannot be had is left out. */
  get ready() {
    return (async () => {
      while (this.#waiting.size) await Promise.allSettled(this.#waiting);
      if (!this.#gone) this.draw(STILL);
    })();
  }

  /** How long the last drawing took to hand over. [ms] See timed() for the whole of it. */
  get frame() {
    return this.#frame;
  }

  /** Draws as while something moves, waits for the graphics to be done, and says how long that took. [ms] */
  timed(finer = this.#moving) {
    const from = performance.now();
    this.draw(finer);
    this.#gl.readPixels(0, 0, 1, 1, this.#gl.RGBA, this.#gl.UNSIGNED_BYTE, new Uint8Array(4));
    return performance.now() - from;
  }

  draw(finer = this.#finer) {
    const gl = this.#gl;
    if (this.#gone || gl.isContextLost() || !this.#board || !this.#canvas.width) return;
    const from = performance.now();
    gl.viewport(0, 0, this.#canvas.width, this.#canvas.height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
    if (this.#wood) {
      this.#drawFace();
      this.#drawLetters(finer);
    }
    this.#frame = performance.now() - from;
  }

  dispose() {
    this.#gone = true;
    cancelAnimationFrame(this.#asked);
    clearTimeout(this.#rest);
    this.#watcher.disconnect();
    this.#canvas.removeEventListener("webglcontextlost", this.#lost);
    this.#canvas.removeEventListener("webglcontextrestored", this.#restored);
    for (const entry of this.#tiles.values()) this.#dropTexture(entry);
    this.#tiles.clear();
    const gl = this.#gl;
    gl.deleteTexture(this.#wood);
    gl.deleteTexture(this.#shown);
    this.#dropCopy();
    gl.deleteBuffer(this.#square);
    for (const { program, array } of [this.#open, this.#face, this.#letter]) {
      gl.deleteProgram(program);
      if (array) gl.deleteVertexArray(array);
    }
  }

  // When to draw

  #changed() {
    this.#finer = this.#moving;
    this.#ask();
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => {
      this.#finer = STILL;
      this.#ask();
    }, REST_MS);
  }

  #ask() {
    if (this.#asked || this.#gone) return;
    this.#asked = requestAnimationFrame(() => {
      this.#asked = 0;
      if (this.#finer === STILL) this.#paced();
      else this.draw();
    });
  }

  /** Draws finely; the first time on a canvas of this size and after letters came, times it to set the pace of moves. */
  #paced() {
    const size = [this.#canvas.width, this.#canvas.height, this.#letters.length].join();
    if (size === this.#timedFor || this.#waiting.size) return this.draw(STILL);
    this.#timedFor = size;
    const took = this.timed(STILL);
    this.#moving = MOVING.find(([most]) => took <= most)[1];
  }

  #wait(promise) {
    this.#waiting.add(promise);
    const done = () => {
      this.#waiting.delete(promise);
      if (!this.#gone) this.#changed();
    };
    promise.then(done, done);
    return promise;
  }

  #resize(entry) {
    const most = this.#gl.getParameter(this.#gl.MAX_RENDERBUFFER_SIZE) || 4096;
    const box = entry?.devicePixelContentBoxSize?.[0], ratio = window.devicePixelRatio || 1;
    // What the browser says of its own pixels is exact, but not all of them know of a ratio set for them by hand.
    const sized = (told, length) => {
      const near = length * ratio;
      return Math.min(most, told && Math.abs(told - near) <= 1 ? told : Math.round(near));
    };
    const width = sized(box?.inlineSize, this.#canvas.clientWidth);
    const height = sized(box?.blockSize, this.#canvas.clientHeight);
    if (!width || !height || (width === this.#canvas.width && height === this.#canvas.height)) return;
    this.#canvas.width = width;
    this.#canvas.height = height;
    this.draw(); // at once: a canvas is blank after its size was set
    this.#changed();
  }

  // What to draw with

  #make() {
    const gl = this.#gl;
    gl.disable(gl.BLEND);
    this.#square = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, this.#square);
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([0, 0, 1, 0, 0, 1, 1, 1]), gl.STATIC_DRAW);
    this.#open = programOf(gl, OPEN_VERTEX, OPEN_FRAGMENT);
    this.#face = programOf(gl, FACE_VERTEX, FACE_FRAGMENT);
    this.#letter = programOf(gl, LETTER_VERTEX, LETTER_FRAGMENT);
    this.#face.array = gl.createVertexArray();
    gl.bindVertexArray(this.#face.array);
    this.#bindSquare();
    gl.bindVertexArray(null);
  }

  #bindSquare() {
    const gl = this.#gl;
    gl.bindBuffer(gl.ARRAY_BUFFER, this.#square);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 0, 0);
  }

  #restore() {
    this.#wood = this.#shown = this.#copy = null;
    this.#make();
    for (const entry of this.#tiles.values()) {
      entry.texture = entry.reach = entry.runs = entry.array = null;
      if (entry.png) this.#wait(this.#upload(entry));
    }
    if (this.#board) this.#plainWood();
    if (this.#woodUrl) this.#wait(this.#loadWood(this.#woodUrl));
  }

  async #loadTile(id, entry) {
    try {
      entry.png = await fetched(entry.url);
      await this.#upload(entry);
      return true;
    } catch (fault) {
      console.warn(`The tile ${id} cannot be had: ${fault.message}`);
      if (this.#tiles.get(id) === entry) this.#tiles.delete(id); // so that it can be asked for again
      return false;
    }
  }

  async #upload(entry) {
    const tile = await readTile(entry.png);
    const gl = this.#gl;
    if (this.#gone || gl.isContextLost()) return;
    this.#dropTexture(entry);
    gl.activeTexture(gl.TEXTURE1);
    entry.texture = texture(gl, gl.NEAREST, gl.NEAREST);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA16F, tile.width, tile.height, 0, gl.RGBA, gl.FLOAT, tile.texels);
    entry.reach = texture(gl, gl.LINEAR, gl.LINEAR);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.R16F, tile.width, tile.height, 0, gl.RED, gl.FLOAT, tile.reach);
    entry.runs = gl.createBuffer();
    entry.array = gl.createVertexArray();
    gl.bindVertexArray(entry.array);
    this.#bindSquare();
    gl.bindBuffer(gl.ARRAY_BUFFER, entry.runs);
    gl.bufferData(gl.ARRAY_BUFFER, tile.runs, gl.STATIC_DRAW);
    gl.enableVertexAttribArray(1);
    gl.vertexAttribPointer(1, 4, gl.FLOAT, false, 0, 0);
    gl.vertexAttribDivisor(1, 1);
    gl.bindVertexArray(null);
    entry.count = tile.runs.length / 4;
    entry.bytes = tile.width * tile.height * 10;
    entry.tile = { left: tile.left, top: tile.top, perPixel: tile.perPixel, deepest: tile.deepest };
    entry.used = this.#counter;
    this.#tones = null;
  }

  #dropTexture(entry) {
    const gl = this.#gl;
    gl.deleteTexture(entry.texture);
    gl.deleteTexture(entry.reach);
    gl.deleteBuffer(entry.runs);
    gl.deleteVertexArray(entry.array);
    entry.texture = entry.reach = entry.runs = entry.array = null;
  }

  /** Tiles that no letter uses go, longest unused first, when there are too many. */
  #forgetUnused() {
    this.#counter++;
    for (const { tile } of this.#letters) {
      const entry = this.#tiles.get(tile);
      if (entry) entry.used = this.#counter;
    }
    const entries = [...this.#tiles].filter(([, entry]) => entry.texture).sort((a, b) => a[1].used - b[1].used);
    let total = entries.reduce((sum, [, entry]) => sum + entry.bytes, 0);
    for (const [id, entry] of entries) {
      if (total <= MOST_TILE_BYTES || entry.used === this.#counter) break;
      this.#dropTexture(entry);
      this.#tiles.delete(id);
      total -= entry.bytes;
    }
  }

  async #loadWood(url) {
    try {
      const image = await picture(await fetched(url));
      const wanted = url === this.#woodUrl && !this.#gone && !this.#gl.isContextLost();
      if (wanted) this.#setWood(image);
      image.close();
    } catch (fault) {
      console.warn(`The wood cannot be had: ${fault.message}`);
      if (url === this.#woodUrl) this.#woodUrl = null; // so that it can be asked for again
    }
  }

  #plainWood() {
    this.#setWood({ width: 1, height: 1, bytes: new Uint8Array([...parts(this.#board.tone).map((part) => part * 255), 255]) });
  }

  #setWood(image) {
    const gl = this.#gl;
    gl.deleteTexture(this.#wood);
    gl.activeTexture(gl.TEXTURE0);
    this.#wood = texture(gl, gl.LINEAR_MIPMAP_LINEAR, gl.LINEAR);
    if (image.bytes) gl.texImage2D(gl.TEXTURE_2D, 0, gl.SRGB8_ALPHA8, 1, 1, 0, gl.RGBA, gl.UNSIGNED_BYTE, image.bytes);
    else {
      gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE);
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.SRGB8_ALPHA8, gl.RGBA, gl.UNSIGNED_BYTE, image);
    }
    gl.generateMipmap(gl.TEXTURE_2D);
    this.#openFace(image.width, image.height);
  }

  /** The open face as the screen shows it, drawn once into a texture: it is most of every frame. */
  #openFace(width, height) {
    const gl = this.#gl;
    this.#dropCopy();
    gl.deleteTexture(this.#shown);
    gl.activeTexture(gl.TEXTURE2);
    this.#shown = texture(gl, gl.LINEAR_MIPMAP_NEAREST, gl.LINEAR);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA8, width, height, 0, gl.RGBA, gl.UNSIGNED_BYTE, null);
    const target = gl.createFramebuffer();
    gl.bindFramebuffer(gl.FRAMEBUFFER, target);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.#shown, 0);
    gl.viewport(0, 0, width, height);
    gl.useProgram(this.#open.program);
    gl.uniform1i(this.#open.at.wood, 0);
    gl.bindVertexArray(this.#face.array);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    gl.bindVertexArray(null);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.deleteFramebuffer(target);
    gl.generateMipmap(gl.TEXTURE_2D);
  }

  // Drawing

  /** The open face, from the copy that was drawn when the view or the wood last changed; only its eased edges anew. */
  #drawFace() {
    const gl = this.#gl, { width, height } = this.#canvas;
    const shows = JSON.stringify([width, height, this.#view, this.#board, this.#byDepth]);
    gl.useProgram(this.#face.program);
    this.#setBoard(this.#face.at);
    gl.bindVertexArray(this.#face.array);
    if (gl.getContextAttributes()?.antialias) return gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4); // nothing can be copied here
    if (this.#copy?.shows !== shows) this.#drawCopy(width, height, shows);
    gl.bindFramebuffer(gl.READ_FRAMEBUFFER, this.#copy.target);
    gl.blitFramebuffer(0, 0, width, height, 0, 0, width, height, gl.COLOR_BUFFER_BIT, gl.NEAREST);
    gl.bindFramebuffer(gl.READ_FRAMEBUFFER, null);
    gl.enable(gl.SCISSOR_TEST);
    for (const strip of this.#edges()) {
      gl.scissor(...strip);
      gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    }
    gl.disable(gl.SCISSOR_TEST);
  }

  #drawCopy(width, height, shows) {
    const gl = this.#gl;
    this.#dropCopy();
    const target = gl.createFramebuffer(), pixels = gl.createRenderbuffer();
    gl.bindRenderbuffer(gl.RENDERBUFFER, pixels);
    gl.renderbufferStorage(gl.RENDERBUFFER, gl.RGBA8, width, height);
    gl.bindFramebuffer(gl.FRAMEBUFFER, target);
    gl.framebufferRenderbuffer(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.RENDERBUFFER, pixels);
    gl.clear(gl.COLOR_BUFFER_BIT);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    this.#copy = { target, pixels, shows };
  }

  #dropCopy() {
    if (!this.#copy) return;
    this.#gl.deleteFramebuffer(this.#copy.target);
    this.#gl.deleteRenderbuffer(this.#copy.pixels);
    this.#copy = null;
  }

  /** Where the board's eased edges lie on the canvas: [left, bottom, width, height] in its pixels. */
  #edges() {
    const pixel = this.#pixelMm(), { x, y } = this.#view, { width, height } = this.#board;
    const left = Math.floor(-x / pixel) - 1, bottom = Math.floor(-y / pixel) - 1;
    const right = Math.ceil((width - x) / pixel) + 1, top = Math.ceil((height - y) / pixel) + 1;
    const wide = Math.ceil(ARRIS_MM / pixel) + 4;
    return [
      [left, bottom, right - left, wide],
      [left, top - wide, right - left, wide],
      [left, bottom, wide, top - bottom],
      [right - wide, bottom, wide, top - bottom],
    ];
  }

  #drawLetters(finer) {
    const gl = this.#gl, at = this.#letter.at;
    gl.useProgram(this.#letter.program);
    this.#setBoard(at);
    gl.uniform1i(at.tile, 1);
    gl.uniform1i(at.reach, 3);
    gl.uniform1i(at.finer, finer);
    if (this.#byDepth && this.depthTones.length) {
      const tones = this.depthTones;
      gl.uniform3fv(at.tones, tones.flatMap(({ tone }) => parts(tone)));
      gl.uniform1i(at.toneCount, tones.length);
      gl.uniform1f(at.band, tones[0].to);
    }
    for (const letter of this.#letters) {
      const entry = this.#tiles.get(letter.tile);
      if (entry?.texture) this.#drawLetter(letter, entry);
    }
    gl.bindVertexArray(null);
  }

  #drawLetter({ matrix, wall, flat }, entry) {
    const gl = this.#gl, at = this.#letter.at;
    const [a, b, c, d, e, f] = matrix;
    const { left, top, perPixel } = entry.tile;
    // A step of one pixel to the right and one down in the tile, on the board. [mm]
    const turn = [a * perPixel, b * perPixel, -c * perPixel, -d * perPixel];
    const area = turn[0] * turn[3] - turn[1] * turn[2];
    const size = Math.sqrt(Math.abs(area));
    gl.uniformMatrix2fv(at.turn, false, turn);
    gl.uniformMatrix2fv(at.back, false, [turn[3] / area, -turn[1] / area, -turn[2] / area, turn[0] / area]);
    gl.uniform2f(at.shift, a * left + c * top + e, b * left + d * top + f);
    gl.uniform1f(at.across, this.#pixelMm() / size);
    gl.uniform1f(at.size, size);
    const angle = (wall * Math.PI) / 180;
    gl.uniform1f(at.wall, angle);
    gl.uniform1f(at.slope, Math.tan(angle));
    gl.uniform1f(at.rise, Math.cos(angle));
    const [right, up, out] = this.#toward();
    const way = [(turn[3] * right - turn[2] * up) / area, (turn[0] * up - turn[1] * right) / area];
    gl.uniform2fv(at.way, way.map((step) => step / Math.hypot(...way)));
    gl.uniform1f(at.climb, out / Math.hypot(right, up));
    gl.uniform1f(at.bottom, flat == null ? NO_BOTTOM : flat / size);
    gl.activeTexture(gl.TEXTURE1);
    gl.bindTexture(gl.TEXTURE_2D, entry.texture);
    gl.activeTexture(gl.TEXTURE3);
    gl.bindTexture(gl.TEXTURE_2D, entry.reach);
    gl.bindVertexArray(entry.array);
    gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, entry.count);
  }

  #setBoard(at) {
    const gl = this.#gl, { x, y, width, height } = this.#view;
    gl.uniform4f(at.view, x, y, width, height);
    gl.uniform2f(at.board, this.#board.width, this.#board.height);
    gl.uniform1f(at.pixel, this.#pixelMm());
    gl.uniform3fv(at.lamp, this.#toward());
    gl.uniform1f(at.sky, this.#light.sky);
    gl.uniform1i(at.byDepth, this.#byDepth ? 1 : 0);
    gl.uniform3fv(at.paper, parts(PAPER));
    gl.uniform1f(at.paperPart, this.#byDepth ? PAPER_PART : 0);
    gl.uniform1i(at.wood, 0);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this.#wood);
    gl.uniform1i(at.face, 2);
    gl.activeTexture(gl.TEXTURE2);
    gl.bindTexture(gl.TEXTURE_2D, this.#shown);
  }

  /** The unit vector to the lamp: right, up, out of the board. */
  #toward() {
    const turned = (this.#light.azimuth * Math.PI) / 180, raised = (this.#light.elevation * Math.PI) / 180;
    return [Math.cos(raised) * Math.cos(turned), Math.cos(raised) * Math.sin(turned), Math.sin(raised)];
  }

  #pixelMm() {
    return this.#view.width / this.#canvas.width;
  }

  #deepest({ tile, matrix: [a, b, c, d], wall, flat }) {
    const entry = this.#tiles.get(tile);
    if (!entry?.tile) return 0;
    const size = Math.sqrt(Math.abs(a * d - b * c));
    return Math.min(entry.tile.deepest * size * Math.tan((wall * Math.PI) / 180), flat ?? Infinity);
  }
}

function programOf(gl, vertex, fragment) {
  const made = gl.createProgram();
  for (const [kind, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(made, shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS) && !gl.isContextLost()) {
      throw new Error(gl.getShaderInfoLog(shader));
    }
    gl.deleteShader(shader);
  }
  gl.bindAttribLocation(made, 0, "corner");
  gl.bindAttribLocation(made, 1, "run");
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS) && !gl.isContextLost()) throw new Error(gl.getProgramInfoLog(made));
  const at = {};
  for (let k = 0; k < gl.getProgramParameter(made, gl.ACTIVE_UNIFORMS); k++) {
    const name = gl.getActiveUniform(made, k).name.replace("[0]", "");
    at[name] = gl.getUniformLocation(made, name);
  }
  return { program: made, at, array: null };
}

/** A new texture, bound to the unit in use; how it is read when drawn smaller and larger. */
function texture(gl, less, more) {
  const made = gl.createTexture();
  gl.bindTexture(gl.TEXTURE_2D, made);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, less);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, more);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
  return made;
}

/** A PNG as a picture whose numbers are those in the file, as near as the browser allows. */
async function picture(png) {
  const blob = new Blob([png], { type: "image/png" });
  return createImageBitmap(blob, { colorSpaceConversion: "none", premultiplyAlpha: "none" });
}

async function fetched(url) {
  const answer = await fetch(url);
  if (!answer.ok) throw new Error(`${url}: ${answer.status}`);
  return answer.arrayBuffer();
}

/** "#rrggbb" as three numbers from 0 to 1. */
function parts(tone) {
  return [1, 3, 5].map((at) => parseInt(tone.slice(at, at + 2), 16) / 255);
}

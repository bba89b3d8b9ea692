// A tile as the shader reads it: per pixel the distance from the wall's edge (in pixels, below 0 just outside), the
// level direction in which the wall looks, and its opening; and the runs of blocks that hold any of it.
// tiles.py says how a tile's bytes hold these.

import { readPng } from "./png.js";

const FRAME = "stopcut-frame";
const MOST_OPENING = 2; // as tiles.py has it
const STEPS = 4095;
const FAR = 8; // how far outside distances are told, in pixels
const STRAIGHT = 1, ACROSS = Math.SQRT2; // a step to a neighbour, in pixels
const BLOCK = 64; // pixels along a block's side. Our choice: smaller ones cost more than the nothing they spare.

const [COS, SIN] = [Math.cos, Math.sin].map((of) =>
  Float32Array.from({ length: STEPS + 1 }, (_, k) => of((k / (STEPS + 1)) * 2 * Math.PI)),
);

/** {width, height, texels: Float32Array (4 a pixel), reach: Float32Array (the distance alone, told on to -FAR outside), runs: Float32Array (left, top, right, bottom in pixels each),
 *   left, top, perPixel, deepest} of a tile's PNG; lengths in the outline's own unit. */
export async function readTile(buffer) {
  const { width, height, bytes, text } = await readPng(buffer);
  const frame = JSON.parse(text[FRAME]);
  const perPixel = frame.per_pixel;
  const span = (frame.high - frame.low) / (STEPS - 1) / perPixel;
  const texels = new Float32Array(width * height * 4);
  for (let at = 0; at < texels.length; at += 4) {
    const distance = (bytes[at] << 4) | (bytes[at + 1] >> 4);
    if (!distance) {
      texels[at] = -FAR;
      continue;
    }
    const azimuth = ((bytes[at + 1] & 15) << 8) | bytes[at + 2];
    texels[at] = frame.low / perPixel + (distance - 1) * span;
    texels[at + 1] = COS[azimuth];
    texels[at + 2] = -SIN[azimuth]; // rows run down
    texels[at + 3] = (bytes[at + 3] / 255) * MOST_OPENING;
  }
  return {
    width, height, texels,
    reach: reachOf(texels, width, height),
    runs: runsOf(bytes, width, height),
    left: frame.left, top: frame.top, perPixel, deepest: frame.high,
  };
}

/** The blocks that hold anything, joined along rows. */
function runsOf(bytes, width, height) {
  const across = Math.ceil(width / BLOCK), down = Math.ceil(height / BLOCK);
  const used = new Uint8Array(across * down);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const at = (row * width + column) * 4;
      if (bytes[at] || bytes[at + 1] >> 4) used[Math.floor(row / BLOCK) * across + Math.floor(column / BLOCK)] = 1;
    }
  }
  const runs = [];
  for (let row = 0; row < down; row++) {
    for (let column = 0; column < across; column++) {
      if (!used[row * across + column]) continue;
      const first = column;
      while (column < across && used[row * across + column]) column++;
      runs.push(first * BLOCK, row * BLOCK, Math.min(column * BLOCK, width), Math.min((row + 1) * BLOCK, height));
    }
  }
  return new Float32Array(runs);
}

/** The distances alone, with those outside carried on from pixel to pixel, -FAR at the farthest. */
function reachOf(texels, width, height) {
  const reach = new Float32Array(width * height);
  for (let at = 0; at < reach.length; at++) reach[at] = texels[at * 4];
  // The tile's border is empty, so a neighbour over its side is as good as none.
  for (let at = width + 1; at < reach.length; at++) carry(reach, at, -1, width);
  for (let at = reach.length - width - 2; at >= 0; at--) carry(reach, at, 1, width);
  return reach;
}

function carry(reach, at, step, width) {
  const here = reach[at];
  if (here >= 0) return;
  const beside = Math.max(outside(reach[at + step]), outside(reach[at + step * width])) - STRAIGHT;
  const corner = Math.max(outside(reach[at + step * (width + 1)]), outside(reach[at + step * (width - 1)])) - ACROSS;
  const carried = Math.max(beside, corner);
  if (carried > here) reach[at] = carried;
}

function outside(distance) {
  return distance < 0 ? distance : -FAR;
}

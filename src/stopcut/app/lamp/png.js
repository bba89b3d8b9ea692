// PNG to bytes without colour management: a tile's bytes are figures, and a browser's own reader may change them
// (by colour profiles, by multiplying with alpha). Reads 8-bit RGBA without interlace, which is what tiles.py writes.
// (PNG Specification, third edition, W3C: chunks in 5.3, filters in 9.2.)

const SIGNATURE = [137, 80, 78, 71, 13, 10, 26, 10];
const CHANNELS = 4;

/** {width, height, bytes: Uint8Array (rows from the top, 4 bytes a pixel), text: {keyword: words}} of a PNG. */
export async function readPng(buffer) {
  const view = new DataView(buffer);
  if (SIGNATURE.some((byte, at) => view.getUint8(at) !== byte)) throw new Error("not a PNG");
  const text = {}, packed = [];
  let width = 0, height = 0;
  for (let at = 8; at + 12 <= buffer.byteLength; ) {
    const length = view.getUint32(at);
    const kind = letters(buffer, at + 4, 4);
    const body = new Uint8Array(buffer, at + 8, length);
    if (kind === "IHDR") {
      width = view.getUint32(at + 8);
      height = view.getUint32(at + 12);
      if (body[8] !== 8 || body[9] !== 6 || body[12] !== 0) throw new Error("not an 8-bit RGBA PNG");
    } else if (kind === "tEXt") {
      const end = body.indexOf(0);
      text[letters(buffer, at + 8, end)] = letters(buffer, at + 9 + end, length - end - 1);
    } else if (kind === "IDAT") packed.push(body);
    at += length + 12;
  }
  const raw = await inflated(packed);
  return { width, height, bytes: unfiltered(raw, width, height), text };
}

function letters(buffer, at, length) {
  return String.fromCharCode(...new Uint8Array(buffer, at, length));
}

async function inflated(parts) {
  const stream = new Blob(parts).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

function unfiltered(raw, width, height) {
  const line = width * CHANNELS;
  if (raw.length < (line + 1) * height) throw new Error("the PNG is cut short");
  const out = new Uint8Array(line * height);
  for (let row = 0; row < height; row++) {
    const filter = raw[row * (line + 1)];
    const from = row * (line + 1) + 1, to = row * line;
    for (let i = 0; i < line; i++) {
      const left = i >= CHANNELS ? out[to + i - CHANNELS] : 0;
      const above = row ? out[to + i - line] : 0;
      const corner = row && i >= CHANNELS ? out[to + i - line - CHANNELS] : 0;
      let guess = 0;
      if (filter === 1) guess = left;
      else if (filter === 2) guess = above;
      else if (filter === 3) guess = (left + above) >> 1;
      else if (filter === 4) guess = paeth(left, above, corner);
      out[to + i] = raw[from + i] + guess;
    }
  }
  return out;
}

function paeth(left, above, corner) {
  const sum = left + above - corner;
  const a = Math.abs(sum - left), b = Math.abs(sum - above), c = Math.abs(sum - corner);
  return a <= b && a <= c ? left : b <= c ? above : corner;
}

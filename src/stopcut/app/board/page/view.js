// What of the board the frame shows: how large, and which part. Board: mm, y up. Frame: CSS pixels, y down.

const LARGEST = 40; // pixels a millimetre. Our choice: half a millimetre is then as wide as a finger.

export class View {
  frame = { width: 0, height: 0 };
  board = { width: 1, height: 1 };
  pads = { side: 2, top: 16, bottom: 34, labels: 25 };
  scale = 1; // pixels a millimetre
  middle = [0.5, 0.5]; // the board's point in the middle of the frame's inner part
  mirrored = false;
  #least = 1;

  /** Fit a frame of a width [px] round a board [mm] that is drawn at most so high [px]; a whole board stays whole, a
   *  close look stays where it was. */
  fit(width, most, board, pads) {
    const whole = this.isWhole;
    const same = board.width === this.board.width && board.height === this.board.height;
    this.board = board;
    this.pads = pads;
    const room = Math.max(1, width - 2 * pads.side);
    this.#least = Math.min(room / board.width, Math.max(1, most) / board.height);
    this.frame = { width, height: Math.round(this.#least * board.height + pads.top + pads.bottom) };
    if (whole || !same) this.whole();
    else this.#keepInside();
  }

  get isWhole() {
    return this.scale <= this.#least * 1.0001;
  }

  whole() {
    this.scale = this.#least;
    this.middle = [this.board.width / 2, this.board.height / 2];
  }

  /** How often larger than the whole board. */
  get zoom() {
    return this.scale / this.#least;
  }

  zoomAt(factor, px, py) {
    const [x, y] = this.toBoard(px, py);
    this.scale = Math.min(LARGEST, Math.max(this.#least, this.scale * factor));
    const [nx, ny] = this.toBoard(px, py);
    this.middle = [this.middle[0] + x - nx, this.middle[1] + y - ny];
    this.#keepInside();
  }

  panBy(dx, dy) {
    this.middle = [this.middle[0] - (this.flip * dx) / this.scale, this.middle[1] + dy / this.scale];
    this.#keepInside();
  }

  /** Bring a point of the board into the frame, if it is outside or close to the edge. Says whether it had to. */
  bringIn([x, y], clear = 48) {
    const [px, py] = this.toScreen([x, y]);
    const { width, height } = this.frame;
    if (px >= clear && px <= width - clear && py >= clear && py <= height - clear) return false;
    if (this.isWhole) return false;
    this.middle = [x, y];
    this.#keepInside();
    return true;
  }

  get flip() {
    return this.mirrored ? -1 : 1;
  }

  get #centre() {
    const { width, height } = this.frame, { top, bottom } = this.pads;
    return [width / 2, (height + top - bottom) / 2];
  }

  toScreen([x, y]) {
    const [cx, cy] = this.#centre;
    return [cx + this.flip * (x - this.middle[0]) * this.scale, cy - (y - this.middle[1]) * this.scale];
  }

  toBoard(px, py) {
    const [cx, cy] = this.#centre;
    return [this.middle[0] + (this.flip * (px - cx)) / this.scale, this.middle[1] - (py - cy) / this.scale];
  }

  /** From the board to the frame, as a matrix. */
  get matrix() {
    const [x, y] = this.toScreen([0, 0]);
    return [this.flip * this.scale, 0, 0, -this.scale, x, y];
  }

  /** Where the board lies in the frame. [px] */
  get edge() {
    const [x0, y0] = this.toScreen([this.mirrored ? this.board.width : 0, this.board.height]);
    const width = this.board.width * this.scale, height = this.board.height * this.scale;
    return { left: x0, top: y0, right: x0 + width, bottom: y0 + height, width, height };
  }

  /** The part of the board that the whole frame covers. [mm] */
  get shown() {
    const [x, y] = this.toBoard(this.mirrored ? this.frame.width : 0, this.frame.height);
    return { x, y, width: this.frame.width / this.scale, height: this.frame.height / this.scale };
  }

  #keepInside() {
    const { frame, board, pads, scale } = this;
    const inner = [frame.width - 2 * pads.side, frame.height - pads.top - pads.bottom];
    this.middle = [board.width, board.height].map((size, axis) => {
      const half = inner[axis] / scale / 2;
      return size <= 2 * half ? size / 2 : Math.min(size - half, Math.max(half, this.middle[axis]));
    });
  }
}

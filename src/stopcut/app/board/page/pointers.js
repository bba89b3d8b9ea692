// Fingers, pens and mice on the frame, told apart: a tap, a drag of a letter, a push of the whole view, a pinch, the
// wheel. What is under them and what is to be done is the hands' to know.

const STILL_PX = 4, STILL_TOUCH_PX = 9; // a smaller movement is still a tap. Our choice.
const DOUBLE_MS = 350, DOUBLE_PX = 24;
const WHEEL = 0.0016, PINCHED_WHEEL = 0.01; // of a zoom, by a pixel of wheel. Our choice.
const LINE_PX = 16, PAGE_PX = 400;

/** hands: {grab(point, touch) → "letter" | "view" | null, held() once it is no tap any more, drag(point), drop(),
 *  giveBack(), pan(dx, dy), zoom(factor, point), tap(point, event), doubleTap(point), hover(point | null), wheels()} */
export function listen(frame, hands) {
  const down = new Map();
  let one = null, pinch = null, lastTap = null;

  const point = (event) => {
    const box = frame.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };

  const stop = () => {
    if (one?.holds === "letter") hands.giveBack();
    one = null;
  };

  const press = (event) => {
    if (event.target.closest("[data-own]") || (event.pointerType === "mouse" && event.button !== 0)) return;
    const at = point(event);
    down.set(event.pointerId, at);
    frame.setPointerCapture(event.pointerId);
    if (down.size === 1) {
      one = { id: event.pointerId, at, last: at, touch: event.pointerType === "touch", holds: null, moved: false };
    } else if (down.size === 2) {
      stop();
      pinch = spread(down);
    }
  };

  const move = (event) => {
    const at = point(event);
    if (!down.has(event.pointerId)) return hands.hover(event.target.closest("[data-own]") ? null : at);
    down.set(event.pointerId, at);
    if (pinch && down.size >= 2) {
      const now = spread(down);
      hands.pan(now.middle[0] - pinch.middle[0], now.middle[1] - pinch.middle[1]);
      if (pinch.apart > 1) hands.zoom(now.apart / pinch.apart, now.middle);
      pinch = now;
    } else if (one?.id === event.pointerId) moveOne(at);
  };

  const moveOne = (at) => {
    if (!one.moved) {
      const still = away(at, one.at) < (one.touch ? STILL_TOUCH_PX : STILL_PX);
      if (one.touch && still) return hands.hover(at);
      one.holds ??= hands.grab(one.at, one.touch); // a letter follows from the first pixel
      if (still && one.holds !== "letter") return hands.hover(at);
      one.moved = !still;
      if (one.moved && one.holds === "letter") hands.held();
    }
    if (one.holds === "letter") hands.drag(at);
    else if (one.holds === "view") hands.pan(at[0] - one.last[0], at[1] - one.last[1]);
    else hands.hover(at);
    one.last = at;
  };

  const lift = (event) => {
    if (!down.delete(event.pointerId)) return;
    if (down.size < 2) pinch = null;
    if (one?.id !== event.pointerId) return;
    const { holds, moved, at } = one;
    one = null;
    if (holds === "letter" && moved) hands.drop();
    else if (holds === "letter") hands.giveBack();
    if (!moved) tap(at, event);
  };

  const tap = (at, event) => {
    const again = lastTap && event.timeStamp - lastTap.time < DOUBLE_MS && away(at, lastTap.at) < DOUBLE_PX;
    lastTap = again ? null : { at, time: event.timeStamp };
    if (again) hands.doubleTap(at);
    else hands.tap(at, event);
  };

  const cancel = (event) => {
    if (!down.delete(event.pointerId)) return;
    pinch = null;
    if (one?.id === event.pointerId) stop();
  };

  const wheel = (event) => {
    const pinched = event.ctrlKey || event.metaKey;
    if (!pinched && !hands.wheels()) return;
    event.preventDefault();
    const unit = [1, LINE_PX, PAGE_PX][event.deltaMode] ?? 1;
    const turn = Math.max(-200, Math.min(200, event.deltaY * unit));
    hands.zoom(Math.exp(-turn * (pinched ? PINCHED_WHEEL : WHEEL)), point(event));
  };

  const leave = () => down.size || hands.hover(null);

  const heard = { pointerdown: press, pointermove: move, pointerup: lift, pointercancel: cancel, lostpointercapture: cancel, pointerleave: leave };
  for (const [name, ear] of Object.entries(heard)) frame.addEventListener(name, ear);
  frame.addEventListener("wheel", wheel, { passive: false });
  /** Let go of what is held, as Escape does. Says whether anything was. */
  const letGo = () => {
    const held = one?.holds === "letter";
    stop();
    return held;
  };
  return { letGo };
}

function spread(down) {
  const [a, b] = [...down.values()];
  return { middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], apart: away(a, b) };
}

const away = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

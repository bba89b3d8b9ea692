// Keys on the board: which does what. The board is one tab stop; up and down go from letter to letter.

const STEPS = { ArrowUp: -1, ArrowDown: 1 };
const SIDES = { ArrowLeft: -1, ArrowRight: 1 };
const ZOOM = 1.25;
const UP_DOWN = { ArrowUp: 1, ArrowDown: -1 };

/** hands: {step(by), toEnd(end), nudge(way, coarse), reset(), letGo(), zoom(factor), whole(), point(dx, dy, coarse),
 *  set(), task()} */
export function onKey(event, hands) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (!act(event, hands)) return;
  event.preventDefault();
  event.stopPropagation();
}

function act({ key, shiftKey: coarse }, hands) {
  const pointing = hands.task() === "measure" || hands.task() === "section";
  if (pointing && (key in SIDES || key in UP_DOWN)) hands.point(SIDES[key] ?? 0, UP_DOWN[key] ?? 0, coarse);
  else if (pointing && (key === "Enter" || key === " ")) hands.set();
  else if (key in STEPS) hands.step(STEPS[key]);
  else if (key in SIDES) hands.nudge(SIDES[key], coarse);
  else if (key === "Home" || key === "End") hands.toEnd(key === "End");
  else if (key === "Backspace" || key === "Delete") hands.reset();
  else if (key === "Escape") return hands.letGo();
  else if (key === "+" || key === "=") hands.zoom(ZOOM);
  else if (key === "-" || key === "−" || key === "_") hands.zoom(1 / ZOOM);
  else if (key === "0") hands.whole();
  else return false;
  return true;
}

// What the board says for those who hear it, and beside a letter that is being pushed.

import { bare, length } from "./lengths.js";

const LEAST_MM = 0.005; // a smaller shift is none

/** "R to O 7 mm, 0.4 tighter than worked out": the gap after a letter, as Gaps.now has it. */
export function gapWords(item, now, units) {
  const names = `${item.data.char} to ${item.next.data.char}`;
  return `${names} ${now.text} ${units}, ${shiftWords(now.shift, units)}`;
}

export function shiftWords(shift, units) {
  if (Math.abs(shift) < LEAST_MM) return "as worked out";
  const size = bare(Math.abs(shift), units);
  return `${size === "0" ? "a hair" : size} ${shift < 0 ? "tighter" : "more open"} than worked out`;
}

/** "0.4 mm to the left", for a drag under way. */
export function pushWords(dx, units) {
  const size = length(Math.abs(dx), units);
  return Math.abs(dx) < LEAST_MM ? "as it was" : `${size} ${dx < 0 ? "to the left" : "to the right"}`;
}

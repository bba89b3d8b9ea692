// Tones by depth: one ladder from light to dark graphite, so that it reads as well in grey, in even steps of a depth
// that a carver can set a rule to.

const LIGHT = [0xc9, 0xd2, 0xcf], DARK = [0x0b, 0x12, 0x15]; // sRGB. Our choice: layout paper to ink.
const MOST = 8; // steps at most. Our choice: as many greys as the eye tells apart by a legend.
const NICE = [1, 2, 5];

/** [{from, to, tone: "#rrggbb"}] in mm, shallow to deep, for grooves as deep as deepest. */
export function depthTones(deepest) {
  const step = niceStep(deepest);
  const count = Math.max(1, Math.ceil(deepest / step - 1e-6));
  return Array.from({ length: count }, (_, at) => ({
    from: tidy(at * step),
    to: tidy((at + 1) * step),
    tone: hex(LIGHT.map((light, k) => light + ((DARK[k] - light) * at) / Math.max(1, count - 1))),
  }));
}

/** The smallest of 0.1, 0.2, 0.5, 1, 2, 5 … mm that makes no more than MOST steps. */
function niceStep(deepest) {
  for (let power = -1; ; power++) {
    for (const nice of NICE) {
      const step = nice * 10 ** power;
      if (deepest / step <= MOST + 1e-6) return step;
    }
  }
}

function tidy(mm) {
  return Math.round(mm * 1e6) / 1e6;
}

function hex(parts) {
  return "#" + parts.map((part) => Math.round(part).toString(16).padStart(2, "0")).join("");
}

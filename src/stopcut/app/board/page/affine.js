// Matrices as the view has them: [a, b, c, d, e, f] with x' = a x + c y + e, y' = b x + d y + f.

export function after(first, then) {
  const [a, b, c, d, e, f] = first, [A, B, C, D, E, F] = then;
  return [A * a + C * b, B * a + D * b, A * c + C * d, B * c + D * d, A * e + C * f + E, B * e + D * f + F];
}

export function moved(matrix, dx, dy) {
  const [a, b, c, d, e, f] = matrix;
  return [a, b, c, d, e + dx, f + dy];
}

export function apply([a, b, c, d, e, f], [x, y]) {
  return [a * x + c * y + e, b * x + d * y + f];
}

export const written = (matrix) => `matrix(${matrix.join(" ")})`;

/** What pushing a letter dx mm along its line does to it: a step to the right, or a turn about the arc's centre. */
export function pushed(arc, dx) {
  if (!arc) return [1, 0, 0, 1, dx, 0];
  const turn = (arc.bend === "up" ? -dx : dx) / arc.radius;
  const cos = Math.cos(turn), sin = Math.sin(turn);
  return [cos, sin, -sin, cos, arc.x - cos * arc.x + sin * arc.y, arc.y - sin * arc.x - cos * arc.y];
}

/** How far along its line a point lies, from wherever the line begins: x, or the way along the arc. [mm] */
export function along(arc, [x, y]) {
  if (!arc) return x;
  return arc.bend === "up"
    ? arc.radius * Math.atan2(x - arc.x, y - arc.y)
    : arc.radius * Math.atan2(x - arc.x, arc.y - y);
}

/** The way from a line down to its feet, as a direction, at a point. */
export function downwards(arc, [x, y]) {
  if (!arc) return [0, -1];
  const away = arc.bend === "up" ? -1 : 1;
  const length = Math.hypot(x - arc.x, y - arc.y) || 1;
  return [(away * (x - arc.x)) / length, (away * (y - arc.y)) / length];
}

/** Where a point came from that a matrix brought here. */
export function back([a, b, c, d, e, f], [x, y]) {
  const size = a * d - b * c || 1e-12;
  return [(d * (x - e) - c * (y - f)) / size, (a * (y - f) - b * (x - e)) / size];
}

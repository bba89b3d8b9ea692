// Elements of a drawing, made and changed; an attribute is only written when it has changed.

const SVG = "http://www.w3.org/2000/svg";

export function make(name, attributes = {}, parent = null) {
  const node = document.createElementNS(SVG, name);
  set(node, attributes);
  parent?.append(node);
  return node;
}

export function element(name, attributes = {}, parent = null) {
  const node = document.createElement(name);
  set(node, attributes);
  parent?.append(node);
  return node;
}

export function set(node, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) node.removeAttribute(name);
    else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
  return node;
}

export function write(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** Nodes by key: made when first asked for, put away when a round of drawing did not ask for them. */
export class Kept {
  #nodes = new Map();
  #asked = new Set();

  constructor(maker) {
    this.make = maker;
  }

  begin() {
    this.#asked.clear();
  }

  get(key) {
    if (!this.#nodes.has(key)) this.#nodes.set(key, this.make(key));
    this.#asked.add(key);
    return this.#nodes.get(key);
  }

  end() {
    for (const [key, node] of this.#nodes) {
      if (this.#asked.has(key)) continue;
      node.remove();
      this.#nodes.delete(key);
    }
  }
}

/** Runs work at the next frame, once however often it was asked for. */
export function onceAFrame(work) {
  let asked = 0;
  const ask = () => {
    asked ||= requestAnimationFrame(() => {
      asked = 0;
      work();
    });
  };
  ask.stop = () => cancelAnimationFrame(asked);
  return ask;
}

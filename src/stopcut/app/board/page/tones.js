// The legend of the depth look: the lamp's own tones, each with the depths that it stands for.

import { bare } from "./lengths.js";
import { element } from "./svg.js";

export class Tones {
  #said = "";

  constructor(root) {
    this.list = element("ul", { class: "tones", "aria-label": "Depths", hidden: "" }, root);
  }

  /** tones: [{from, to, tone}] in mm, shallow to deep; none hides the legend. */
  draw(tones, units) {
    const said = tones.map(({ from, to, tone }) => [tone, `${bare(from, units)} – ${bare(to, units)} ${units}`]);
    const key = JSON.stringify(said);
    if (key === this.#said) return;
    this.#said = key;
    this.list.hidden = !said.length;
    this.list.replaceChildren();
    for (const [tone, text] of said) {
      const item = element("li", {}, this.list);
      element("i", {}, item).style.background = tone;
      item.append(text);
    }
  }
}

// One cut at a time, large. Everything that is needed is here once the page is open: ticks and minutes wait in the
// browser's own storage while the network is away, and are sent once it is back; each carries an id of its own, so that
// sending one twice changes nothing.

const SVG = "http://www.w3.org/2000/svg";
const ROUND_MM = 0.12; // room round the letter, of its longer side
const AGAIN_MS = 3000; // how soon what waits is tried again

const make = (name, attributes, parent) => {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
};

const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) => b.toString(16).padStart(2, "0")).join("");

export default {
  emits: ["letter", "noted"],
  props: { url: String, ticksUrl: String, minutesUrl: String, job: String, order: String },
  template: `
    <section class="bench" tabindex="-1" aria-label="One cut at a time">
      <p v-if="!cut" class="large" role="status">{{ waits }}</p>
      <template v-else>
        <div class="bench-picture">
          <svg ref="line" class="bench-line" role="img" :aria-label="'You are at ' + letter.name"></svg>
          <svg ref="drawing" role="img" :aria-label="letter.name + ', ' + cut.title"></svg>
        </div>
        <div class="bench-words">
          <p class="quiet">Cut {{ at + 1 }} of {{ cuts.length }} · {{ doneCount }} done · {{ letter.name }}</p>
          <h2 class="bench-title">{{ cut.title }}</h2>
          <p class="bench-tool">{{ cut.tool }}</p>
          <p>{{ cut.technique }}</p>
          <dl class="figures"><template v-for="(value, label) in cut.says" :key="label"><dt>{{ label }}</dt><dd>{{ value }}</dd></template></dl>
          <p v-for="turn in cut.turns" :key="turn" class="bench-turn-words"><svg viewBox="-8 -8 16 16" aria-hidden="true"><path d="M0-6L6 0L0 6L-6 0Z" class="bench-turn"></path></svg> {{ turn }}</p>
          <p v-for="caution in cut.cautions" :key="caution" class="caution">{{ caution }}</p>
        </div>
        <div class="bench-hands">
          <button type="button" class="thumb" @click="step(-1)" :disabled="at === 0">Back</button>
          <button type="button" class="thumb firm" @click="tick" :aria-pressed="String(isDone)">{{ isDone ? "Not done after all" : "Done" }}</button>
          <button type="button" class="thumb" @click="step(1)" :disabled="at === cuts.length - 1">Next</button>
        </div>
        <div class="bench-time">
          <button type="button" class="word" @click="clock">{{ since ? "Stop the clock and note it" : "Time this letter" }}</button>
          <span class="quiet" role="timer">{{ timeWords }}</span>
          <button v-if="firstOpen !== at" type="button" class="word" @click="go(firstOpen)">To the first cut not done</button>
          <span class="quiet" role="status">{{ sentWords }}</span>
        </div>
      </template>
    </section>`,
  data: () => ({ cuts: [], letters: {}, at: 0, done: {}, since: 0, timed: "", now: Date.now(), queue: [], sending: false, waits: "The cuts are being planned.", minutes: null }),
  computed: {
    cut() { return this.cuts[this.at]; },
    letter() { return this.letters[this.cut.letter] ?? { name: "" }; },
    isDone() { return !!this.done[this.cut.mark]; },
    doneCount() { return this.cuts.filter((one) => this.done[one.mark]).length; },
    firstOpen() { const found = this.cuts.findIndex((one) => !this.done[one.mark]); return found < 0 ? this.at : found; },
    timeWords() {
      if (!this.since) return `about ${Math.round(this.letter.minutes)} minutes for this letter; ${this.minutes.low} to ${this.minutes.high} for the board`;
      const seconds = Math.max(0, Math.round((this.now - this.since) / 1000));
      return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")} at ${this.letters[this.timed]?.name ?? "this letter"}`;
    },
    sentWords() { return this.queue.length ? `${this.queue.length} not sent yet: they are kept here until the network is back` : ""; },
  },
  watch: {
    url() { this.load(); },
    at() { this.keep(); this.draw(); },
    "cut.letter"(key) { if (key) this.$emit("letter", key); },
  },
  async mounted() {
    this.kept = `stopcut-bench-${this.job}`;
    const before = JSON.parse(localStorage.getItem(this.kept) ?? "{}");
    Object.assign(this, { queue: before.queue ?? [], since: before.since ?? 0, timed: before.timed ?? "" });
    this.mark = before.mark ?? "";
    this.ticking = setInterval(() => (this.now = Date.now()), 1000);
    this.trying = setInterval(() => this.send(), AGAIN_MS);
    this.keys = (event) => this.key(event);
    this.online = () => this.send();
    addEventListener("keydown", this.keys);
    addEventListener("online", this.online);
    await this.load();
  },
  unmounted() {
    clearInterval(this.ticking);
    clearInterval(this.trying);
    removeEventListener("keydown", this.keys);
    removeEventListener("online", this.online);
  },
  methods: {
    async load() {
      const asked = this.url;
      try {
        const answer = await fetch(asked);
        const told = answer.ok ? await answer.json() : { fault: await answer.text() };
        if (asked !== this.url) return;
        if (told.fault !== undefined) { this.cuts = []; this.waits = told.fault; return; }
        this.letters = told.letters;
        this.minutes = told.minutes;
        this.done = Object.fromEntries(told.done.map((mark) => [mark, true]));
        for (const one of this.queue) if (one.what === "tick") this.done[one.mark] = one.done;
        this.cuts = told.cuts;
        const there = told.cuts.findIndex((one) => one.mark === this.mark);
        this.at = there >= 0 ? there : this.firstOpen;
        await this.$nextTick();
        this.draw();
        this.send();
      } catch {
        this.waits = "The cuts could not be fetched; they will be once the network is back.";
        setTimeout(() => !this.cuts.length && asked === this.url && this.load(), AGAIN_MS);
      }
    },
    step(by) { this.go(this.at + by); },
    go(at) { this.at = Math.min(Math.max(at, 0), this.cuts.length - 1); },
    tick() {
      const done = !this.isDone;
      this.done[this.cut.mark] = done;
      this.add({ what: "tick", id: newId(), mark: this.cut.mark, done, at_ms: Date.now() });
      if (done && this.at < this.cuts.length - 1) this.step(1);
    },
    clock() {
      if (!this.since) {
        Object.assign(this, { since: Date.now(), timed: this.cut.letter });
      } else {
        const taken = (Date.now() - this.since) / 60000, letter = this.letters[this.timed];
        if (letter && taken > 0.05) this.add({ what: "minutes", id: newId(), letter: this.timed, reckoned: letter.reckoned, taken, at_ms: Date.now() });
        this.since = 0;
      }
      this.keep();
    },
    key(event) {
      if (event.target.closest?.("input, textarea, select, button, a") || event.ctrlKey || event.metaKey || event.altKey || !this.cut) return;
      if (event.key === "ArrowRight" || event.key === "ArrowLeft") this.step(event.key === "ArrowRight" ? 1 : -1);
      else if (event.key === " ") this.tick();
      else return;
      event.preventDefault();
    },
    add(one) { this.queue.push(one); this.keep(); this.send(); },
    keep() {
      if (this.cut) this.mark = this.cut.mark;
      localStorage.setItem(this.kept, JSON.stringify({ queue: this.queue, since: this.since, timed: this.timed, mark: this.mark }));
    },
    async send() {
      if (this.sending || !this.queue.length) return;
      this.sending = true;
      try {
        for (const [what, url] of [["tick", this.ticksUrl], ["minutes", this.minutesUrl]]) {
          const batch = this.queue.filter((one) => one.what === what).slice(0, 200);
          if (!batch.length) continue;
          const answer = await fetch(url, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(batch) });
          if (!answer.ok && answer.status < 500 && answer.status !== 403) batch.refused = true;
          if (!answer.ok && !batch.refused) break;
          if (what === "minutes" && answer.ok) this.$emit("noted");
          const sent = new Set(batch.map((one) => one.id));
          this.queue = this.queue.filter((one) => !sent.has(one.id));
          this.keep();
        }
      } catch { /* the network is away: it is tried again */ }
      this.sending = false;
    },
    draw() {
      const svg = this.$refs.drawing;
      if (!svg || !this.cut) return;
      svg.replaceChildren();
      const { path, matrix, box } = this.letter, [left, bottom, right, top] = box;
      const size = Math.max(right - left, top - bottom), room = ROUND_MM * size;
      svg.setAttribute("viewBox", `${left - room} ${-top - room} ${right - left + 2 * room} ${top - bottom + 2 * room}`);
      const up = make("g", { transform: "scale(1,-1)" }, svg);
      make("path", { d: path, transform: `matrix(${matrix})`, class: "bench-outline" }, up);
      for (const other of this.cuts) {
        if (other.letter === this.cut.letter && other !== this.cut && this.done[other.mark]) make("polyline", { points: other.points.join(" "), class: "bench-done" }, up);
      }
      make("polyline", { points: this.cut.points.join(" "), class: `bench-cut ${this.cut.kind}` }, up);
      const ways = { along: [1], against: [-1], either: [1, -1] }[this.cut.slice] ?? (this.cut.kind === "end" ? [1] : []);
      for (const way of ways) this.arrow(up, way > 0 ? this.cut.points : [...this.cut.points].reverse(), size);
      for (const [x, y] of this.letter.turns) this.diamond(up, x, y, size);
      this.drawLine();
      if (this.cut.kind === "stop") for (const points of [this.cut.points, [...this.cut.points].reverse()]) this.bar(up, points, size);
    },
    /** The whole line, small: the letter in hand, and those that are done. */
    drawLine() {
      const svg = this.$refs.line, line = this.cut.letter.split(":")[0];
      svg.replaceChildren();
      const there = Object.entries(this.letters).filter(([key]) => key.split(":")[0] === line);
      const boxes = there.map(([, one]) => one.box);
      const [left, bottom] = [0, 1].map((at) => Math.min(...boxes.map((box) => box[at])));
      const [right, top] = [2, 3].map((at) => Math.max(...boxes.map((box) => box[at])));
      const room = 0.06 * (top - bottom);
      svg.setAttribute("viewBox", `${left - room} ${-top - room} ${right - left + 2 * room} ${top - bottom + 4 * room}`);
      const up = make("g", { transform: "scale(1,-1)" }, svg);
      for (const [key, one] of there) {
        const here = key === this.cut.letter, done = this.cuts.every((cut) => cut.letter !== key || this.done[cut.mark]);
        make("path", { d: one.path, transform: `matrix(${one.matrix})`, class: here ? "here" : done ? "done" : "" }, up);
        if (here) make("line", { x1: one.box[0], x2: one.box[2], y1: bottom - 2 * room, y2: bottom - 2 * room, class: "here" }, up);
      }
    },
    diamond(up, x, y, size) {
      const r = 0.018 * size;
      make("path", { d: `M${x} ${y + r}L${x + r} ${y}L${x} ${y - r}L${x - r} ${y}Z`, class: "bench-turn" }, up);
    },
    arrow(up, points, size) {
      const [ux, uy, x, y] = this.end(points), reach = 0.05 * size, half = 0.022 * size;
      const at = (back, side) => `${x - back * ux - side * uy},${y - back * uy + side * ux}`;
      make("polygon", { points: `${x},${y} ${at(reach, half)} ${at(reach, -half)}`, class: "bench-arrow" }, up);
    },
    bar(up, points, size) {
      const [ux, uy, x, y] = this.end(points), half = 0.025 * size;
      make("line", { x1: x - half * uy, y1: y + half * ux, x2: x + half * uy, y2: y - half * ux, class: "bench-cut" }, up);
    },
    end(points) {
      const [x, y] = points[points.length - 1];
      let before = points[0];
      for (let i = points.length - 2; i >= 0; i--) {
        before = points[i];
        if (Math.hypot(x - before[0], y - before[1]) > 0.2) break;
      }
      const length = Math.hypot(x - before[0], y - before[1]) || 1;
      return [(x - before[0]) / length, (y - before[1]) / length, x, y];
    },
  },
};

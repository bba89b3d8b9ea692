// One step at a time, large. Everything that is needed is here once the page is open: ticks and minutes wait in the
// browser's own storage until they have been taken, and each carries an id of its own, so that sending one twice changes
// nothing. A tick is given up only where it can never be taken, and that is said.

const SVG = "http://www.w3.org/2000/svg";
const ROUND_MM = 0.06; // room round the letter, of its longer side
const AGAIN_MS = 3000; // how soon what waits is tried again
const AT_ONCE = 200; // ticks in one sending
const LATER = [401, 403, 408, 409, 425, 429]; // answers that may be others later: no key yet, busy, too many at once
const GONE = [404, 410];
const SLIP_MIN = 0.05; // a clock stopped sooner was started by mistake

const make = (name, attributes, parent) => {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
};

const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) => b.toString(16).padStart(2, "0")).join("");
const hour = (ms) => new Date(ms).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
const clockWords = (ms) => `${Math.floor(ms / 60000)}:${String(Math.floor(ms / 1000) % 60).padStart(2, "0")}`;

const hours = (minutes) => {
  const whole = Math.max(1, Math.round(minutes)), rest = whole % 60;
  return whole < 60 ? `${whole} min` : `${Math.floor(whole / 60)} h ${String(rest).padStart(2, "0")}`;
};

const shareWords = (share) => {
  if (share >= 1) return `${share >= 9.5 ? Math.round(share) : Number(share.toFixed(1))} times`;
  const parts = Math.round(1 / share);
  return `${{ 2: "half", 3: "a third", 4: "a quarter", 5: "a fifth", 10: "a tenth" }[parts] ?? `one part in ${parts}`} of`;
};

export default {
  emits: ["letter", "noted"],
  props: { url: String, ticksUrl: String, minutesUrl: String, job: String },
  template: `
    <section class="bench" tabindex="-1" aria-label="One step at a time">
      <p class="bench-sent"><span role="status" :class="{ loud: away || dropped }">{{ sentWords }}</span><span v-if="step" role="status">{{ doneWords }}</span></p>
      <p v-if="!step" class="large" role="status">{{ waits }}</p>
      <template v-else>
        <div class="bench-picture">
          <svg ref="line" class="bench-line" role="img" :aria-label="'You are at ' + letter.name"></svg>
          <svg ref="drawing" class="bench-drawing" role="img" :aria-label="letter.name + ', ' + step.says"></svg>
        </div>
        <div class="bench-words">
          <p class="quiet">Step {{ step.number }} of {{ own.length }} · {{ letter.name }} · about {{ letterTime }}</p>
          <h2 class="bench-title">{{ step.says }}</h2>
          <p class="bench-tool">{{ step.tool }}</p>
          <p class="bench-how">{{ step.how }}</p>
          <p v-for="caution in step.cautions" :key="caution" class="caution">{{ caution }}</p>
          <dl class="figures"><template v-for="(value, label) in step.figures" :key="label"><dt>{{ label }}</dt><dd>{{ value }}</dd></template></dl>
          <p v-for="turn in step.turns" :key="turn" class="bench-turn-words"><svg viewBox="-8 -8 16 16" aria-hidden="true"><path d="M0-6L6 0L0 6L-6 0Z" class="bench-turn"></path></svg> {{ turn }}</p>
        </div>
        <div class="bench-list" :class="{ open: listed }">
          <button type="button" class="word bench-all" :aria-expanded="String(listed)" @click="listed = !listed">{{ listed ? "Only this step" : "All " + own.length + " steps" }}</button>
          <ol ref="list" tabindex="-1" :aria-label="'Steps of ' + letter.name">
            <li v-for="[one, place] in own" :key="one.mark" :class="{ here: place === at, done: done[one.mark] }">
              <button type="button" :aria-current="place === at ? 'step' : null" @click="go(place)"><span class="number">{{ one.number }}</span><span>{{ one.says }}</span><span class="told">{{ done[one.mark] ? "done" : "" }}</span></button>
            </li>
          </ol>
        </div>
        <div class="bench-foot">
          <div class="bench-time">
            <template v-if="asks">
              <span role="alert"><b>{{ asks.words }}</b> Count it?</span>
              <button type="button" class="word" @click="answer('yes')">Count it</button>
              <button type="button" class="word" @click="answer('no')">Leave it out</button>
            </template>
            <template v-else-if="clock">
              <button type="button" class="word" @click="clock.since ? pause() : goOn()">{{ clock.since ? "Stop the clock" : "Go on" }}</button>
              <button v-if="!clock.since" type="button" class="word" @click="putAway">Put the time away</button>
              <span role="timer">{{ timeWords }}</span>
            </template>
            <template v-else>
              <button type="button" class="word" @click="start" :disabled="letterDone">Time this letter</button>
              <span v-if="noted" role="status">{{ noted.words }}</span>
              <button v-if="noted" type="button" class="word" @click="forget">Take the time back</button>
            </template>
            <span class="bench-other">
              <button v-if="lately.length" type="button" class="word" @click="takeBack">Take it back</button>
              <button v-if="firstOpen !== at" type="button" class="word" @click="go(firstOpen)">To the first step not done</button>
            </span>
          </div>
          <div class="bench-hands">
            <button type="button" class="thumb" @click="move(-1)" :disabled="at === 0">Back</button>
            <button type="button" class="thumb firm" @click="tick">{{ isDone ? "Not done after all" : "Done" }}</button>
            <button type="button" class="thumb" @click="tickLetter">{{ letterDone ? "Letter not done" : "Whole letter" }}</button>
          </div>
        </div>
      </template>
    </section>`,
  data: () => ({
    steps: [], letters: {}, at: 0, done: {}, minutes: null, believable: { least: 0, most: Infinity }, waits: "The steps are being planned.",
    queue: [], sending: false, away: false, why: "", lastSent: 0, dropped: "", lately: [],
    clock: null, asks: null, noted: null, now: Date.now(), listed: false,
  }),
  computed: {
    step() { return this.steps[this.at]; },
    letter() { return this.letters[this.step.letter] ?? { name: "" }; },
    own() { return this.of(this.step.letter); },
    isDone() { return !!this.done[this.step.mark]; },
    letterDone() { return this.allDone(this.step.letter); },
    /** Of every letter, the minutes of its steps in all and of those not done, and how many these are. */
    tally() {
      const found = {};
      for (const one of this.steps) {
        const own = (found[one.letter] ??= { whole: 0, left: 0, open: 0 });
        own.whole += one.minutes;
        if (!this.done[one.mark]) Object.assign(own, { left: own.left + one.minutes, open: own.open + 1 });
      }
      return found;
    },
    doneWords() {
      const open = Object.values(this.tally).reduce((sum, own) => sum + own.open, 0), count = this.steps.length - open;
      const left = Object.keys(this.letters).reduce((sum, key) => sum + this.letters[key].minutes * this.shareLeft(key), 0);
      return `${count} of ${this.steps.length} steps done · ${open ? hours(left) + " left" : "the board is done"}`;
    },
    firstOpen() { const found = this.steps.findIndex((one) => !this.done[one.mark]); return found < 0 ? this.at : found; },
    timeWords() {
      const name = this.letters[this.clock.letter]?.name ?? "this letter";
      return `${clockWords(this.elapsed())} at ${name}${this.clock.since ? "" : ", stopped; noted once all its steps are done"}`;
    },
    letterTime() { return hours(this.letter.minutes); },
    lastHour() { return hour(this.lastSent); },
    sentWords() {
      if (this.dropped) return this.dropped;
      const waiting = this.queue.length;
      if (this.away && this.why) return `${this.why} Kept here, ${waiting} not sent.`;
      const last = this.lastSent ? ` Last sent ${this.lastHour}.` : "";
      if (this.away) return waiting ? `Network away. Kept here, ${waiting} not sent. The other sections wait for it.${last}` : "Network away. Ticks are kept here until it is back.";
      if (waiting) return `${waiting} not sent yet.`;
      return this.lastSent ? `All sent, ${this.lastHour}` : "All sent";
    },
  },
  watch: {
    url() { this.load(); },
    at() { this.keep(); this.$nextTick(() => this.draw()); },
    "step.letter"(key) { if (key) this.$emit("letter", key); },
  },
  async mounted() {
    this.kept = `stopcut-bench-${this.job}`;
    let before = {};
    try { before = JSON.parse(localStorage.getItem(this.kept) ?? "{}"); } catch { /* what cannot be read is as if it were not there */ }
    const clock = before.clock ?? (before.since ? { letter: before.timed, since: before.since, before: 0, share: 1 } : null);
    Object.assign(this, { queue: before.queue ?? [], clock, asks: before.asks ?? null, noted: before.noted ?? null, lastSent: before.lastSent ?? 0 });
    this.mark = before.mark ?? "";
    this.ticking = setInterval(() => (this.now = Date.now()), 1000);
    this.trying = setInterval(() => this.send(), AGAIN_MS);
    this.keys = (event) => this.key(event);
    this.online = () => { Object.assign(this, { away: false, why: "" }); this.send(); };
    this.offline = () => (this.away = true);
    addEventListener("keydown", this.keys);
    for (const [heard, ear] of this.lines()) addEventListener(heard, ear);
    await this.load();
  },
  unmounted() {
    this.left = true;
    clearInterval(this.ticking);
    clearInterval(this.trying);
    removeEventListener("keydown", this.keys);
    for (const [heard, ear] of this.lines()) removeEventListener(heard, ear);
  },
  methods: {
    /** What tells that the program has gone, or is there again. */
    lines() {
      return [["online", this.online], ["stopcut-back", this.online], ["offline", this.offline], ["stopcut-away", this.offline]];
    },
    async load() {
      const asked = this.url;
      try {
        const answer = await fetch(asked);
        if (asked !== this.url) return;
        if (answer.status >= 500) throw new Error(await answer.text());
        const told = answer.ok ? await answer.json() : { fault: await answer.text() };
        if (asked !== this.url) return;
        if (told.fault !== undefined) { this.steps = []; this.waits = told.fault; return; }
        const { letters, minutes, believable } = told;
        const done = Object.fromEntries(told.done.map((mark) => [mark, true]));
        for (const one of this.queue) if (one.what === "tick") done[one.mark] = one.done;
        Object.assign(this, { letters: Object.freeze(letters), minutes, believable, done, steps: Object.freeze(told.steps) });
        const there = told.steps.findIndex((one) => one.mark === this.mark);
        this.at = there >= 0 ? there : Math.max(0, told.steps.findIndex((one) => !done[one.mark]));
        if (!told.steps.length) this.waits = "There is nothing to cut on this board.";
        await this.$nextTick();
        this.draw();
        this.send();
      } catch {
        this.waits = "The steps could not be fetched; they will be once the network is back.";
        setTimeout(() => asked === this.url && !this.left && this.load(), AGAIN_MS);
      }
    },
    of(letter) { return this.steps.map((one, place) => [one, place]).filter(([one]) => one.letter === letter); },
    move(by) { this.go(this.at + by); },
    go(at) { this.at = Math.min(Math.max(at, 0), this.steps.length - 1); },
    tick() {
      const done = !this.isDone;
      this.set([this.step.mark], done);
      if (done && this.at < this.steps.length - 1) this.move(1);
    },
    /** All steps of the letter that are not done yet, or none of them; then on to the next step not done. */
    tickLetter() {
      const done = !this.letterDone;
      this.set(this.own.map(([one]) => one.mark).filter((mark) => !!this.done[mark] !== done), done);
      const next = this.steps.findIndex((one, place) => place > this.at && !this.done[one.mark]);
      if (done && next >= 0) this.go(next);
    },
    takeBack() {
      const back = this.lately, place = this.steps.findIndex((one) => one.mark === back[0]?.mark);
      for (const done of [true, false]) {
        const marks = back.filter((one) => one.done !== done).map((one) => one.mark);
        if (marks.length) this.set(marks, done);
      }
      this.lately = [];
      if (place >= 0) this.go(place);
      this.keep();
    },
    set(marks, done) {
      const now = Date.now();
      this.lately = marks.map((mark) => ({ mark, done }));
      this.dropped = "";
      for (const mark of marks) {
        this.done[mark] = done;
        this.queue.push({ what: "tick", id: newId(), mark, done, at_ms: now });
      }
      this.keep();
      this.finish();
      this.draw();
      this.send();
    },
    allDone(key) { return !this.tally[key]?.open; },
    shareLeft(key) {
      const own = this.tally[key];
      return own?.whole ? own.left / own.whole : 0;
    },
    // The clock. A letter's time is noted once all its steps are done, never before.
    elapsed() { return this.clock.before + (this.clock.since ? Math.max(0, this.now - this.clock.since) : 0); },
    start() {
      this.clock = { letter: this.step.letter, since: Date.now(), before: 0, share: this.shareLeft(this.step.letter) };
      this.noted = null;
      this.keep();
    },
    pause() {
      this.now = Date.now();
      this.clock = { ...this.clock, before: this.elapsed(), since: 0 };
      this.keep();
    },
    goOn() { this.clock = { ...this.clock, since: Date.now() }; this.keep(); },
    putAway() { this.clock = null; this.keep(); },
    finish() {
      const clock = this.clock, letter = clock && this.letters[clock.letter];
      if (!letter || !this.allDone(clock.letter)) return;
      this.now = Date.now();
      const taken = this.elapsed() / 60000, reckoned = letter.reckoned * clock.share;
      this.clock = null;
      if (taken > SLIP_MIN && reckoned > 0) {
        const steps = this.of(clock.letter).map(([one]) => one.mark);
        const one = { what: "minutes", id: newId(), letter: clock.letter, reckoned, taken, at_ms: Date.now(), steps, counts: "judged" };
        const ratio = taken / reckoned;
        if (ratio < this.believable.least || ratio > this.believable.most) {
          const share = taken / (letter.minutes * clock.share);
          this.asks = { one, words: `${letter.char}: ${hours(taken)}. That is ${shareWords(share)} what was worked out.` };
        } else this.note(one, `${letter.char} in ${hours(taken)}: noted.`);
      }
      this.keep();
    },
    answer(counts) {
      const { one, words } = this.asks, char = words.split(":")[0];
      this.asks = null;
      this.note({ ...one, counts }, `${char} in ${hours(one.taken)}: ${counts === "yes" ? "noted" : "left out"}.`);
    },
    note(one, words) {
      this.queue.push(one);
      this.noted = { id: one.id, words };
      this.keep();
      this.send();
    },
    forget() {
      const id = this.noted.id, waiting = this.queue.some((one) => one.id === id) && !this.sending;
      if (waiting) this.queue = this.queue.filter((one) => one.id !== id);
      else this.queue.push({ what: "take back", id: newId(), minutes: id });
      this.noted = null;
      this.keep();
      this.send();
    },
    key(event) {
      if (event.target.closest?.("input, textarea, select, button, a") || event.ctrlKey || event.metaKey || event.altKey || !this.step) return;
      if (event.key === "ArrowRight" || event.key === "ArrowLeft") this.move(event.key === "ArrowRight" ? 1 : -1);
      else if (event.key === " ") this.tick();
      else return;
      event.preventDefault();
    },
    keep() {
      if (this.step) this.mark = this.step.mark;
      const { queue, clock, asks, noted, lastSent, mark } = this;
      try {
        localStorage.setItem(this.kept, JSON.stringify({ queue, clock, asks, noted, lastSent, mark }));
      } catch { /* the browser keeps nothing: it is sent all the same, and waits on this page */ }
    },
    /** Send what waits, ticks before times: a time counts once its letter's steps are ticked. */
    async send() {
      if (this.sending || !this.queue.length) return;
      this.sending = true;
      try {
        for (const [whats, url] of [[["tick"], this.ticksUrl], [["minutes", "take back"], this.minutesUrl]]) {
          let most = AT_ONCE, batch;
          while ((batch = this.queue.filter((one) => whats.includes(one.what)).slice(0, most)).length) {
            const taken = await this.post(url, batch);
            if (taken === "later") return;
            if (taken === "never" && batch.length > 1) { most = 1; continue; } // which of them it is
            const sent = new Set(batch.map((one) => one.id));
            this.queue = this.queue.filter((one) => !sent.has(one.id));
            if (taken === "kept") this.lastSent = Date.now();
            this.keep();
            if (taken === "kept" && url === this.minutesUrl) this.$emit("noted");
          }
        }
      } finally { this.sending = false; }
    },
    /** "kept"; "later" where it may be taken yet; "never" where it cannot. */
    async post(url, batch) {
      let answer;
      try {
        answer = await fetch(url, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(batch) });
      } catch {
        Object.assign(this, { away: true, why: "" });
        return "later";
      }
      const why = answer.ok ? "" : await answer.text().catch(() => "");
      if (answer.ok) {
        Object.assign(this, { away: false, why: "" });
        return "kept";
      }
      if (answer.status >= 500 || LATER.includes(answer.status)) {
        Object.assign(this, { away: true, why: answer.status === 503 ? why : "" });
        return "later";
      }
      this.away = false;
      if (GONE.includes(answer.status)) {
        const gone = this.queue.length;
        this.queue = [];
        this.dropped = `This job is gone from the store: ${gone} ${gone === 1 ? "tick" : "ticks and times"} could not be kept.`;
        this.keep();
        return "later";
      }
      if (batch.length === 1) this.dropped = `One ${batch[0].what === "tick" ? "tick" : "time"} could not be kept: ${why || "the program did not understand it."}`;
      return "never";
    },
    /** The letter: what is done pale, the step in hand heavy and red, what comes dashed. */
    draw() {
      const svg = this.$refs.drawing;
      if (!svg || !this.step) return;
      svg.replaceChildren();
      this.drawLine();
      this.$nextTick(() => this.showListed());
      if (!this.letter.box) return;
      const { path, matrix, box } = this.letter, [left, bottom, right, top] = box;
      const size = Math.max(right - left, top - bottom), room = ROUND_MM * size;
      svg.setAttribute("viewBox", `${left - room} ${-top - room} ${right - left + 2 * room} ${top - bottom + 2 * room}`);
      const up = make("g", { transform: "scale(1,-1)" }, svg);
      const others = this.own.map(([one]) => one).filter((one) => one !== this.step);
      const lines = (of, kind) => of.forEach((one) => one.lines.forEach((points) => make("polyline", { points: points.join(" "), class: kind }, up)));
      lines(others.filter((one) => this.done[one.mark]), "bench-done");
      make("path", { d: path, transform: `matrix(${matrix})`, class: "bench-outline" }, up);
      lines(others.filter((one) => !this.done[one.mark]), "bench-coming");
      this.step.lines.forEach((points, n) => {
        make("polyline", { points: points.join(" "), class: `bench-cut ${this.step.verb}` }, up);
        const long = points.reduce((sum, [x, y], k) => sum + (k ? Math.hypot(x - points[k - 1][0], y - points[k - 1][1]) : 0), 0);
        const back = [...points].reverse(), slice = this.step.slices[n];
        for (const [one, way] of [[points, "along"], [back, "against"]]) {
          if (slice === way) this.arrow(up, one, Math.min(size, 9 * long));
          else this.bar(up, one, Math.min(size, 7 * long));
        }
      });
      for (const [x, y] of this.letter.turns) this.diamond(up, x, y, size);
    },
    /** The step in hand is in sight in its list, which scrolls by itself. */
    showListed() {
      const list = this.$refs.list, here = list?.querySelector(".here");
      if (!here) return;
      const above = here.offsetTop - list.offsetTop, below = above + here.offsetHeight - list.clientHeight;
      list.scrollTop = Math.max(Math.min(list.scrollTop, above - here.offsetHeight), below + here.offsetHeight);
    },
    /** The whole line, small: the letter in hand, and those that are done. */
    drawLine() {
      const svg = this.$refs.line, line = this.step.letter.split(":")[0];
      svg.replaceChildren();
      const there = Object.entries(this.letters).filter(([key]) => key.split(":")[0] === line);
      if (!there.length) return;
      const boxes = there.map(([, one]) => one.box);
      const [left, bottom] = [0, 1].map((at) => Math.min(...boxes.map((box) => box[at])));
      const [right, top] = [2, 3].map((at) => Math.max(...boxes.map((box) => box[at])));
      const room = 0.06 * (top - bottom);
      svg.setAttribute("viewBox", `${left - room} ${-top - room} ${right - left + 2 * room} ${top - bottom + 6 * room}`);
      const up = make("g", { transform: "scale(1,-1)" }, svg);
      for (const [key, one] of there) {
        const here = key === this.step.letter, done = this.allDone(key);
        make("path", { d: one.path, transform: `matrix(${one.matrix})`, class: here ? "here" : done ? "done" : "" }, up);
        if (here) make("line", { x1: one.box[0], x2: one.box[2], y1: bottom - 3 * room, y2: bottom - 3 * room, class: "here" }, up);
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
      const [ux, uy, x, y] = this.end(points), half = 0.02 * size;
      make("line", { x1: x - half * uy, y1: y + half * ux, x2: x + half * uy, y2: y - half * ux, class: "bench-bar" }, up);
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

// The browser's own range, told about as it moves; what the program says of it waits while a hand is on it.

const EVERY_MS = 60; // between two values told
const RESTS_MS = 400; // after the last key, the next one is another gesture
const MOST_DIVISIONS = 120;

export default {
  props: { value: Number, low: Number, high: Number, step: Number, coarse: Number, ruled: Number, label: String, says: String },
  emits: ["slid"],
  template: `
    <div class="slide" :class="{ ruler: ruled > 0 }">
      <svg v-if="ruled > 0" class="divisions" aria-hidden="true">
        <line class="edge" x1="0" x2="100%" y1="50%" y2="50%"></line>
        <line v-for="one in divisions" :key="one.at" :x1="one.at" :x2="one.at" :y1="one.long ? '15%' : '30%'" :y2="one.long ? '85%' : '70%'"></line>
      </svg>
      <input ref="range" type="range" :min="low" :max="high" :step="step" :aria-label="label" :aria-valuetext="says"
        @input="moved(false)" @change="moved(true)" @pointerdown="grasp" @pointerup="loose" @pointercancel="loose"
        @keydown="key" @blur="loose">
    </div>`,
  computed: {
    divisions() {
      const made = [], many = (this.high - this.low) / this.ruled;
      if (!(many < MOST_DIVISIONS)) return made;
      for (let value = Math.ceil(this.low / this.ruled - 1e-9) * this.ruled; value < this.high + 1e-9; value += this.ruled) {
        made.push({ at: `${((100 * (value - this.low)) / (this.high - this.low)).toFixed(3)}%`, long: Math.abs(value) < this.ruled / 2 });
      }
      return made;
    },
  },
  watch: {
    value() { this.put(); },
    low() { this.$nextTick(() => this.put()); },
    high() { this.$nextTick(() => this.put()); },
  },
  mounted() {
    this.held = false;
    this.put();
  },
  unmounted() { clearTimeout(this.later); },
  methods: {
    put() { if (!this.held && !this.later) this.$refs.range.value = this.value; },
    grasp() { this.held = true; this.gesture = null; },
    loose() { this.held = false; },
    key(event) {
      const way = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
      if (!way || !event.shiftKey) return;
      const { range } = this.$refs;
      range.value = Number(range.value) + way * this.coarse;
      event.preventDefault();
      this.moved(true);
    },
    /** Told at once, then at most every EVERY_MS, and in the end. */
    moved(done) {
      this.gesture ??= `slide-${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
      clearTimeout(this.rest);
      this.rest = setTimeout(() => (this.gesture = this.held ? this.gesture : null), RESTS_MS);
      this.done = done;
      const wait = (this.last ?? 0) + EVERY_MS - performance.now();
      if (wait <= 0) this.tell();
      else this.later ??= setTimeout(() => this.tell(), wait);
    },
    tell() {
      clearTimeout(this.later);
      this.later = undefined;
      this.last = performance.now();
      const gesture = this.gesture ?? `slide-${Date.now().toString(36)}`;
      this.$emit("slid", { value: Number(this.$refs.range.value), gesture, done: this.done });
      if (this.done && this.held) this.held = false;
    },
  },
};

// One voice for screen readers: what happens at the same time is said in one go.

const GATHER_MS = 250;
const MOST = 4;

/** `node` has role=status and aria-atomic, and was in the page before its text changes. */
export class Voice {
  constructor(node) {
    this.node = node;
    this.waiting = new Map();
  }

  /** Say it; a newer word about the same place takes the place of one that was not said yet. */
  say(text, about = text) {
    this.waiting.delete(about);
    this.waiting.set(about, text);
    if (this.timer) return;
    this.timer = setTimeout(() => {
      this.timer = null;
      const all = [...this.waiting.values()];
      this.waiting.clear();
      const more = all.length > MOST ? [`And ${all.length - MOST} more places changed.`] : [];
      this.node.textContent = [...all.slice(-MOST), ...more].join(" ");
    }, GATHER_MS);
  }
}

// A short sound for a verdict: rising for good, level for a warning, falling for all else. Off until switched on.

const KEY = "propsoff.sound";
// Hertz, one after another.
const TUNES = { pass: [660, 880], warn: [587, 587], other: [330, 220, 165] };
const NOTE_S = 0.16;
const LOUD = 0.25;

export class Sound {
  constructor(button) {
    this.button = button;
    this.on = stored() === "on";
    button.addEventListener("click", () => this.turn(!this.on));
    // A browser lets no page make a sound before a person has touched it.
    for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, () => this.on && this.wake(), { once: true });
    this.show();
  }

  turn(on) {
    this.on = on;
    try {
      localStorage.setItem(KEY, on ? "on" : "off");
    } catch {
      // Then it is not remembered.
    }
    this.show();
    if (on) this.play("pass");
  }

  async play(verdict) {
    if (!this.on) return;
    await this.wake();
    if (this.context.state !== "running") return;
    const tune = TUNES[verdict] ?? TUNES.other;
    tune.forEach((hertz, at) => this.note(hertz, this.context.currentTime + at * NOTE_S));
  }

  async wake() {
    this.context ??= new AudioContext();
    if (this.context.state === "suspended")
      await Promise.race([this.context.resume(), new Promise((go) => setTimeout(go, 200))]);
    this.show();
  }

  note(hertz, from) {
    const tone = this.context.createOscillator();
    const gain = this.context.createGain();
    tone.type = "triangle";
    tone.frequency.value = hertz;
    gain.gain.setValueAtTime(LOUD, from);
    gain.gain.exponentialRampToValueAtTime(0.001, from + NOTE_S);
    tone.connect(gain).connect(this.context.destination);
    tone.start(from);
    tone.stop(from + NOTE_S);
  }

  show() {
    this.button.setAttribute("aria-pressed", String(this.on));
    const waits = this.on && this.context?.state !== "running";
    this.button.title = waits ? "Sounds begin after the first click or key on this page" : "";
  }
}

function stored() {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

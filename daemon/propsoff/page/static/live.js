// The stream of what happens on the bench, and whether anybody is there to send it.

import { at, call } from "./api.js";

const AGAIN_MS = [500, 1000, 2000, 4000];
const SILENT_MS = 15000;
const LOOK_MS = 5000;
const ANSWER_MS = 4000;

/**
 * Follows the bench for as long as the page is open. `handlers`: bench(data), place(data), trouble(data), and
 * line(state, since) with `there`, `gone` or `stopped`, each time that changes.
 */
export class Live {
  constructor(handlers) {
    this.handlers = handlers;
    this.state = "first";
    this.tries = 0;
    this.heard = Date.now();
    this.open();
    setInterval(() => this.look(), LOOK_MS);
    addEventListener("online", () => this.soon(0));
    addEventListener("pagehide", () => this.close());
    addEventListener("pageshow", (event) => event.persisted && this.open());
    document.addEventListener("visibilitychange", () => this.seen());
  }

  // A browser keeps no more than six connections to one server: a page that nobody looks at gives its own back.
  seen() {
    if (document.hidden && !this.handlers.listens?.()) this.close();
    else if (!document.hidden && !this.source) this.open();
  }

  open() {
    this.close();
    const source = new EventSource(at("events"));
    this.source = source;
    for (const kind of ["bench", "place", "trouble"]) {
      source.addEventListener(kind, (event) => this.take(kind, event.data));
    }
    source.addEventListener("end", () => this.lost("stopped"));
    source.addEventListener("error", () => this.lost("gone"));
  }

  close() {
    clearTimeout(this.timer);
    this.source?.close();
    this.source = null;
  }

  take(kind, data) {
    this.heard = Date.now();
    this.tries = 0;
    const told = JSON.parse(data);
    if (kind === "bench") this.turn("there");
    this.handlers[kind](told);
  }

  lost(state) {
    this.close();
    if (this.state !== "stopped" || state === "stopped") this.turn(state);
    this.soon(AGAIN_MS[Math.min(this.tries, AGAIN_MS.length - 1)]);
    this.tries += 1;
    // An EventSource does not say why it was refused; a plain call does, and leads to the token where one is wanted.
    call("GET", at("bench")).catch(() => {});
  }

  soon(ms) {
    if (this.source || document.hidden) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.open(), ms);
  }

  turn(state) {
    if (state === this.state) return;
    this.state = state;
    this.handlers.line(state, new Date());
  }

  // A bench whose machine lost its power says nothing at all, and neither does the stream.
  async look() {
    if (!this.source || this.state !== "there" || Date.now() - this.heard < SILENT_MS) return;
    try {
      const signal = AbortSignal.timeout(ANSWER_MS);
      await call("GET", at("health"), { signal });
      this.heard = Date.now();
    } catch {
      if (this.state === "there") this.lost("gone");
    }
  }
}

// How far each reading has come, from the conversations themselves: one asks after the other, so that many boards at
// once cost no more than a few connections.

import { at, call } from "./api.js";
import { stepOf } from "./words.js";

// So many boards at once, each asked after in turn: never more than eight questions a second.
const PAUSE_MS = 125;
const ROUND_MS = 250;
const BYTES = new TextEncoder();

/** Follows the places that are being read. `show(place, {step, bytes, lines})` is called when one has come further. */
export class Progress {
  constructor(show) {
    this.show = show;
    this.read = new Map();
    this.going = false;
  }

  /** A place is being read from now on. */
  begin(place) {
    this.read.set(place, fresh());
    this.show(place, this.read.get(place));
    if (!this.going) this.go();
  }

  end(place) {
    this.read.delete(place);
  }

  async go() {
    this.going = true;
    while (this.read.size) {
      for (const [place, so] of [...this.read]) {
        if (this.read.get(place) === so && !document.hidden) await this.ask(place, so);
        await pause(PAUSE_MS);
      }
      await pause(ROUND_MS - PAUSE_MS);
    }
    this.going = false;
  }

  async ask(place, so) {
    try {
      const began = so.began === undefined ? "" : `&began=${so.began}`;
      const path = `${at("places", place, "conversation")}?since=${so.since}&wait_s=0${began}`;
      const told = await call("GET", path);
      if (this.read.get(place) !== so) return;
      if (so.began !== told.began) Object.assign(so, fresh());
      const further = told.next > so.since;
      Object.assign(so, { began: told.began, since: told.next });
      for (const piece of told.pieces) count(so, piece);
      if (further) this.show(place, so);
    } catch {
      // The next round asks again; that the bench is gone is said elsewhere.
    }
  }
}

function fresh() {
  return { began: undefined, since: 0, step: "listen", bytes: 0, lines: 0 };
}

function count(so, { code, text }) {
  if (code === "m") so.step = stepOf(text) ?? so.step;
  else if (code === "o") {
    so.bytes += BYTES.encode(text).length;
    so.lines += text.split("\n").length - 1;
  }
}

function pause(ms) {
  return new Promise((next) => setTimeout(next, ms));
}

// The console drawer: a conversation as it is recorded, to look at. Nothing can be typed into it.

import { at, call, text } from "./api.js";
import { byId, clock, make, say } from "./dom.js";
import { Transcript } from "./transcript.js";

const WAIT_S = 10;
const PAUSE_MS = 1500;
const LULL_MS = 200;
const MOST_PIECES = 20000;

/** The drawer of a page: `open` and `recorded` show a conversation, Escape or its button closes it. */
export class Drawer {
  constructor() {
    this.node = byId("drawer");
    this.title = byId("drawer-title");
    this.about = byId("drawer-about");
    this.end = byId("drawer-end");
    this.transcript = new Transcript(byId("drawer-rows"), (follows) => (this.end.hidden = follows));
    this.end.addEventListener("click", () => {
      this.transcript.toEnd();
      byId("drawer-rows").focus();
    });
    byId("drawer-close").addEventListener("click", () => this.close());
    addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || this.node.hidden || event.defaultPrevented) return;
      event.preventDefault();
      this.close();
    });
  }

  /** What is said, or was said last, at a place; `back()` gives the focus back. */
  async open(place, name, back) {
    const signal = this.show(`Console of ${name}`, "As it is being recorded.", back);
    const so = { began: undefined, since: 0 };
    let wait = 0;
    while (!signal.aborted) {
      try {
        const began = so.began === undefined ? "" : `&began=${so.began}`;
        const path = `${at("places", place, "conversation")}?since=${so.since}&wait_s=${wait}${began}`;
        const told = await call("GET", path, { signal });
        if (signal.aborted) return;
        this.take(so, told);
        wait = WAIT_S;
        // A board that talks in single letters would else be asked after for each of them.
        await pause(LULL_MS, signal);
      } catch (problem) {
        if (signal.aborted) return;
        say(this.about, problem.message);
        await pause(PAUSE_MS, signal);
      }
    }
  }

  /** The recorded conversation of a report. */
  async recorded(report, name, started, back) {
    const when = started ? `Recorded ${clock(started)}.` : "As it was recorded.";
    const signal = this.show(`Console of ${name}`, when, back);
    try {
      const pieces = piecesOf(await text(at("reports", report, "capture"), { signal }));
      if (!signal.aborted) this.transcript.add(pieces);
    } catch (problem) {
      if (!signal.aborted) say(this.about, problem.message);
    }
  }

  take(so, { began, reading, next, pieces }) {
    if (so.began !== undefined && so.began !== began) {
      this.transcript.clear();
      so.since = 0;
    }
    if (pieces.length && pieces[0].number > so.since) {
      this.transcript.gap("Something was said here that is no longer at hand.");
    }
    Object.assign(so, { began, since: next });
    this.transcript.add(pieces);
    const nothing = next === 0 ? "Nothing has been said here yet." : "What was said last.";
    say(this.about, reading ? "As it is being recorded." : nothing);
  }

  show(title, about, back) {
    this.stop?.abort();
    this.stop = new AbortController();
    this.back = back;
    say(this.title, title);
    say(this.about, about);
    this.transcript.clear();
    this.node.hidden = false;
    document.body.classList.add("has-drawer");
    byId("drawer-close").focus();
    return this.stop.signal;
  }

  close() {
    this.stop?.abort();
    this.node.hidden = true;
    document.body.classList.remove("has-drawer");
    this.back();
  }
}

/** The pieces of an asciicast; a line that is none is left out. */
function piecesOf(cast) {
  const pieces = [];
  for (const line of cast.split("\n").slice(1).slice(-MOST_PIECES)) {
    try {
      const [, code, said] = JSON.parse(line);
      if (typeof said === "string") pieces.push({ code, text: said });
    } catch {
      // An empty line at the end, or a file that broke off in the middle of a line.
    }
  }
  return pieces;
}

function pause(ms, signal) {
  return new Promise((go) => {
    const timer = setTimeout(go, ms);
    signal.addEventListener("abort", () => {
      clearTimeout(timer);
      go();
    });
  });
}

/** The drawer's elements, for a page to hold. */
export function drawerMarkup() {
  return make(
    "aside",
    { class: "drawer", attrs: { id: "drawer", hidden: true, "aria-labelledby": "drawer-title" } },
    make(
      "div",
      { class: "drawer-head" },
      make("h2", { attrs: { id: "drawer-title" } }),
      make("p", { class: "dim", attrs: { id: "drawer-about", role: "status" } }),
      make("p", {
        class: "dim legend",
        text: "◀ board · ▶ propsoff · ◆ step. Read only; what would not show is written out, as \\e.",
      }),
      make("button", { text: "To the end", attrs: { id: "drawer-end", type: "button", hidden: true } }),
      make("button", { text: "Close", attrs: { id: "drawer-close", type: "button" } }),
    ),
    make("ol", { class: "rows", attrs: { id: "drawer-rows", tabindex: "0", "aria-label": "What was said" } }),
  );
}

// A place of the bench as a tile. Its nodes are made once and then only changed, so that focus, what is typed and what
// is unfolded stay as they are whatever comes from the bench.

import { at, call } from "./api.js";
import { clock, make, mark, newId, say, theirs, visible } from "./dom.js";
import { nowAloud, nowNodes, resultOf, shorten, shortest, stepNodes, undecided, whatNow, wordOf } from "./now.js";
import { Panels } from "./panels.js";
import { showPast } from "./past.js";
import { shape } from "./shapes.js";
import { STATES, WORDS } from "./words.js";

const NAMELESS = "A board that did not say what it is";
// How its letters are drawn at each step of making it shorter: those of what to do, and in the end the large word.
const SIZES = [null, "middling", "small", "small", "small", "small narrow"];

export class Tile {
  /** `bench` has voice, sound, drawer and progress, which all tiles share. */
  constructor(now, bench) {
    Object.assign(this, { now, bench, report: null, told: null });
    this.build();
    this.panels = new Panels(this);
    this.update(now, { first: true });
  }

  build() {
    const id = newId("place");
    this.name = make("span", { class: "name", attrs: { dir: "auto" } });
    this.state = make("p", { class: "state" });
    this.stretch = make("button", {
      class: "stretch",
      attrs: { type: "button", "aria-expanded": "false" },
      on: { click: () => this.unfold(!this.isOpen) },
    });
    this.todo = make("div", { class: "todo" });
    this.word = make("p", { class: "word" });
    this.craft = make("p", { class: "craft" });
    this.steps = make("div", { class: "reading" });
    this.note = make("p", { class: "note" });
    this.past = make("ol", { class: "past", attrs: { "aria-label": "Last results here, the newest last" } });
    this.buttons = make("div", { class: "buttons" });
    this.problem = make("p", { class: "problem", attrs: { role: "alert" } });
    this.open = make("a", { class: "button main", text: "Report" });
    this.decide = this.button("Decide about this port", () => this.panels.toggle("consent"), "main");
    this.answer = this.button("", () => this.panels.toggle("questions"), "main");
    this.console = this.button("Console", () =>
      this.bench.drawer.open(this.now.place, visible(this.now.name, 60), () => this.focus(this.console)),
    );
    this.again = this.button("Inspect again", () => this.inspect());
    for (const each of [this.decide, this.answer]) each.setAttribute("aria-expanded", "false");
    this.buttons.append(this.answer, this.decide, this.open, this.console, this.again);
    this.body = make("div", { class: "more" }, this.steps, this.note, this.past, this.buttons, this.problem);
    this.node = make(
      "article",
      { class: "tile", attrs: { "aria-labelledby": id }, on: { keydown: (event) => this.key(event) } },
      make("header", { class: "tile-head" }, make("h2", { attrs: { id } }, this.name), this.state, this.stretch),
      this.todo,
      make("div", { class: "result" }, this.word, this.craft),
      this.body,
    );
  }

  button(text, act, kind = "") {
    return make("button", { class: kind, text, attrs: { type: "button" }, on: { click: act } });
  }

  get isOpen() {
    return this.node.classList.contains("open");
  }

  /** Take what the bench tells of this place. */
  update(now, { first = false } = {}) {
    const before = this.now;
    this.now = now;
    if (now.report !== this.report?.id || now.state !== "report") this.report = null;
    this.follow(before, first);
    this.panels.update(now, first);
    this.draw();
    this.tell(before, first);
  }

  follow(before, first) {
    const { progress } = this.bench;
    if (this.now.state !== "reading") {
      progress.end(this.now.place);
      this.so = null;
    } else if (first || before.state !== "reading" || before.since !== this.now.since) progress.begin(this.now.place);
  }

  /** How far its reading has come. */
  progress(so) {
    this.so = so;
    this.drawSteps();
  }

  draw() {
    const { now } = this;
    const word = wordOf(now);
    say(this.name, visible(now.name, 120));
    say(this.state, `${STATES[now.state]} · ${now.state === "report" ? "" : "since "}${clock(now.since)}`);
    mark(this.node, "data-state", now.state);
    mark(this.node, "data-word", word);
    mark(this.stretch, "aria-label", `${visible(now.name, 120)}: show all of it`);
    this.drawWord(word);
    this.drawCraft();
    this.drawSteps();
    const note = now.note && now.state !== "shut" ? visible(now.note, 400) : "";
    say(this.note, note);
    this.note.hidden = !note;
    showPast(this.past, now.past);
    this.past.hidden = !now.past.length;
    this.drawButtons();
    this.drawTodo();
  }

  drawWord(word) {
    if (this.word.dataset.word === word) return;
    this.word.dataset.word = word;
    this.word.className = `word ${word}`;
    this.word.replaceChildren(shape(word), make("span", { text: WORDS[word] }));
  }

  drawCraft() {
    const { now } = this;
    const result = now.state === "report" ? resultOf(now) : null;
    const port = now.plugged[0];
    let text = "";
    if (result) text = result.craft ?? NAMELESS;
    else if (now.state !== "empty" && port) text = port.product ?? port.vid_pid ?? port.device;
    else if (now.past.length) text = `Last: ${now.past.at(-1).verdict}, ${now.past.at(-1).craft ?? NAMELESS}`;
    if (this.craft.dataset.text === text) return;
    this.craft.dataset.text = text;
    this.craft.replaceChildren(theirs(text, 300));
    mark(this.craft, "title", text.length > 24 ? visible(text, 300) : null);
  }

  drawTodo() {
    this.what = whatNow(this.now, this.report, this.panels.questionCount);
    // What the tile has no room for depends on all of this.
    const buttons = [...this.buttons.children].filter((one) => !one.hidden).map((one) => one.textContent);
    const { textContent: craft } = this.craft;
    const { textContent: note } = this.note;
    const { state, name, past } = this.now;
    const taken = JSON.stringify([this.what, state, name, craft, note, past.length, buttons]);
    if (this.taken === taken) return;
    this.taken = taken;
    if (!this.todo.childElementCount) this.fit(0, false);
    this.bench.fit.soon(this);
  }

  /** Whether it may take the height that it needs. */
  get isLarge() {
    return this.isOpen || this.node.classList.contains("unfolded");
  }

  /** In how many steps what to do can be shortened. */
  mostFit(dense) {
    return shortest(this.what, dense);
  }

  /** Show what to do, the shorter the higher the step. */
  fit(step, dense) {
    const shown = shorten(this.what, step, dense);
    const key = JSON.stringify(shown);
    mark(this.node, "data-fit", SIZES[Math.min(step, SIZES.length - 1)]);
    if (this.todo.dataset.key === key) return;
    this.todo.dataset.key = key;
    this.todo.replaceChildren(make("span", { class: "label", text: "Do now" }), ...nowNodes(shown));
  }

  drawSteps() {
    this.steps.hidden = this.now.state !== "reading";
    if (this.so) this.steps.replaceChildren(...stepNodes(this.so));
  }

  drawButtons() {
    const { state, report, past, plugged } = this.now;
    const held = document.activeElement;
    const last = state === "report" ? report : state === "empty" ? past.at(-1)?.report : null;
    this.open.hidden = !last;
    if (last) mark(this.open, "href", `/reports/${encodeURIComponent(last)}`);
    say(this.open, state === "empty" ? "Last report" : "Report");
    const waits = this.panels.questionCount;
    this.answer.hidden = !waits;
    const whose = state === "empty" ? " about the last one" : "";
    say(this.answer, `Answer ${waits === 1 ? "the question" : `${waits} questions`}${whose}`);
    this.decide.hidden = !undecided(this.now).length;
    this.console.hidden = state !== "reading" && state !== "report";
    this.again.hidden = state !== "report" || !plugged.length;
    this.open.classList.toggle("main", !waits && state !== "empty");
    // A button that goes away while it has the focus hands it to its tile.
    if (held?.hidden && this.buttons.contains(held)) this.focus();
  }

  // A new result is told once its first step is known, and never when the page was only opened.
  tell(before, first) {
    const { now } = this;
    if (now.state === "report" && now.report !== this.told) {
      this.told = now.report;
      this.fetch(now.report, first);
    } else if (!first && now.state === "shut" && before.state !== "shut") this.announce("not opened");
    else if (!first && before.state !== "reading" && now.state === "reading") this.announce("is being read");
    if (now.state !== "report") this.told = null;
  }

  async fetch(id, first) {
    const verdict = wordOf(this.now);
    if (!first) this.bench.sound.play(verdict);
    try {
      const report = await this.bench.queue(() => call("GET", at("places", this.now.place, "report")));
      if (this.now.report !== id) return;
      if (report?.id === id) this.report = report;
      this.drawTodo();
    } catch {
      // Without it the tile says to open the report.
    }
    if (!first && this.now.report === id) this.announce(verdict, resultOf(this.now)?.craft);
  }

  announce(word, craft) {
    const what = whatNow(this.now, this.report, this.panels.questionCount);
    const who = craft ? `, ${visible(craft, 80)}` : "";
    this.bench.voice.say(`${visible(this.now.name, 60)}: ${word}${who}. ${nowAloud(what)}`, this.now.place);
  }

  async inspect() {
    say(this.problem, "");
    const { place, plugged } = this.now;
    const port = plugged.find((one) => !one.shut) ?? plugged[0];
    try {
      await call("POST", at("places", place, "inspect"), { body: port ? { device: port.device } : {} });
    } catch (refused) {
      say(this.problem, refused.message);
    }
  }

  /** Show all of a small tile, or fold it again. */
  unfold(open, { focus = true } = {}) {
    this.node.classList.toggle("open", open);
    mark(this.stretch, "aria-expanded", open);
    if (!open) this.panels.close({ focus: false });
    else if (undecided(this.now).length) this.panels.show("consent");
    else if (this.panels.questionCount) this.panels.show("questions");
    else if (focus) this.body.querySelector("a:not([hidden]), button:not([hidden])")?.focus();
    this.bench.fit.now(this);
    if (open) this.reveal();
    else if (focus) this.focus(this.stretch);
  }

  /** Put the focus on `wanted` where it can have it, else on the tile's first control that can. */
  focus(wanted = null) {
    const all = [wanted, this.open, ...this.node.querySelectorAll("a[href], button, input")];
    const one = all.find(
      (each) => each?.isConnected && each.checkVisibility({ visibilityProperty: true }) && !each.disabled,
    );
    if (!one) this.node.tabIndex = -1;
    (one ?? this.node).focus();
  }

  /** Scroll so that the tile can be seen, and what has the focus in it in any case. */
  reveal() {
    this.node.scrollIntoView({ block: "nearest" });
    if (this.node.contains(document.activeElement)) document.activeElement.scrollIntoView({ block: "nearest" });
  }

  /** Whether it has to stay although its place went away. */
  get keeps() {
    return this.panels.keeps;
  }

  /** A person has read what was told here. */
  understood() {
    if (this.isLeft && !this.keeps) this.bench.remove(this);
    else this.focus();
  }

  key(event) {
    if (event.key !== "Escape") return;
    if (this.panels.close()) event.preventDefault();
    else if (this.isOpen) {
      event.preventDefault();
      this.unfold(false);
    }
  }
}

// What unfolds on a tile: a port to decide about, or the questions of a craft; and what is said when they went away.

import { at, call } from "./api.js";
import { consentPanel } from "./consent.js";
import { count, make, mark, visible } from "./dom.js";
import { closed, Notices } from "./notices.js";
import { undecided } from "./now.js";
import { Questions } from "./questions.js";

export class Panels {
  constructor(tile) {
    this.tile = tile;
    this.open = null;
    this.questions = null;
    this.asked = null;
    this.consent = null;
    this.place = make("div", { class: "panels" });
    this.notices = new Notices({
      changed: () => tile.bench.fit.soon(tile),
      understood: () => tile.understood(),
    });
    tile.node.append(this.notices.node, this.place);
  }

  /** How many questions wait; 0 while they are not known. */
  get questionCount() {
    return this.questions?.ask.questions.length ?? 0;
  }

  /** Whether a person would miss something if this tile went away. */
  get keeps() {
    return this.notices.keeps || Boolean(this.questions?.typed.length);
  }

  update(now, first) {
    this.updateQuestions(now, first);
    const [port] = undecided(now);
    const key = port && JSON.stringify([port.device, port.vid_pid, port.product, port.serial_number, port.scopes]);
    if (key === this.consent?.key) return;
    const held = this.holdsFocus(this.consent?.node);
    this.consent?.node.remove();
    if (this.open === "consent") this.close({ focus: held });
    this.consent = port ? { key, node: this.consentFor(now.place, port) } : null;
  }

  consentFor(place, port) {
    return consentPanel(place, port, {
      done: (text) => this.decided(text),
      later: () => this.decided("It stays shut. Nothing was sent to it."),
    });
  }

  decided(text) {
    // The bench may have told of it first, and the panel be gone.
    const held = document.activeElement === document.body || this.holdsFocus(this.tile.node);
    this.close({ focus: false });
    const understood = this.notice(text);
    if (held) this.tile.focus(understood);
  }

  updateQuestions(now, first) {
    if (now.ask === this.asked) return;
    if (this.questions) this.settled("They were answered elsewhere, or are no longer of what is plugged in.");
    this.asked = now.ask;
    if (now.ask) this.load(now.ask, first);
  }

  async load(id, first) {
    let ask;
    try {
      ask = await call("GET", at("asks", id));
    } catch {
      return; // answered meanwhile: the bench tells so itself
    }
    if (this.asked !== id) return;
    if (this.questions) this.settled("There are others now.");
    this.notices.clear();
    const questions = new Questions(ask, {
      done: () => this.away(questions, `${questions.settled}; the report is made anew.`),
      later: () => this.away(questions, "Not now: the report stays as it is. What nobody answered is unknown."),
      stale: (text) => this.settled(text),
    });
    this.questions = questions;
    this.tile.draw();
    if (this.tile.isOpen) this.show("questions", { focus: false });
    if (first) return;
    const told = `${visible(this.tile.now.name, 60)}: ${count(ask.questions.length, "question")} to answer.`;
    this.tile.bench.voice.say(told, id);
  }

  /** The questions wait no more, and it was not this page that answered. */
  settled(why) {
    const { questions } = this;
    if (questions.close(why)) return;
    const { text, stays } = closed(why, questions.typed);
    this.away(questions, text, { stays });
  }

  away(questions, text, { stays = false } = {}) {
    const held = this.holdsFocus(questions.node);
    const shown = this.open === "questions" && questions.node.parentNode && !questions.node.hidden;
    questions.node.remove();
    if (this.questions === questions) this.questions = null;
    if (shown) this.close({ focus: false });
    const understood = this.notice(text, { stays });
    this.tile.draw();
    if (held) this.tile.focus(understood);
  }

  holdsFocus(node) {
    return Boolean(node?.contains(document.activeElement));
  }

  notice(text, { stays = false } = {}) {
    const understood = this.notices.tell(text, { stays });
    this.tile.bench.voice.say(`${visible(this.tile.now.name, 60)}: ${text}`);
    return understood;
  }

  toggle(kind) {
    if (this.open === kind) this.close();
    else this.show(kind);
  }

  show(kind, { focus = true } = {}) {
    const node = kind === "consent" ? this.consent?.node : this.questions?.node;
    if (!node) return;
    if (this.open && this.open !== kind) this.close({ focus: false });
    this.open = kind;
    this.notices.clear();
    if (node.parentNode !== this.place) this.place.append(node);
    node.hidden = false;
    this.tile.node.classList.add("unfolded");
    mark(this.opener(kind), "aria-expanded", "true");
    this.tile.bench.fit.now(this.tile);
    if (!focus) return;
    node.querySelector("h3").focus({ preventScroll: true });
    this.tile.reveal();
  }

  /** Fold what is unfolded; what was typed stays in it. False when there is nothing to fold. */
  close({ focus = true } = {}) {
    if (!this.open) return false;
    const kind = this.open;
    this.open = null;
    for (const each of this.place.children) each.hidden = true;
    this.tile.node.classList.remove("unfolded");
    mark(this.opener(kind), "aria-expanded", "false");
    this.tile.bench.fit.soon(this.tile);
    if (focus) this.tile.focus(this.opener(kind));
    return true;
  }

  opener(kind) {
    return kind === "consent" ? this.tile.decide : this.tile.answer;
  }
}

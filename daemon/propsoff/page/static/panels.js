// What unfolds on a tile: a port to decide about, or the questions of a craft; and what is said when they went away.

import { at, call } from "./api.js";
import { consentPanel } from "./consent.js";
import { count, make, mark, visible } from "./dom.js";
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
    this.notices = make("div", { class: "notices" });
    tile.node.append(this.notices, this.place);
  }

  /** How many questions wait; 0 while they are not known. */
  get questionCount() {
    return this.questions?.ask.questions.length ?? 0;
  }

  update(now, first) {
    this.updateQuestions(now, first);
    const [port] = undecided(now);
    const key = port && JSON.stringify([port.device, port.vid_pid, port.product, port.serial_number, port.scopes]);
    if (key === this.consent?.key) return;
    this.consent?.node.remove();
    if (this.open === "consent") this.close({ focus: this.holdsFocus(this.consent.node) });
    this.consent = port ? { key, node: this.consentFor(now.place, port) } : null;
  }

  consentFor(place, port) {
    return consentPanel(place, port, {
      done: (text) => {
        this.notice(text);
        this.close();
      },
      later: () => {
        this.notice("It stays shut. Nothing was sent to it.");
        this.close();
      },
    });
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
    this.clearNotices();
    this.questions = new Questions(ask, {
      done: () => this.away(`${count(ask.questions.length, "question")} settled; the report is made anew.`),
      later: () => this.away("Not now: the report stays as it is. What nobody answered is unknown."),
      stale: (text) => this.settled(text),
    });
    this.tile.draw();
    if (this.tile.isOpen) this.show("questions", { focus: false });
    if (first) return;
    const told = `${visible(this.tile.now.name, 60)}: ${count(ask.questions.length, "question")} to answer.`;
    this.tile.bench.voice.say(told, id);
  }

  /** The questions wait no more, and it was not this page that answered. */
  settled(why) {
    if (this.questions.sending) return;
    const { typed } = this.questions;
    const kept = typed.length ? ` What you had filled in was not sent: ${typed.join("; ")}.` : "";
    this.away(`These questions are closed. ${why}${kept}`);
  }

  away(text) {
    const held = this.holdsFocus(this.questions.node);
    this.questions.node.remove();
    this.questions = null;
    if (this.open === "questions") this.close({ focus: held });
    this.notice(text);
    this.tile.draw();
  }

  holdsFocus(node) {
    return node.contains(document.activeElement);
  }

  notice(text) {
    this.clearNotices();
    const away = make("button", { class: "quiet", text: "Understood", attrs: { type: "button" } });
    const note = make("div", { class: "notice" }, make("p", { text }), away);
    away.addEventListener("click", () => {
      note.remove();
      this.tile.focus();
    });
    this.notices.append(note);
    this.tile.bench.voice.say(`${visible(this.tile.now.name, 60)}: ${text}`);
  }

  clearNotices() {
    this.notices.replaceChildren();
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
    this.clearNotices();
    if (node.parentNode !== this.place) this.place.append(node);
    node.hidden = false;
    this.tile.node.classList.add("unfolded");
    mark(this.opener(kind), "aria-expanded", "true");
    if (!focus) return;
    node.querySelector("h3").focus({ preventScroll: true });
    this.tile.node.scrollIntoView({ block: "nearest" });
  }

  /** Fold what is unfolded; what was typed stays in it. False when there is nothing to fold. */
  close({ focus = true } = {}) {
    if (!this.open) return false;
    const kind = this.open;
    this.open = null;
    for (const each of this.place.children) each.hidden = true;
    this.tile.node.classList.remove("unfolded");
    mark(this.opener(kind), "aria-expanded", "false");
    if (focus) (this.opener(kind).hidden ? this.tile : this.opener(kind)).focus();
    return true;
  }

  opener(kind) {
    return kind === "consent" ? this.tile.decide : this.tile.answer;
  }
}

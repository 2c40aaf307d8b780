// What is told beside what a person did. What nobody may miss stays until somebody has pressed "Understood".

import { make } from "./dom.js";

export class Notices {
  /** `changed()` is called when one came or went, `understood()` when a person put one away. */
  constructor({ changed = () => {}, understood = () => {} } = {}) {
    this.changed = changed;
    this.understood = understood;
    this.node = make("div", { class: "notices" });
  }

  /** Whether something stands here that stays. */
  get keeps() {
    return Boolean(this.node.querySelector("[data-stays]"));
  }

  /** Tell something; the button that puts it away. */
  tell(text, { stays = false } = {}) {
    this.clear();
    const away = make("button", { class: "quiet", text: "Understood", attrs: { type: "button" } });
    const note = make("div", { class: "notice", attrs: { "data-stays": stays } }, make("p", { text }), away);
    away.addEventListener("click", () => {
      note.remove();
      this.changed();
      this.understood();
    });
    this.node.append(note);
    this.changed();
    return away;
  }

  /** Take away what has had its time. */
  clear() {
    const passing = this.node.querySelectorAll(".notice:not([data-stays])");
    if (!passing.length) return;
    const held = [...passing].some((each) => each.contains(document.activeElement));
    for (const each of passing) each.remove();
    this.changed();
    if (held) this.understood();
  }
}

/** What is said when questions wait no more, and it was not this page that answered: {text, stays}. */
export function closed(why, typed) {
  const kept = typed.length ? ` What you had filled in was not sent: ${typed.join("; ")}.` : "";
  return { text: `These questions are closed. ${why}${kept}`, stays: typed.length > 0 };
}

// What people should know of the bench: shown only when there is something, and put away by whoever has read it.

import { byId, clock, count, make, say, theirs, visible } from "./dom.js";

const MOST = 100;
const KEY = "propsoff.troubles";

export class Troubles {
  /** `nameOf(place)` is what a place is called. */
  constructor(nameOf) {
    this.nameOf = nameOf;
    this.all = [];
    this.started = "";
    byId("troubles-away").addEventListener("click", () => this.putAway());
  }

  set(troubles, started) {
    this.all = [...troubles];
    this.started = started;
    this.draw();
  }

  add(trouble) {
    if (this.all.some((one) => one.changed === trouble.changed)) return;
    this.all = [...this.all, trouble].slice(-MOST);
    this.draw();
  }

  get seen() {
    const [started, changed] = (sessionStorage.getItem(KEY) ?? "").split(" ");
    return started === this.started ? Number(changed) : -1;
  }

  putAway() {
    sessionStorage.setItem(KEY, `${this.started} ${this.all.at(-1)?.changed ?? -1}`);
    this.draw();
    byId("tiles").focus();
  }

  draw() {
    const { seen } = this;
    const shown = this.all.filter((one) => one.changed > seen).reverse();
    byId("troubles").hidden = !shown.length;
    if (!shown.length) return;
    say(byId("troubles-count"), count(shown.length, "trouble"));
    byId("troubles-newest").replaceChildren(theirs(shown[0].text, 160));
    byId("troubles-list").replaceChildren(...shown.map((one) => this.row(one)));
  }

  row({ at, text, place }) {
    const where = place === null ? "the whole bench" : visible(this.nameOf(place), 80);
    return make(
      "li",
      {},
      make("span", { class: "dim", text: `${clock(at)} · ` }),
      theirs(where),
      make("br"),
      theirs(text, 1000),
    );
  }
}

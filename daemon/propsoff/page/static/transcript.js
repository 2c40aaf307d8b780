// A conversation as rows: who said it, by sign and word, and what, with everything that would not show written out.

import { isHidden, make, spelt } from "./dom.js";

const WHO = { o: ["◀", "board"], i: ["▶", "propsoff"], m: ["◆", "step"] };
const MOST_ROWS = 3000;
const MOST_CHARS = 2000;

/** Rows in `node`, at most MOST_ROWS of them; the end stays in sight unless somebody scrolled away from it. */
export class Transcript {
  /** `onFollow(follows)` is told when the rows begin or cease to follow the end. */
  constructor(node, onFollow = () => {}) {
    this.node = node;
    this.onFollow = onFollow;
    this.clear();
    node.addEventListener("scroll", () => this.turn(this.isAtEnd()));
  }

  clear() {
    this.node.replaceChildren();
    this.rows = 0;
    this.dropped = false;
    this.row = null;
    this.waits = null;
    this.follows = true;
    this.onFollow(true);
  }

  /** Add what was said. A piece is {code, text}. */
  add(pieces) {
    const rows = document.createDocumentFragment();
    for (const { code, text } of pieces) this.whole(rows, code, text);
    this.node.append(rows);
    this.rows = this.node.childElementCount;
    this.bound();
    if (this.follows) this.toEnd();
  }

  /** Say that something is missing here. */
  gap(text) {
    this.row = null;
    this.node.append(make("li", { class: "gap", text }));
  }

  toEnd() {
    this.node.scrollTop = this.node.scrollHeight;
    this.turn(true);
  }

  // The two characters of a line end may come apart: the first waits until it is known what follows it.
  whole(rows, code, text) {
    const waited = this.waits;
    this.waits = null;
    if (waited && waited !== code) this.piece(rows, waited, "\r");
    const said = waited === code ? `\r${text}` : text;
    if (code !== "m" && said.endsWith("\r")) this.waits = code;
    this.piece(rows, code, this.waits ? said.slice(0, -1) : said);
  }

  piece(rows, code, text) {
    if (!text) return;
    if (code === "m") {
      this.row = null;
      this.begin(rows, code).append(...shown(text));
      this.row = null;
      return;
    }
    // A line of the board may come in many pieces; only a line end, or another speaker, begins a new row.
    for (const part of text.split(/(?<=\n)/)) {
      const into = this.row?.code === code ? this.row.said : this.begin(rows, code);
      const line = part.replace(/\r?\n$/, "");
      const room = MOST_CHARS - (this.row.chars ?? 0);
      into.append(...shown(line.slice(0, Math.max(0, room))));
      if (line.length > room && !this.row.cut) {
        into.append(make("span", { class: "ctl", text: "… (cut here; the download has all of it)" }));
        this.row.cut = true;
      }
      this.row.chars = (this.row.chars ?? 0) + line.length;
      if (part.endsWith("\n")) this.row = null;
    }
  }

  begin(rows, code) {
    const [sign, word] = WHO[code] ?? WHO.m;
    const said = make("span", { class: "said" });
    const who = make(
      "span",
      { class: "by" },
      make("span", { text: sign, attrs: { "aria-hidden": "true" } }),
      ` ${word}`,
    );
    rows.append(make("li", { class: `by-${word}` }, who, said));
    this.row = { code, said };
    return said;
  }

  bound() {
    const over = this.rows - MOST_ROWS;
    if (over <= 0) return;
    for (let at = 0; at <= over; at += 1) this.node.firstElementChild.remove();
    this.node.prepend(
      make("li", { class: "gap", text: "Earlier rows are left out here; the download has all of it." }),
    );
  }

  isAtEnd() {
    return this.node.scrollHeight - this.node.scrollTop - this.node.clientHeight < 24;
  }

  turn(follows) {
    if (follows === this.follows) return;
    this.follows = follows;
    this.onFollow(follows);
  }
}

function shown(text) {
  const parts = [];
  let plain = "";
  for (const char of text) {
    if (!isHidden(char)) {
      plain += char;
      continue;
    }
    if (plain) parts.push(plain);
    plain = "";
    parts.push(make("span", { class: "ctl", text: spelt(char) }));
  }
  if (plain) parts.push(plain);
  return parts;
}

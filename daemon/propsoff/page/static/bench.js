// The page of the bench: a tile for each place, changed as the bench tells.

import { Voice } from "./announce.js";
import { consentList } from "./consents.js";
import { byId, mark, say, visible } from "./dom.js";
import { Drawer, drawerMarkup } from "./drawer.js";
import { Fit } from "./fit.js";
import { arrange, measureWords } from "./layout.js";
import { Live } from "./live.js";
import { contrastSwitch } from "./look.js";
import { wordOf } from "./now.js";
import { Progress } from "./progress.js";
import { Sound } from "./sound.js";
import { Tile } from "./tile.js";
import { Troubles } from "./troubles.js";

const AT_ONCE = 2;
const MARGIN = 14;
const MOVES = { ArrowLeft: -1, ArrowRight: 1 };
const CLOCK = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", second: "2-digit" });

class BenchPage {
  constructor() {
    document.body.append(drawerMarkup());
    this.tiles = new Map();
    this.list = byId("tiles");
    this.voice = new Voice(byId("said"));
    this.sound = new Sound(byId("sound"));
    this.fit = new Fit(this.list);
    this.drawer = new Drawer();
    this.progress = new Progress((place, so) => this.tiles.get(place)?.progress(so));
    this.troubles = new Troubles((place) => this.tiles.get(place)?.now.name ?? place);
    this.waiting = [];
    this.asking = 0;
    contrastSwitch(byId("contrast"));
    consentList();
    measureWords(getComputedStyle(document.body).fontFamily);
    addEventListener("resize", () => this.arrange());
    this.list.addEventListener("keydown", (event) => this.move(event));
    byId("troubles-more").addEventListener("toggle", () => this.arrange());
    this.live = new Live({
      bench: (told) => this.bench(told),
      place: (now) => this.place(now),
      trouble: (trouble) => this.trouble(trouble),
      line: (state, since) => this.line(state, since),
      listens: () => this.sound.on,
    });
  }

  /** Ask for reports a few at a time, so that a full bench leaves connections for the rest. */
  async queue(request) {
    if (this.asking >= AT_ONCE) await new Promise((go) => this.waiting.push(go));
    else this.asking += 1;
    try {
      return await request();
    } finally {
      const next = this.waiting.shift();
      if (next) next();
      else this.asking -= 1;
    }
  }

  bench(told) {
    this.name = visible(told.bench, 80);
    say(byId("bench-name"), this.name);
    const there = new Set(told.places.map((now) => now.place));
    for (const [place, tile] of this.tiles) {
      tile.isLeft = !there.has(place);
      if (tile.isLeft && tile.keeps) tile.update(leftBy(tile.now, told.started));
      else if (tile.isLeft) this.remove(tile);
    }
    for (const now of told.places) this.place(now, { arrange: false });
    this.troubles.set(told.troubles, told.started);
    this.arrange();
  }

  /** Take a tile away; the focus goes to the others. */
  remove({ now: { place }, node }) {
    const held = node.contains(document.activeElement);
    this.progress.end(place);
    node.remove();
    this.tiles.delete(place);
    if (held) this.list.focus();
    this.arrange();
  }

  place(now, { arrange = true } = {}) {
    const tile = this.tiles.get(now.place);
    if (tile) {
      tile.isLeft = false;
      tile.update(now);
    } else {
      const made = new Tile(now, this);
      this.tiles.set(now.place, made);
      this.list.append(made.node);
      if (arrange) this.arrange();
    }
    this.count();
  }

  trouble(trouble) {
    this.troubles.add(trouble);
    this.voice.say(`Trouble: ${visible(trouble.text, 200)}`, `trouble ${trouble.changed}`);
    this.arrange();
  }

  line(state, since) {
    const there = state === "there";
    document.body.classList.toggle("is-gone", !there);
    mark(byId("line"), "data-state", state);
    say(byId("line-word"), there ? "connected" : state);
    const at = CLOCK.format(since);
    const what = state === "stopped" ? "The bench was stopped" : "The bench does not answer";
    if (there && !byId("gone").hidden) this.voice.say("The bench is back.");
    say(
      byId("gone"),
      there
        ? ""
        : `${what}, since ${at}. Below is what was there then. This page goes on by itself when the bench is back.`,
    );
    byId("gone").hidden = there;
    this.arrange();
  }

  arrange() {
    byId("nothing").hidden = this.tiles.size > 0 || !this.name;
    byId("wait").hidden = Boolean(this.name);
    arrange(this.list, this.tiles.size, byId("foot").offsetHeight + MARGIN);
    for (const tile of this.tiles.values()) this.fit.soon(tile);
  }

  /** How many places want a person, in the title of the page. */
  count() {
    const wants = [...this.tiles.values()].filter(
      ({ now }) => now.ask || !["pass", "warn", "reading", "empty"].includes(wordOf(now)),
    );
    document.title = `${wants.length ? `(${wants.length}) ` : ""}Bench ${this.name} - propsoff`;
  }

  // Arrows go from tile to tile, but not where they choose or move within a field.
  move(event) {
    const tile = event.target.closest?.(".tile");
    if (!tile || event.target.closest("input, .rows") || event.ctrlKey || event.altKey || event.metaKey) return;
    const columns = Number(this.list.style.getPropertyValue("--columns")) || 1;
    const by = MOVES[event.key] ?? { ArrowUp: -columns, ArrowDown: columns }[event.key];
    if (!by) return;
    const all = [...this.tiles.values()];
    const next = all[all.findIndex(({ node }) => node === tile) + by];
    if (!next) return;
    event.preventDefault();
    next.focus();
  }
}

/** A place of which the bench tells no more: nothing is plugged in there. */
function leftBy(now, since) {
  return { ...now, state: "empty", since, report: null, ask: null, note: null, plugged: [], past: [] };
}

new BenchPage();

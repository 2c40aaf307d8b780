// The page of one report. It says so when the same craft was inspected again, and asks what a person has to answer.

import { Voice } from "./announce.js";
import { at, call } from "./api.js";
import { Compare } from "./compare.js";
import { byId, clock, make, say, visible } from "./dom.js";
import { Drawer, drawerMarkup } from "./drawer.js";
import { Live } from "./live.js";
import { contrastSwitch } from "./look.js";
import { closed, Notices } from "./notices.js";
import { Questions } from "./questions.js";
import { facts, files, findings, first, head, overlay, quiet, section } from "./report.js";
import { visitTable } from "./visits.js";

const MOST_VISITS = 50;
const TRIES = 5;
const AGAIN_MS = 400;

class CraftPage {
  constructor() {
    document.body.append(drawerMarkup());
    this.id = decodeURIComponent(location.pathname.split("/").filter(Boolean).at(-1) ?? "");
    this.voice = new Voice(byId("said"));
    this.drawer = new Drawer();
    this.known = new Map();
    contrastSwitch(byId("contrast"));
    this.start();
  }

  async start() {
    try {
      this.report = await this.fetched();
    } catch (refused) {
      const told = `${visible(refused.message, 300)}. The bench page shows what is there now.`;
      byId("report").replaceChildren(make("h1", { text: "This report cannot be shown" }), make("p", { text: told }));
      byId("wait").remove();
      return;
    }
    byId("wait").remove();
    this.draw();
    this.visits();
    this.live = new Live({
      bench: (told) => told.places.forEach((now) => this.place(now)),
      place: (now) => this.place(now),
      trouble: () => {},
      line: (state, since) => this.line(state, since),
    });
  }

  // A report can be told of a moment before it can be had.
  async fetched() {
    for (let tries = 1; ; tries += 1) {
      try {
        return await call("GET", at("reports", this.id));
      } catch (refused) {
        if (refused.status !== 404 || tries >= TRIES) throw refused;
        await new Promise((go) => setTimeout(go, AGAIN_MS));
      }
    }
  }

  draw() {
    const { report } = this;
    const called = report.craft ?? report.board ?? "unnamed board";
    document.title = `${report.verdict.toUpperCase()}: ${visible(called, 80)} - propsoff`;
    this.old = make("div", { class: "old", attrs: { hidden: true } });
    this.notices ??= new Notices({ understood: () => byId("main").focus() });
    this.asking = make("div");
    this.past = make("div", {}, make("p", { class: "dim", text: "Looking…" }));
    const talk = make("button", { text: "Console", attrs: { type: "button" } });
    talk.addEventListener("click", () =>
      this.drawer.recorded(report.id, visible(called, 60), report.capture.started, () => talk.focus()),
    );
    const tools = files(report);
    tools.append(talk);
    const differences = section("Compared with an earlier visit");
    this.compare = new Compare(differences, report.id);
    const parts = [
      this.old,
      head(report),
      tools,
      this.notices.node,
      this.asking,
      (this.first = first(report)),
      (this.found = findings(report)),
      overlay(report),
      differences,
    ];
    const all = [...parts, section("History of this craft", this.past), ...quiet(report), facts(report)];
    byId("report").replaceChildren(...all.filter(Boolean));
  }

  async visits() {
    try {
      const { visits, from } = await call(
        "GET",
        `${at("reports")}?craft=${encodeURIComponent(this.id)}&limit=${MOST_VISITS}`,
      );
      const told =
        from === "history"
          ? []
          : [
              make("p", {
                class: "dim",
                text: "History is not kept here: these are the visits since the bench was started.",
              }),
            ];
      const table = visits.length
        ? visitTable(visits, { current: this.id, who: false, caption: "Visits of this craft" })
        : make("p", { text: "No other visit of this craft is known." });
      this.past.replaceChildren(table, ...told);
      this.compare.offer(visits);
      const newest = visits.find((one) => one.created > this.report.created && one.id !== this.id);
      if (newest) this.isOld(newest);
    } catch (refused) {
      this.past.replaceChildren(make("p", { class: "problem", text: refused.message }));
    }
  }

  async place(now) {
    if (now.report === this.id || now.place === this.where) this.ask(now);
    if (now.state !== "report" || now.report === this.id || this.known.get(now.place) === now.report) return;
    this.known.set(now.place, now.report);
    try {
      const report = await call("GET", at("places", now.place, "report"));
      if (!report || keyOf(report) === null || keyOf(report) !== keyOf(this.report)) return;
      if (report.created > this.report.created || (report.created === this.report.created && report.id !== this.id))
        this.isOld(report);
      this.visits();
    } catch {
      // The next event tells again.
    }
  }

  /** The same craft was inspected again. */
  isOld({ id, created, verdict }) {
    if (this.newer && this.newer.created >= created) return;
    this.newer = { id, created };
    this.old.replaceChildren(
      make("strong", { text: "OLD" }),
      make("span", {
        text: ` This is an earlier visit. The same craft was inspected again, ${clock(created)}: ${verdict}. `,
      }),
      make("a", {
        class: "button main",
        text: "Open the newer report",
        attrs: { href: `/reports/${encodeURIComponent(id)}` },
      }),
    );
    this.old.hidden = false;
    document.body.classList.add("is-old");
    if (!document.title.startsWith("OLD")) document.title = `OLD: ${document.title}`;
    this.voice.say(
      "This report is old: the same craft was inspected again. A link to the newer report stands at the top.",
    );
  }

  async ask(now) {
    this.where = now.report === this.id ? now.place : this.where;
    const wanted = now.report === this.id ? now.ask : null;
    if (wanted === this.wanted) return;
    this.wanted = wanted;
    if (this.questions) this.settled("They were answered elsewhere, or are no longer of what is plugged in.");
    if (!wanted) return;
    try {
      const ask = await call("GET", at("asks", wanted));
      if (this.wanted !== wanted) return;
      this.notices.clear();
      const questions = new Questions(ask, {
        heading: "h2",
        done: (report) => location.assign(`/reports/${encodeURIComponent(report.id)}`),
        later: () => this.away(questions, "Not now: the report stays as it is. What nobody answered is unknown."),
        stale: (text) => this.settled(text),
      });
      this.questions = questions;
      this.asking.replaceChildren(questions.node);
      this.tellAgain(ask.questions.length);
    } catch {
      // Answered meanwhile.
    }
  }

  /** What to do, with `asked` questions in the form above it. */
  tellAgain(asked) {
    const parts = { first: first(this.report, asked), found: findings(this.report, asked) };
    for (const [name, made] of Object.entries(parts)) {
      this[name]?.replaceWith(made ?? "");
      this[name] = made;
    }
  }

  settled(why) {
    const { questions } = this;
    if (questions.close(why)) return;
    const { text, stays } = closed(why, questions.typed);
    this.away(questions, text, { stays });
  }

  away(questions, text, { stays = false } = {}) {
    const held = questions.node.contains(document.activeElement);
    questions.node.remove();
    this.questions = null;
    this.tellAgain(0);
    const understood = this.notices.tell(text, { stays });
    this.voice.say(text);
    if (held) understood.focus();
  }

  line(state, since) {
    const there = state === "there";
    const what = state === "stopped" ? "The bench was stopped" : "The bench does not answer";
    say(
      byId("gone"),
      there
        ? ""
        : `${what}, since ${clock(since)}. The report can still be read; this page goes on when the bench is back.`,
    );
    byId("gone").hidden = there;
  }
}

/** Who the craft of a report is; null when it says neither a serial number nor a name. */
function keyOf({ board_serial: serial, board, craft }) {
  if (serial) return `serial:${serial.toLowerCase()}`;
  return board || craft ? `name:${board ?? ""}/${craft ?? ""}`.toLowerCase() : null;
}

new CraftPage();

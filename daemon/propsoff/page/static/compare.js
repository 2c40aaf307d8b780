// This visit beside another of the same craft.

import { at, call } from "./api.js";
import { clock, count, make, theirs, visible } from "./dom.js";
import { outcome } from "./visits.js";

const MOST = 200;
const NONE = "There is no other visit of this craft to compare with.";

/** Fills `node` with a choice of visits and the comparison with the one that is chosen. */
export class Compare {
  constructor(node, report) {
    this.node = node;
    this.report = report;
    this.select = make("select", { attrs: { id: "compare-with" }, on: { change: () => this.load(this.select.value) } });
    this.choice = make(
      "p",
      { class: "field" },
      make("label", { text: "Compare with the visit of", attrs: { for: "compare-with" } }),
      this.select,
    );
    this.choice.hidden = true;
    this.said = make("p", { attrs: { role: "status" } });
    this.body = make("div");
    node.append(this.choice, this.said, this.body);
  }

  /** The visits to choose from, newest first. */
  offer(visits) {
    const others = visits.filter((one) => one.id !== this.report);
    this.choice.hidden = others.length < 1;
    const chosen = this.select.value;
    this.select.replaceChildren(
      ...toldApart(others).map(({ id, text }) => make("option", { text, attrs: { value: id } })),
    );
    const mine = visits.find((one) => one.id === this.report);
    const earlier = others.filter((one) => !mine || one.created <= mine.created);
    // A report with new answers is of the same conversation: the visit before it says more.
    const before = earlier.find((one) => one.capture_sha256 !== mine?.capture_sha256) ?? earlier[0] ?? others[0];
    if (!before) {
      this.said.textContent = NONE;
      return;
    }
    this.select.value = others.some((one) => one.id === chosen) ? chosen : before.id;
    if (this.shown !== this.select.value) this.load(this.select.value);
  }

  async load(other) {
    this.shown = other;
    try {
      const path = `${at("reports", this.report, "changes")}?with=${encodeURIComponent(other)}`;
      const told = await call("GET", path);
      if (this.shown === other) this.show(told.comparison);
    } catch (refused) {
      if (this.shown !== other) return;
      this.body.replaceChildren();
      this.said.textContent = refused.message;
    }
  }

  show(one) {
    const differing = one.differs.length + one.only_a.length + one.only_b.length;
    const nothing = !differing && !one.findings.length && !one.findings_unknown.length && !one.unreadable.length;
    this.said.textContent = nothing
      ? `Nothing differs: ${one.equal} settings are the same, and so is every finding.`
      : `${differing} of ${differing + one.equal} settings differ; ` +
        `${count(one.findings.length, "finding")} came, went or changed.`;
    this.body.replaceChildren(
      ...[
        findings("Findings that came, went or changed", one.findings),
        findings("Findings of which one side cannot tell", one.findings_unknown),
        table("Settings that differ", [...one.identity, ...one.differs, ...one.only_a, ...one.only_b]),
        table("Could not be read on one side, so not known to be the same", one.unreadable),
        one.readings.length ? folded("Readings of the moment", table("Readings of the moment", one.readings)) : null,
      ].filter(Boolean),
    );
  }
}

/** What each visit is called in the choice, no two the same: {id, text}. */
function toldApart(visits) {
  const called = ({ created, verdict }) => `${clock(created, { seconds: true })}, ${verdict}`;
  return visits.map((one) => {
    const alone = visits.filter((other) => called(other) === called(one)).length === 1;
    const short = visible(one.id.split("-").at(-1), 40);
    return { id: one.id, text: alone ? called(one) : `${called(one)}, report ${short}` };
  });
}

function findings(title, changed) {
  if (!changed.length) return null;
  const word = (text) =>
    text === null ? make("span", { class: "dim", text: "not found" }) : outcome(text.split(",")[0]);
  const rows = changed.map(({ name, a, b, summary }) =>
    make(
      "tr",
      {},
      make("td", {}, word(a)),
      make("td", {}, word(b)),
      make("th", { attrs: { scope: "row" } }, theirs(name)),
      make("td", {}, theirs(summary)),
    ),
  );
  return tabled(title, ["Then", "In this report", "Check", "What"], rows);
}

function table(title, differences) {
  if (!differences.length) return null;
  const rows = differences
    .slice(0, MOST)
    .map(({ name, a, b, unit }) =>
      make(
        "tr",
        {},
        make("th", { class: "mono", attrs: { scope: "row" } }, theirs(name)),
        make("td", {}, value(a, unit)),
        make("td", {}, value(b, unit)),
      ),
    );
  const made = tabled(title, ["Setting", "Then", "In this report"], rows);
  if (differences.length > MOST) made.append(make("p", { text: `and ${differences.length - MOST} more` }));
  return made;
}

function tabled(title, heads, rows) {
  return make(
    "div",
    { class: "scrolls", attrs: { tabindex: "0", role: "region", "aria-label": title } },
    make(
      "table",
      {},
      make("caption", { text: title }),
      make("thead", {}, make("tr", {}, ...heads.map((text) => make("th", { text, attrs: { scope: "col" } })))),
      make("tbody", {}, ...rows),
    ),
  );
}

function folded(title, node) {
  return make("details", {}, make("summary", { text: title }), node);
}

function value(of, unit) {
  if (of === null || of === undefined) return make("span", { class: "dim", text: "not there" });
  return theirs(unit && typeof of === "number" ? `${of} ${unit}` : worded(of));
}

/** A value as it is read aloud. */
export function worded(of) {
  if (typeof of === "boolean") return of ? "yes" : "no";
  if (Array.isArray(of)) return of.map(worded).join(", ") || "none";
  return typeof of === "object" && of !== null ? JSON.stringify(of) : String(of);
}

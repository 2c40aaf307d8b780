// Visits as a table: of one craft, or of all.

import { clock, make, theirs } from "./dom.js";
import { shape } from "./shapes.js";

// A word of more characters than this may be broken: it is rather a number, or nonsense.
const LONG = 24;

/** An outcome or a verdict as shape and word. */
export function outcome(word) {
  return make("span", { class: `outcome ${word}` }, shape(word), ` ${word}`);
}

/** The table. `current` is the report that is being looked at; `who` tells the craft in each row. */
export function visitTable(visits, { current = null, who = true, caption }) {
  const heads = [
    "Result",
    "When",
    ...(who ? ["Craft", "Board", "Serial number"] : ["Firmware"]),
    "Build sheet",
    "Bench",
  ];
  return make(
    "div",
    { class: "scrolls", attrs: { tabindex: "0", role: "region", "aria-label": caption } },
    make(
      "table",
      { class: "visits" },
      make("caption", { class: "hidden", text: caption }),
      make("thead", {}, make("tr", {}, ...heads.map((text) => make("th", { text, attrs: { scope: "col" } })))),
      make("tbody", {}, ...visits.map((visit) => row(visit, current, who))),
    ),
  );
}

function cell(text) {
  if (!text) return make("td", {}, make("span", { class: "dim", text: "not read" }));
  const long = text.split(/\s/).some((word) => word.length > LONG);
  return make("td", { class: long ? "long" : "" }, theirs(text, 120));
}

function row(visit, current, who) {
  const here = visit.id === current;
  const when = here
    ? make("td", {}, clock(visit.created), make("strong", { text: " (this report)" }))
    : make(
        "td",
        {},
        make("a", {
          class: "row-link",
          text: clock(visit.created),
          attrs: { href: `/reports/${encodeURIComponent(visit.id)}` },
        }),
      );
  const told = who ? [cell(visit.craft), cell(visit.board), cell(visit.board_serial)] : [cell(visit.firmware)];
  return make(
    "tr",
    { class: here ? "here" : "", attrs: { "aria-current": here ? "true" : null } },
    make("td", {}, outcome(visit.verdict)),
    when,
    ...told,
    cell(visit.sheet),
    cell(visit.bench),
  );
}

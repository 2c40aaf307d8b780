// A report as sections of the craft page, in the order of the printed card.

import { at } from "./api.js";
import { worded } from "./compare.js";
import { clock, count, make, theirs } from "./dom.js";
import { causes, countsAs, firstSteps, isOpenQuestion, toDo, together, withForm } from "./first.js";
import { shape } from "./shapes.js";
import { outcome } from "./visits.js";
import { SAID, WORDS } from "./words.js";

const MOST_FIRST = 6;
const MOST_SEEN = 8;
const MOST_FACTS = 1000;
const LONG = 60;
const NAMELESS = "A board that did not say what it is";

/** The head: the verdict, who it is, and where it was read. */
export function head(report) {
  const port = report.port;
  const socket = port?.origin === "folder" ? port.device?.split("/").pop() : (port?.path ?? port?.device);
  const who = [
    ["Board", report.board],
    ["Board serial number", report.board_serial],
    ["Firmware", report.firmware],
    ["Build sheet", report.sheet?.title],
    ["Inspected", clock(report.created)],
    ["Bench and port", [report.bench, socket].filter(Boolean).join(", ")],
  ];
  return make(
    "div",
    { class: "head" },
    make(
      "p",
      { class: "card-kind" },
      make("span", { text: "Inspection" }),
      make("span", {}, "report ", make("span", { class: "mono", text: report.id })),
    ),
    make(
      "div",
      { class: "top" },
      make(
        "p",
        { class: `verdict ${report.verdict}` },
        shape(report.verdict),
        make("span", { text: WORDS[report.verdict] }),
      ),
      make(
        "div",
        {},
        make(
          "h1",
          { class: (report.craft ?? "").length > LONG ? "long" : "" },
          theirs(report.craft ?? report.board ?? NAMELESS, 300),
        ),
        make("p", { text: SAID[report.verdict] }),
        report.complete ? null : make("p", {}, make("strong", {}, theirs(report.ended))),
      ),
    ),
    make(
      "dl",
      { class: "who" },
      ...who.map(([label, text]) =>
        make("div", {}, make("dt", { text: label }), make("dd", {}, theirs(text || "not read", 300))),
      ),
    ),
  );
}

/** What to do first. */
export function first(report, asked = 0) {
  const steps = firstSteps(report, { asked: asked > 0 });
  const shown = steps.slice(0, MOST_FIRST).map(({ typed, step, summary, more }) => {
    const item = typed
      ? make(
          "li",
          {},
          "Type at the board's console, because ",
          theirs(summary),
          ":",
          make("code", { class: "typed" }, theirs(typed)),
        )
      : make(
          "li",
          {},
          theirs(asked ? withForm(step) : step),
          summary ? make("span", { class: "dim" }, " (", theirs(summary), ")") : null,
        );
    if (more > 0)
      item.append(
        make("span", {
          class: "dim",
          text: ` ${count(more, typed ? "more line" : "more step")} under its finding below.`,
        }),
      );
    return item;
  });
  const left = steps.length - shown.length;
  const nothing = toDo(report).length
    ? "See the findings below: none of them names a step."
    : "Nothing has to be put right.";
  return section(
    "What to do first",
    shown.length ? make("ol", { class: "first" }, ...shown) : asked ? null : make("p", { text: nothing }),
    asked ? make("p", { text: `Answer the ${count(asked, "question")} above.` }) : null,
    left > 0 ? make("p", { text: `and ${left} more below, after these.` }) : null,
  );
}

const IN_THE_FORM = { console: [], steps: ["Look, and answer it in the form above."] };

/** What somebody has to do something about, in full; `asked` questions wait in the form of this page. */
export function findings(report, asked = 0) {
  const told = asked ? inForm : (finding) => finding;
  const { groups, singly } = together(toDo(report).map((one) => ({ ...one, finding: told(one.finding) })));
  if (!groups.length && !singly.length) return null;
  return section("Findings", ...singly.map(({ finding, effects }) => card(finding, effects)), ...groups.map(alike));
}

function inForm(finding) {
  const { console: typed, steps } = finding.remedy;
  const remedy = isOpenQuestion(finding) ? IN_THE_FORM : { console: typed, steps: steps.map(withForm) };
  return { ...finding, remedy };
}

function card(one, effects) {
  const seen = one.evidence.slice(0, MOST_SEEN);
  const behind = one.evidence.slice(MOST_SEEN);
  return make(
    "article",
    { class: "finding" },
    make(
      "h3",
      {},
      outcome(one.outcome),
      " ",
      make("span", { class: "mono", text: one.check }),
      ": ",
      theirs(one.summary),
    ),
    beside(one),
    one.why ? make("p", {}, make("strong", { text: "Why it matters: " }), theirs(one.why, 2000)) : null,
    ...remedy(one.remedy),
    one.caution
      ? make("p", { class: "caution" }, make("strong", { text: "Caution: " }), theirs(one.caution, 2000))
      : null,
    effects.length
      ? make("div", {}, make("p", { text: "Goes away with it:" }), make("ul", {}, ...effects.map(inShort)))
      : null,
    seen.length ? make("div", {}, make("p", { text: "What the board said:" }), lines(seen, one.check)) : null,
    behind.length
      ? folded(count(behind.length, "more line of evidence", "more lines of evidence"), lines(behind, one.check))
      : null,
    one.sources.length
      ? folded(
          count(one.sources.length, "source"),
          make("ul", {}, ...one.sources.map((each) => make("li", {}, theirs(each, 600)))),
        )
      : null,
  );
}

function beside({ expected, actual }) {
  if (expected === null && actual === null) return null;
  const cell = (label, text) =>
    make("div", {}, make("dt", { text: label }), make("dd", {}, theirs(text ?? "not stated", 1200)));
  return make("dl", { class: "beside" }, cell("Expected", expected), cell("Found", actual));
}

function remedy({ console: typed, steps }) {
  const parts = [];
  if (typed.length) {
    const all = typed.map((line) => make("code", { class: "typed" }, theirs(line)));
    parts.push(make("div", {}, make("p", { text: "At this board's console, type:" }), ...all));
  }
  if (steps.length === 1) parts.push(make("p", {}, "By hand: ", theirs(steps[0], 1200)));
  else if (steps.length)
    parts.push(
      make(
        "div",
        {},
        make("p", { text: "By hand:" }),
        make("ul", {}, ...steps.map((each) => make("li", {}, theirs(each, 1200)))),
      ),
    );
  return parts;
}

function alike(group) {
  return make(
    "article",
    { class: "finding" },
    make("h3", {}, outcome("unknown"), ` ${group.length} checks could not be made, for the same reason`),
    ...remedy(group[0].remedy),
    make(
      "ul",
      {},
      ...group.map((one) =>
        make("li", {}, make("span", { class: "mono", text: one.check }), ": ", theirs(one.summary)),
      ),
    ),
  );
}

function inShort(one) {
  return make(
    "li",
    {},
    outcome(one.outcome),
    " ",
    make("span", { class: "mono", text: one.check }),
    ": ",
    theirs(one.summary),
  );
}

function lines(evidence, check) {
  const rows = evidence.map(({ line, text }) =>
    make("tr", {}, make("td", { class: "no", text: `line ${line}` }), make("td", {}, theirs(text))),
  );
  return make(
    "table",
    { class: "seen mono" },
    make("caption", { class: "hidden", text: `Evidence of ${check}` }),
    make("tbody", {}, ...rows),
  );
}

/** What the build sheet lets be, and what is well. */
export function quiet(report) {
  const all = causes(report.findings);
  const waived = all.filter(({ finding }) => finding.waived);
  const well = all.filter(({ finding }) => !finding.waived && ["pass", "skipped"].includes(countsAs(finding)));
  return [
    waived.length
      ? section(
          "Let be by the build sheet",
          ...waived.map(({ finding }) =>
            make(
              "p",
              {},
              inShortText(finding),
              ` Because: `,
              theirs(finding.waived.reason),
              ` Until: ${finding.waived.until ?? "no end"}, by `,
              theirs(finding.waived.source),
            ),
          ),
        )
      : null,
    well.length
      ? section(
          "What was checked and is well, or does not apply",
          make("ul", { class: "well" }, ...well.map(({ finding }) => inShort(finding))),
        )
      : null,
  ].filter(Boolean);
}

function inShortText(one) {
  return make(
    "span",
    {},
    outcome(one.outcome),
    " ",
    make("span", { class: "mono", text: one.check }),
    ": ",
    theirs(one.summary),
  );
}

/** The overlay as the board would draw it. */
export function overlay(report) {
  const drawn = report.facts.some(({ name }) => name.startsWith("overlay.elements"));
  if (!report.facts.length) return null;
  const said = make("p", {
    text: "Nothing can be drawn here: the grid or the elements of the overlay were not read.",
    attrs: { hidden: drawn },
  });
  if (!drawn) return section("The overlay, as the board would draw it", said);
  const picture = make("img", {
    attrs: { src: at("reports", report.id, "overlay"), alt: "Drawing of the overlay; the card tells it in words." },
  });
  picture.addEventListener("error", () => {
    picture.remove();
    said.hidden = false;
  });
  return section("The overlay, as the board would draw it", make("figure", { class: "drawing" }, picture), said);
}

/** Everything that was read, and how. */
export function facts(report) {
  const rows = report.facts.slice(0, MOST_FACTS).map((one) => {
    const from = one.origin === "hand" ? "by hand" : (one.lines ?? []).slice(0, 8).join(", ");
    return make(
      "tr",
      {},
      make("th", { class: "mono", attrs: { scope: "row" } }, theirs(one.name)),
      make("td", {}, theirs(`${worded(one.value)}${one.unit ? ` ${one.unit}` : ""}`)),
      make("td", { text: from }),
    );
  });
  const heads = ["Fact", "Value", "Lines"].map((text) => make("th", { text, attrs: { scope: "col" } }));
  return section(
    "How it was read",
    make("p", { text: howRead(report) }),
    report.problems.length
      ? make(
          "ul",
          {},
          ...report.problems
            .slice(0, 12)
            .map((one) => make("li", {}, one.line ? `line ${one.line}: ` : "", theirs(one.message))),
        )
      : null,
    folded(
      `All ${count(report.facts.length, "fact")} that were read`,
      make(
        "div",
        { class: "scrolls", attrs: { tabindex: "0", role: "region", "aria-label": "Facts" } },
        make("table", {}, make("thead", {}, make("tr", {}, ...heads)), make("tbody", {}, ...rows)),
      ),
    ),
  );
}

function howRead({ dialect, conversation: talk }) {
  const before = talk.bytes_before_identification;
  return [
    dialect ? `Read as ${dialect.id}` : "The console was not recognised",
    `; ${count(talk.bytes_sent, "byte")} sent, ${talk.bytes_received.toLocaleString("en-GB")} received`,
    before === null ? "" : `; ${before} of those sent went out before the board was known`,
    ". No setting was changed.",
  ].join("");
}

/** What can be taken away: the card to print, the report, the conversation. */
export function files(report) {
  const link = (text, path, name) => make("a", { class: "button", text, attrs: { href: path, download: name } });
  const card = at("reports", report.id, "card");
  return make(
    "div",
    { class: "buttons files" },
    make("a", { class: "button main", text: "Card to print", attrs: { href: card } }),
    link("Download card", `${card}?download=1`, `${report.id}.html`),
    link("Download report (JSON)", at("reports", report.id), `${report.id}.json`),
    link("Download conversation", at("reports", report.id, "capture"), `${report.id}.cast`),
  );
}

/** A section with its heading. */
export function section(title, ...nodes) {
  return make("section", { attrs: { "aria-label": title } }, make("h2", { text: title }), ...nodes);
}

function folded(title, node) {
  return make("details", {}, make("summary", { text: title }), node);
}

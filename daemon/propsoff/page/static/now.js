// What to do now at a place, as nodes for its tile and as one sentence for a screen reader.

import { count, make, theirs, visible } from "./dom.js";
import { firstSteps, isOpenQuestion, withForm } from "./first.js";
import { STEPS, STEP_WORDS } from "./words.js";

const MOST_TYPED = 200;
const NEXT = { lead: "Plug in the next craft.", brief: ["Plug in the next."] };
// What gives way first where a tile has too little room: large letters, then one part after the other.
const LADDER = ["large", "middling", "why", "others", "word", "command"];

/** The verdict of what is plugged in, or the state where there is none yet. */
export function wordOf(now) {
  if (now.state !== "report") return now.state;
  return resultOf(now)?.verdict ?? "reading";
}

/** The past result that is the report of now. */
export function resultOf(now) {
  return now.past.findLast((one) => one.report === now.report) ?? null;
}

/** Ports that wait for a person's word. */
export function undecided(now) {
  return now.plugged.filter((port) => port.shut && port.scopes.length);
}

/**
 * {lead, brief, typed, why, caution, same, others}: the first thing to do, in few words too, and what goes with it.
 * `report` is that of what is plugged in, null while it is not known; `questions` is how many wait.
 */
export function whatNow(now, report, questions) {
  if (now.state === "empty") return emptyNow(now);
  if (now.state === "reading") return { lead: "Leave it plugged in.", brief: ["Leave it in."] };
  if (now.state === "shut") {
    if (undecided(now).length) {
      const lead = "Nobody has allowed this port yet. Decide whether it may be read.";
      return { lead, brief: ["Decide about this port.", "Decide on it."] };
    }
    return { lead: sentence(onThePage(now.note || "it is not opened")), brief: ["It is not opened."] };
  }
  if (report) return reportNow(report, questions);
  return questions ? answerNow(questions) : { lead: "Open the report." };
}

function emptyNow(now) {
  const last = now.past.at(-1);
  if (last?.verdict === "incomplete" && last.report === now.report) {
    const lead = "The last one was not read to its end. Plug it in again, or plug in the next.";
    return { lead, brief: ["Plug it in again, or the next.", "Plug it in again."] };
  }
  return last ? NEXT : { lead: "Plug a craft in." };
}

function answerNow(questions) {
  const all = count(questions, "question");
  return { lead: answer(questions), brief: [`Answer ${all}.`, `${sentence(all)}.`] };
}

function answer(questions) {
  return `Answer ${count(questions, "question")} about it.`;
}

// The bench tells how a word is taken back at a terminal; here a button does it.
const REVOKE = /take it back with: propsoff revoke \S+/;

function onThePage(note) {
  return note.replace(REVOKE, "press “Take it back” under “Allowed and denied ports” below");
}

function sentence(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function reportNow(report, questions) {
  const steps = firstSteps(report, { asked: true });
  if (!steps.length) {
    if (questions) return answerNow(questions);
    const open = report.findings.filter(isOpenQuestion).length;
    if (open) {
      const lead = `Press “Inspect again”: then its ${count(open, "open question")} can be answered here.`;
      return { lead, brief: ["Press “Inspect again”.", "Inspect again."] };
    }
    const well = report.verdict === "pass" || report.verdict === "warn";
    return well
      ? { ...NEXT, others: "Nothing has to be put right on this one." }
      : { lead: "Open the report: no step is named." };
  }
  const [{ typed, step, summary, caution, more: further }] = steps;
  const others = steps.length - 1;
  const kind = typed ? ["more line to type", "more lines to type"] : ["more step", "more steps"];
  const elsewhere = others ? `${count(others, "more thing")} to do in the report.` : "";
  const all = count(further + 1, ...(typed ? ["line to type", "lines to type"] : ["step to do", "steps to do"]));
  return {
    ...(typed ? { lead: "Type at its console:", typed } : { lead: questions ? withForm(step) : step }),
    brief: [`See the report: ${all}.`, `${sentence(all)}.`],
    why: summary,
    caution,
    same: further ? `${count(further, ...kind)} in the report.` : "",
    others: [elsewhere, questions ? answer(questions) : ""].filter(Boolean).join(" "),
  };
}

/** In how many steps `shorten` can make it shorter. */
export function shortest(what, dense) {
  if (dense) return what.brief?.length ?? 0;
  return LADDER.length + Math.max(0, sentences(what.caution).length - 1);
}

/**
 * {lead, typed, rest, caution}: what of it is shown where there is less room, the less the higher the step. What can
 * hurt somebody goes last, and only by whole sentences; a line to type is shown whole or told of in words.
 */
export function shorten(what, step, dense) {
  const brief = what.brief ?? [what.lead];
  const long = what.typed?.length > MOST_TYPED;
  if (dense) return !step && !long ? what : { lead: brief[Math.max(step - 1, 0)] };
  const gone = new Set(LADDER.slice(0, step));
  const inWords = long || gone.has("command");
  const all = sentences(what.caution);
  const kept = all.slice(0, Math.max(1, all.length - Math.max(0, step - LADDER.length)));
  const more = kept.length < all.length ? " There is more in the report." : "";
  return {
    lead: inWords ? brief[0] : what.lead,
    typed: inWords ? "" : what.typed,
    caution: kept.length ? `Caution: ${kept.join(" ")}${more}` : "",
    rest: [
      what.why && !gone.has("why") ? `Why: ${what.why}` : "",
      [inWords ? "" : what.same, gone.has("others") ? "" : what.others].filter(Boolean).join(" "),
    ].filter(Boolean),
  };
}

function sentences(text) {
  return text ? text.split(/(?<=[.!?])\s+(?=\p{Lu})/u) : [];
}

/** The same as nodes. */
export function nowNodes({ lead, typed, caution, rest = [] }) {
  const nodes = [make("span", { class: "lead" }, theirs(lead, 300))];
  if (typed) nodes.push(make("code", { class: "typed" }, theirs(typed, MOST_TYPED)));
  if (caution) nodes.push(make("span", { class: "rest warned" }, theirs(caution, 2000)));
  nodes.push(...rest.map((text) => make("span", { class: "rest" }, theirs(text, 400))));
  // The blanks are for those who hear it, or copy it.
  return nodes.flatMap((node) => [" ", node]);
}

/** The same to be read aloud. */
export function nowAloud({ lead, typed }) {
  return visible(typed ? `${lead} ${typed}` : lead, 240);
}

/** The steps of a reading, each told as done, now, or to come. */
export function stepNodes({ step, bytes, lines }) {
  const at = STEPS.indexOf(step);
  const items = STEPS.map((each, place) => {
    const [sign, told] = place < at ? ["✓", "done"] : place === at ? ["▶", "now"] : ["·", "to come"];
    return make(
      "li",
      { class: told === "now" ? "is-now" : "", attrs: { "aria-current": told === "now" ? "step" : null } },
      make("span", { text: sign, attrs: { "aria-hidden": "true" } }),
      make("span", { class: "hidden", text: `${told}: ` }),
      ` ${STEP_WORDS[each]}`,
    );
  });
  const soFar = `${count(lines, "line")}, ${count(bytes, "byte")} so far`;
  return [make("ol", { class: "steps" }, ...items), make("p", { class: "so-far", text: soFar })];
}

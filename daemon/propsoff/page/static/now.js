// What to do now at a place, as nodes for its tile and as one sentence for a screen reader.

import { count, make, theirs, visible } from "./dom.js";
import { firstSteps, isOpenQuestion } from "./first.js";
import { STEPS, STEP_WORDS } from "./words.js";

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
 * {lead, typed, rest}: the first thing to do, and further lines. `report` is that of what is plugged in, null while it
 * is not known; `questions` is how many wait.
 */
export function whatNow(now, report, questions) {
  if (now.state === "empty") return emptyNow(now);
  if (now.state === "reading") return { lead: "Leave it plugged in." };
  if (now.state === "shut") {
    if (undecided(now).length) return { lead: "Nobody has allowed this port yet. Decide whether it may be read." };
    return { lead: sentence(now.note || "it is not opened") };
  }
  if (report) return reportNow(report, questions);
  return { lead: questions ? answer(questions) : "Open the report." };
}

function emptyNow(now) {
  const last = now.past.at(-1);
  if (last?.verdict === "incomplete" && last.report === now.report) {
    return { lead: "The last one was not read to its end. Plug it in again, or plug in the next." };
  }
  return { lead: last ? "Plug in the next craft." : "Plug a craft in." };
}

function answer(questions) {
  return `Answer ${count(questions, "question")} about it.`;
}

function sentence(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function reportNow(report, questions) {
  const steps = firstSteps(report, { asked: true });
  if (!steps.length) {
    if (questions) return { lead: answer(questions) };
    const open = report.findings.filter(isOpenQuestion).length;
    if (open) return { lead: `Press “Inspect again”: then its ${count(open, "open question")} can be answered here.` };
    const well = report.verdict === "pass" || report.verdict === "warn";
    return well
      ? { lead: "Plug in the next craft.", rest: ["Nothing has to be put right on this one."] }
      : { lead: "Open the report: no step is named." };
  }
  const [{ typed, step, summary, caution, more: further }] = steps;
  const others = steps.length - 1;
  const kind = typed ? ["more line to type", "more lines to type"] : ["more step", "more steps"];
  const same = further ? `${count(further, ...kind)} in the report.` : "";
  const more = [
    same,
    others ? `${count(others, "more thing")} to do in the report.` : "",
    questions ? answer(questions) : "",
  ]
    .filter(Boolean)
    .join(" ");
  const rest = [summary && `Why: ${summary}`, caution && `Caution: ${caution}`, more.trim()].filter(Boolean);
  return typed ? { lead: "Type at its console:", typed, rest } : { lead: step, rest };
}

/** The same as nodes. */
export function nowNodes({ lead, typed, rest = [] }) {
  const nodes = [make("span", { class: "lead" }, theirs(lead, 300))];
  if (typed) nodes.push(make("code", { class: "typed" }, theirs(typed, 200)));
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

// What to do first about a report: in the order of the printed card.

const ORDER = ["fail", "error", "unknown", "warn", "pass", "skipped"];
const ALIKE = 3;
const BY_HAND = "hand-notes";

/** The outcome as the verdict takes it: one that the build sheet lets be does no harm. */
export function countsAs(finding) {
  return finding.waived ? "pass" : finding.outcome;
}

/** CHECK/CODE, or CHECK alone. */
export function nameOf(finding) {
  return finding.code ? `${finding.check}/${finding.code}` : finding.check;
}

/** What stands for itself, worst first, each with what is only an effect of it: [{finding, effects}]. */
export function causes(findings) {
  const known = new Map();
  for (const one of findings) if (!one.because && !known.has(nameOf(one))) known.set(nameOf(one), []);
  const alone = [];
  for (const one of findings) {
    if (one.because && known.has(one.because)) known.get(one.because).push(one);
    else alone.push(one);
  }
  const taken = new Set();
  const found = alone.map((finding) => {
    const name = nameOf(finding);
    const effects = finding.because || taken.has(name) ? [] : known.get(name);
    taken.add(name);
    return { finding, effects };
  });
  const rank = ({ finding }) => [ORDER.indexOf(countsAs(finding)), ORDER.indexOf(finding.outcome)];
  return found.sort((a, b) => rank(a)[0] - rank(b)[0] || rank(a)[1] - rank(b)[1]);
}

/** The causes that somebody has to do something about. */
export function toDo(report) {
  return causes(report.findings).filter(({ finding }) => !["pass", "skipped"].includes(countsAs(finding)));
}

/** Checks that could not be made for one reason, told together: {groups: [[finding]], singly: [{finding, effects}]}. */
export function together(some) {
  const groups = new Map();
  for (const { finding, effects } of some) {
    if (!isBare(finding) || effects.length) continue;
    const reason = JSON.stringify(finding.remedy);
    groups.set(reason, [...(groups.get(reason) ?? []), finding]);
  }
  const alike = [...groups.values()].filter((group) => group.length >= ALIKE);
  const told = new Set(alike.flat());
  return { groups: alike, singly: some.filter(({ finding }) => !told.has(finding)) };
}

/**
 * The steps before all others: {summary, typed, step, more, caution}. `typed` is a line for the board's console. With
 * `asked` the questions for a person stand in a form, and are told there.
 */
export function firstSteps(report, { asked = false } = {}) {
  const given = report.next_steps.map((step) => ({ summary: "", typed: "", step, more: 0, caution: "" }));
  const { groups, singly } = together(toDo(report).filter(({ finding }) => !asked || !isOpenQuestion(finding)));
  const found = [...singly.map(({ finding }) => finding), ...(given.length ? [] : groups.map((group) => group[0]))];
  return [...given, ...found.filter((one) => one.remedy.console.length || one.remedy.steps.length).map(firstOf)];
}

function firstOf({ summary, caution, remedy }) {
  const typed = remedy.console[0] ?? "";
  const step = typed ? "" : remedy.steps[0];
  const more = (typed ? remedy.console : remedy.steps).length - 1;
  return { summary, typed, step, more, caution: caution ?? "" };
}

/** A step as it is told where the questions wait in a form of the same page. */
export function withForm(step) {
  return step.replace(" (`propsoff inspect --ask`)", " here");
}

/** A question of the build sheet that nobody has answered. */
export function isOpenQuestion({ check, outcome }) {
  return check === BY_HAND && outcome === "unknown";
}

function isBare(finding) {
  return finding.outcome === "unknown" && finding.expected === null && finding.actual === null;
}

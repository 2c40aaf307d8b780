// The questions that no console can answer. The form is built once for each set of questions and never drawn again, so
// that nothing a person is typing is lost.

import { at, call } from "./api.js";
import { clock, count, make, mark, newId, theirs, visible } from "./dom.js";

const LONGEST = 400;

/** The form of one set. `ask` as the interface gives it; `done(report)`, `later()`, and `stale(text)` end it. */
export class Questions {
  constructor(ask, handlers) {
    this.ask = ask;
    this.handlers = handlers;
    this.fields = ask.questions.map((question) => field(question));
    this.problem = make("p", { class: "problem", attrs: { role: "alert" } });
    this.node = make(
      "form",
      { class: "panel questions", attrs: { novalidate: true }, on: { submit: (event) => this.submit(event) } },
      make(
        handlers.heading ?? "h3",
        { attrs: { tabindex: "-1" } },
        "By hand: what the console of ",
        theirs(ask.craft ?? "this board", 80),
        " cannot tell",
      ),
      make("p", {
        class: "dim",
        text: "Propellers off before you touch it. What you leave open stays unknown, and never passes.",
      }),
      ...this.fields.map((one) => one.node),
      this.problem,
      make(
        "div",
        { class: "buttons" },
        make("button", { class: "main", text: "Give these answers", attrs: { type: "submit" } }),
        make("button", { text: "Not now", attrs: { type: "button" }, on: { click: () => this.putOff() } }),
      ),
    );
  }

  /** What a person has filled in so far, in words. */
  get typed() {
    const given = this.fields.filter((one) => one.value() !== null);
    return given.map((one) => `${one.question.ask} ${shown(one.value())}`);
  }

  /** How many are answered, and what becomes of the rest, in words. */
  get settled() {
    const rest = this.fields.filter((one) => one.value() === null);
    const open = rest.filter(({ question }) => isOpen(question)).length;
    const kept = rest.length - open;
    const told = [`${count(this.fields.length - rest.length, "question")} answered`];
    if (open) told.push(`${open} left open`);
    if (kept) told.push(`${kept} left as ${kept === 1 ? "it was" : "they were"}`);
    return told.join(", ");
  }

  /** They wait no more. True while something is on its way to the bench: then its answer tells what became of it. */
  close(why) {
    if (this.sending) this.closed = why;
    return Boolean(this.sending);
  }

  async submit(event) {
    event.preventDefault();
    if (this.sending) return;
    const answers = {};
    for (const one of this.fields) {
      one.complain("");
      if (one.value() !== null) answers[one.question.id] = one.value();
    }
    if (!Object.keys(answers).length) {
      this.problem.textContent = "Nothing is answered yet. Answer at least one, or choose “Not now”.";
      this.fields[0].focus();
      return;
    }
    await this.send(() => call("POST", at("asks", this.ask.id), { body: { answers } }), this.handlers.done);
  }

  async putOff() {
    if (this.sending) return;
    await this.send(() => call("DELETE", at("asks", this.ask.id)), this.handlers.later);
  }

  async send(request, then) {
    this.problem.textContent = "";
    this.busy(true);
    this.sending = true;
    try {
      const told = await request();
      this.sending = false;
      then(told);
    } catch (refused) {
      this.sending = false;
      if (refused.status === 410) this.handlers.stale(refused.message);
      else if (this.closed) this.handlers.stale(this.closed);
      else this.refused(refused);
    } finally {
      this.busy(false);
    }
  }

  refused({ message, errors }) {
    const wrong = (errors ?? []).flatMap(({ where, wanted }) => {
      const one = this.fields.find(
        ({ question }) => where === question.id || String(where).endsWith(`.${question.id}`),
      );
      return one ? [[one, wanted]] : [];
    });
    for (const [one, wanted] of wrong) one.complain(`Wanted here: ${visible(wanted, 300)}.`);
    if (!wrong.length) this.problem.textContent = message;
    else queueMicrotask(() => wrong[0][0].focus());
  }

  busy(is) {
    // A button that is disabled would lose the focus.
    for (const button of this.node.querySelectorAll("button")) mark(button, "aria-disabled", is ? "true" : null);
  }
}

/** Whether nobody has answered it, now or before. */
function isOpen({ before }) {
  return before === null || before === undefined;
}

function shown(value) {
  return typeof value === "boolean" ? (value ? "yes" : "no") : visible(value, LONGEST);
}

/** A question with where to answer it: {node, question, value(), focus(), complain(text)}. */
function field(question) {
  const problem = make("p", { class: "problem", attrs: { id: newId("wrong"), role: "alert" } });
  const before = earlier(question);
  const lists = question.kind === "yes-no" || question.kind === "choice";
  const made = lists ? listed(question, before, problem) : typed(question, before, problem);
  const inputs = [...made.querySelectorAll("input")];
  return {
    node: made,
    question,
    value: lists ? () => picked(question, inputs) : () => inputs[0].value.trim() || null,
    focus: () => (inputs.find((one) => one.checked) ?? inputs[0]).focus(),
    complain(text) {
      problem.textContent = text;
      for (const one of inputs) one.setAttribute("aria-invalid", String(text !== ""));
    },
  };
}

function picked(question, inputs) {
  const chosen = inputs.find((one) => one.checked && one.value !== "");
  if (!chosen) return null;
  return question.kind === "yes-no" ? chosen.value === "yes" : question.choices[Number(chosen.value)];
}

function listed(question, before, problem) {
  const options =
    question.kind === "yes-no"
      ? [
          ["yes", "Yes"],
          ["no", "No"],
        ]
      : question.choices.map((text, at) => [at, text]);
  const open = isOpen(question) ? "Leave open" : "Leave as it is";
  const name = newId("question");
  const described = [before?.id, problem.id].filter(Boolean).join(" ");
  return make(
    "fieldset",
    { attrs: { "aria-describedby": described } },
    make("legend", {}, theirs(question.ask)),
    before,
    make("div", { class: "options" }, ...[["", open], ...options].map(([value, text]) => option(name, value, text))),
    problem,
  );
}

function option(name, value, text) {
  const id = newId("option");
  const input = make("input", { attrs: { type: "radio", id, name, value: String(value), checked: value === "" } });
  return make("div", { class: "choice" }, input, make("label", { attrs: { for: id } }, theirs(text)));
}

function typed(question, before, problem) {
  const id = newId("answer");
  const hint =
    question.kind === "version"
      ? make("p", { class: "dim", text: "A version, such as 1.10.0", attrs: { id: newId("hint") } })
      : null;
  const described = [hint?.id, before?.id, problem.id].filter(Boolean).join(" ");
  const input = make("input", {
    attrs: {
      id,
      type: "text",
      maxlength: LONGEST,
      autocomplete: "off",
      spellcheck: "false",
      "aria-describedby": described,
    },
  });
  return make(
    "div",
    { class: "field" },
    make("label", { attrs: { for: id } }, theirs(question.ask)),
    hint,
    before,
    input,
    problem,
  );
}

function earlier({ before, before_at: when }) {
  if (before === null || before === undefined) return null;
  const told = make(
    "p",
    { class: "earlier", attrs: { id: newId("before") } },
    "Answered earlier: ",
    make("strong", {}, theirs(shown(before))),
  );
  if (when) told.append(` (${clock(when)})`);
  return told;
}

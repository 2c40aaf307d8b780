// Asking for a person's word on a port that nobody has allowed: what it is, what would be sent, how far the word goes.

import { at, call } from "./api.js";
import { make, newId, theirs } from "./dom.js";
import { SCOPES } from "./words.js";

/** The panel for one port. `done(text)` is called when the word was given, `later()` when it stays shut for now. */
export function consentPanel(place, port, { done, later }) {
  const scopes = [...port.scopes, "once"];
  const form = make("form", { class: "panel consent", attrs: { novalidate: true } });
  const problem = make("p", { class: "problem", attrs: { role: "alert" } });
  const name = newId("scope");
  const choices = scopes.map((scope, at) => choice(name, scope, at === 0));
  const chosen = () => form.querySelector("input:checked").value;
  const act = async (button, verdict) => {
    if (form.hasAttribute("aria-busy")) return;
    problem.textContent = "";
    // A button that is disabled would lose the focus.
    form.setAttribute("aria-busy", "true");
    try {
      done(await give(place, port, chosen(), verdict));
    } catch (refused) {
      problem.textContent = refused.message;
      button?.focus();
    } finally {
      form.removeAttribute("aria-busy");
    }
  };
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    act(event.submitter, event.submitter?.value === "deny" ? "deny" : "allow");
  });
  form.append(
    make("h3", { text: "May this port be opened and read?", attrs: { tabindex: "-1" } }),
    identity(port),
    promise(),
    make("fieldset", {}, make("legend", { text: "Your word is for" }), ...choices),
    problem,
    make(
      "div",
      { class: "buttons" },
      make("button", { class: "main", text: "Allow, and read it", attrs: { type: "submit", value: "allow" } }),
      make("button", { text: "Keep shut for now", attrs: { type: "button" }, on: { click: later } }),
      make("button", { text: "Never open it", attrs: { type: "submit", value: "deny" } }),
    ),
  );
  const deny = form.querySelector("button[value=deny]");
  form.addEventListener("change", () => (deny.disabled = chosen() === "once"));
  return form;
}

async function give(place, port, scope, verdict) {
  if (scope === "once") {
    await call("POST", at("places", place, "inspect"), { body: { device: port.device, named: true } });
    return "It is read this once. Nothing is remembered.";
  }
  await call("POST", at("places", place, "consent"), { body: { scope, verdict, device: port.device } });
  const [what] = SCOPES[scope];
  return verdict === "allow"
    ? `Allowed: ${what.toLowerCase()}. It is read now.`
    : `Never opened: ${what.toLowerCase()}. The word can be taken back under “Allowed and denied ports” below.`;
}

function identity(port) {
  const rows = [
    ["USB identity", port.vid_pid],
    ["Calls itself", port.product],
    ["Serial number", port.serial_number],
    ["Opened as", port.device],
  ];
  const list = make("dl", { class: "facts" });
  for (const [label, text] of rows) {
    list.append(
      make("div", {}, make("dt", { text: label }), make("dd", {}, text ? theirs(text, 120) : "does not say")),
    );
  }
  return list;
}

const PROMISES = [
  "propsoff first only listens.",
  "To find out what it is, it sends at most two lines, 32 bytes in all: a line end, and the word by which that kind " +
    "of board says what it is.",
  "Once it knows the board, it sends words that read, and no others: nothing is changed, stored, erased or restarted.",
];
const DOUBT =
  "Something that is no flight controller may take a line for an order of its own. If you do not know what this is, " +
  "keep it shut.";

function promise() {
  return make(
    "div",
    { class: "promise" },
    make("p", { text: "So far nothing was sent to it. If you allow it:" }),
    make("ol", {}, ...PROMISES.map((text) => make("li", { text }))),
    make("p", { text: DOUBT }),
  );
}

function choice(name, scope, checked) {
  const id = newId("scope");
  const [what, told] = SCOPES[scope];
  return make(
    "div",
    { class: "choice" },
    make("input", { attrs: { type: "radio", id, name, value: scope, checked } }),
    make("label", { attrs: { for: id } }, make("strong", { text: what }), make("span", { class: "dim", text: told })),
  );
}

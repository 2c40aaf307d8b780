// What states, verdicts, scopes and steps are called on the page.

export const VERDICTS = ["fail", "error", "unknown", "incomplete", "warn", "pass"];

/** The one large word of a place, by its verdict or its state. */
export const WORDS = {
  pass: "PASS",
  warn: "WARN",
  fail: "FAIL",
  unknown: "UNKNOWN",
  error: "ERROR",
  incomplete: "INCOMPLETE",
  reading: "READING",
  shut: "SHUT",
  empty: "EMPTY",
};

export const SAID = {
  pass: "Every check that applies found what it should find.",
  warn: "It can be flown as far as was checked; something should be looked at.",
  fail: "Something is wrong. Put it right before it flies.",
  unknown: "Something could not be read. That is no pass.",
  error: "A check itself broke, so not everything was examined. That is no pass.",
  incomplete: "The inspection did not reach its end. That is no pass.",
};

export const STATES = {
  empty: "nothing plugged in",
  shut: "not opened",
  reading: "is being read",
  report: "result",
};

export const SCOPES = {
  socket: [
    "This place of the bench",
    "Whatever is plugged in here is read from now on, without asking. The usual choice on a bench.",
  ],
  board: [
    "This one board",
    "Only this board, known by its USB identity and serial number, in whichever place it is plugged in.",
  ],
  kind: ["Every board of this kind", "All boards with this USB identity and this product text, in whichever place."],
  once: ["Only this once", "It is read now. Nothing is remembered: the next time you are asked again."],
};

/** The steps of a reading in their order. */
export const STEPS = ["listen", "wake", "identify", "read", "check"];
export const STEP_WORDS = {
  listen: "listening",
  wake: "saying hello",
  identify: "asking what it is",
  read: "reading its settings",
  check: "checking them",
};

/** Which step a mark of the conversation begins (`read recite`); null for a mark that begins none. */
export function stepOf(text) {
  if (text.startsWith("end: ")) return "check";
  const word = text.split(" ", 1)[0];
  if (word === "identified") return "read";
  return STEPS.includes(word) ? word : null;
}

// Making and changing elements. Whatever came from a board, a file or a person goes in as text, never as markup.

/** An element. `options`: class, text, attrs (null leaves one out), on (listeners). Children are nodes or texts. */
export function make(tag, options = {}, ...children) {
  const node = document.createElement(tag);
  if (options.class) node.className = options.class;
  if (options.text !== undefined) node.textContent = options.text;
  for (const [name, value] of Object.entries(options.attrs ?? {})) {
    if (value !== null && value !== undefined && value !== false) node.setAttribute(name, value === true ? "" : value);
  }
  for (const [name, listener] of Object.entries(options.on ?? {})) node.addEventListener(name, listener);
  node.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

/** The element of that id, which the page is certain to have. */
export function byId(id) {
  return document.getElementById(id);
}

/** Change a text only where it is another: a text that is set again would be read aloud again. */
export function say(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** Set an attribute, or take it away with null, only where that changes something. */
export function mark(node, name, value) {
  const now = node.getAttribute(name);
  if (value === null || value === undefined) {
    if (now !== null) node.removeAttribute(name);
  } else if (now !== String(value)) node.setAttribute(name, value);
}

/** Text that others wrote, kept apart from the direction of the text around it. */
export function theirs(text, limit = 400) {
  return make("bdi", { text: visible(text, limit) });
}

// Controls, formats (bidirectional ones, joiners), lone surrogates, private use, separators of lines and paragraphs,
// and blanks that are no plain blank.
const HIDDEN = /[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Zl}\p{Zp}]|(?! )\p{Zs}/gu;
const NAMED = { "\n": "\\n", "\r": "\\r", "\t": "\\t", "\x1b": "\\e" };

/** The text with everything that would not show written out, as on the terminal and on the card. */
export function visible(text, limit = Infinity) {
  const whole = String(text);
  const shown = (whole.length > limit ? whole.slice(0, limit) : whole).replace(HIDDEN, spelt);
  return whole.length > limit ? `${shown}… (${whole.length} characters)` : shown;
}

/** Whether a character would not show. */
export function isHidden(char) {
  HIDDEN.lastIndex = 0;
  return HIDDEN.test(char);
}

/** How a character that would not show is written out. A capture keeps a byte that is not UTF-8 as U+EF80..U+EFFF. */
export function spelt(char) {
  if (NAMED[char]) return NAMED[char];
  const point = char.codePointAt(0);
  if (point >= 0xef80 && point <= 0xefff) return `\\x${(point - 0xef00).toString(16).padStart(2, "0")}`;
  const digits = point.toString(16);
  if (point < 0x100) return `\\x${digits.padStart(2, "0")}`;
  return point < 0x10000 ? `\\u${digits.padStart(4, "0")}` : `\\U${digits.padStart(8, "0")}`;
}

const TIME = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" });
const DAY = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", year: "numeric" });

const SECOND = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", second: "2-digit" });

/** A time (RFC 3339) as the clock of this screen shows it, to the second where asked; with its day unless today. */
export function clock(instant, { seconds = false } = {}) {
  const at = new Date(instant);
  if (Number.isNaN(at.getTime())) return visible(instant, 40);
  const time = (seconds ? SECOND : TIME).format(at);
  return at.toDateString() === new Date().toDateString() ? time : `${DAY.format(at)}, ${time}`;
}

/** A number with its noun: `1 line`, `3 lines`. */
export function count(number, noun, plural = `${noun}s`) {
  return `${number.toLocaleString("en-GB")} ${number === 1 ? noun : plural}`;
}

let numbered = 0;

/** An id that nothing else in this page has. */
export function newId(stem) {
  numbered += 1;
  return `${stem}-${numbered}`;
}

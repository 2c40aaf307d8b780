// The strip of past results of a place, the newest on the right.

import { clock, make, visible } from "./dom.js";
import { shape } from "./shapes.js";

/** Show them in `list`; drawn again only when there is another newest one. */
export function showPast(list, past) {
  const newest = past.map((one) => one.report).join(" ");
  if (list.dataset.newest === newest) return;
  list.dataset.newest = newest;
  list.replaceChildren(...past.map(one));
}

function one({ verdict, craft, created }) {
  const who = visible(craft ?? "a board that did not say what it is", 80);
  const told = `${verdict}, ${who}, ${clock(created)}`;
  return make(
    "li",
    { class: verdict, attrs: { title: told } },
    shape(verdict),
    make("span", { class: "hidden", text: told }),
  );
}

// The list of visits. What is asked for stands in the address, so that a list can be passed on.

import { at, call } from "./api.js";
import { byId, count, say } from "./dom.js";
import { contrastSwitch } from "./look.js";
import { visitTable } from "./visits.js";

const STEP = 50;
const MOST = 1000;
const DAY_MS = 86_400_000;
const form = byId("filters");
let limit = STEP;
let asked = 0;

function wanted() {
  return new URLSearchParams([...new FormData(form)].filter(([, value]) => String(value).trim()));
}

/** The days of a person are those of this screen's clock. */
function query() {
  const asks = wanted();
  const since = asks.get("since");
  const until = asks.get("until");
  if (since) asks.set("since", new Date(`${since}T00:00`).toISOString());
  if (until) asks.set("until", new Date(new Date(`${until}T00:00`).getTime() + DAY_MS - 1).toISOString());
  asks.set("limit", String(limit));
  return asks;
}

async function show() {
  asked += 1;
  const mine = asked;
  const there = wanted().toString();
  history.replaceState(null, "", there ? `/history?${there}` : "/history");
  say(byId("found"), "Looking…");
  try {
    const { visits, from } = await call("GET", `${at("reports")}?${query()}`);
    if (mine !== asked) return;
    byId("visits").replaceChildren(...(visits.length ? [visitTable(visits, { caption: "Visits" })] : []));
    const where =
      from === "history" ? "" : " History is not kept here: these are the visits since the bench was started.";
    say(byId("found"), visits.length ? `${count(visits.length, "visit")}.${where}` : `No visit is like that.${where}`);
    const older = byId("older");
    const held = document.activeElement === older;
    older.hidden = visits.length < limit || limit >= MOST;
    if (held && older.hidden) byId("visits").querySelector("[tabindex]")?.focus();
  } catch (refused) {
    if (mine === asked) say(byId("found"), refused.message);
  }
}

contrastSwitch(byId("contrast"));
for (const [name, value] of new URLSearchParams(location.search)) {
  if (form.elements[name]) form.elements[name].value = value;
}
form.addEventListener("submit", (event) => {
  event.preventDefault();
  limit = STEP;
  show();
});
byId("all").addEventListener("click", () => {
  for (const each of form.querySelectorAll("input, select")) each.value = "";
  limit = STEP;
  show();
});
byId("older").addEventListener("click", () => {
  limit = Math.min(limit * 2, MOST);
  show();
});
show();

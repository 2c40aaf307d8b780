// What was allowed and denied, and how to take it back. Asked for only when somebody unfolds it.

import { at, call } from "./api.js";
import { byId, clock, make, say, theirs, visible } from "./dom.js";
import { SCOPES } from "./words.js";

/** Wire the list at the foot of the bench page. */
export function consentList() {
  byId("consents").addEventListener("toggle", () => byId("consents").open && load());
}

async function load() {
  const list = byId("consents-list");
  try {
    const all = await call("GET", at("consents"));
    list.replaceChildren(...all.map(row));
    say(byId("consents-said"), all.length ? "" : "Nothing was allowed or denied by hand.");
  } catch (refused) {
    say(byId("consents-said"), refused.message);
  }
}

function row(consent) {
  const what = covered(consent);
  const back = make("button", {
    text: "Take it back",
    attrs: { type: "button", "aria-label": `Take it back: ${what}` },
  });
  back.addEventListener("click", async () => {
    try {
      await call("DELETE", at("consents", consent.id));
      await load();
      say(byId("consents-said"), `Taken back: ${what}. It counts from when something is plugged in there next.`);
      byId("consents").querySelector("summary").focus();
    } catch (refused) {
      say(byId("consents-said"), refused.message);
    }
  });
  const word = consent.verdict === "allow" ? "✓ allowed" : "✖ denied";
  return make(
    "li",
    {},
    make("span", {}, make("strong", { text: word }), " ", theirs(what), ` · ${clock(consent.when)}`),
    back,
  );
}

function covered({ scope, path, vid, pid, serial_number: serial, product }) {
  const hex = (number) => Number(number).toString(16).padStart(4, "0");
  const usb =
    vid === null || vid === undefined
      ? ""
      : `${typeof vid === "number" ? hex(vid) : vid}:${typeof pid === "number" ? hex(pid) : pid}`;
  const which =
    scope === "socket" ? path : scope === "board" ? `${usb}, serial number ${serial}` : `${usb}, ${product}`;
  return visible(`${SCOPES[scope]?.[0].toLowerCase() ?? scope}: ${which}`, 200);
}

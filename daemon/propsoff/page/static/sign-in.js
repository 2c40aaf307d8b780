// Where the token is given; the browser then carries a cookie that no script can read.

import { at, call } from "./api.js";
import { byId } from "./dom.js";
import { contrastSwitch } from "./look.js";

contrastSwitch(byId("contrast"));
byId("token").focus();
byId("sign-in").addEventListener("submit", async (event) => {
  event.preventDefault();
  const problem = byId("problem");
  const token = byId("token").value.trim();
  problem.textContent = "";
  if (!token) {
    problem.textContent = "Type the token first.";
    byId("token").focus();
    return;
  }
  try {
    await call("POST", at("session"), { body: { token } });
    location.replace(next());
  } catch (refused) {
    problem.textContent = refused.status === 401 ? "That is not the token of this bench." : refused.message;
    byId("token").select();
  }
});

/** Where the person was going: a page of this bench, whatever the address says. */
function next() {
  const wanted = new URLSearchParams(location.search).get("next") ?? "/";
  const there = new URL(wanted, location.origin);
  // The whole address, not its path alone: a path that begins with two slashes names another site.
  return there.origin === location.origin && !there.pathname.startsWith("/sign-in") ? there.href : "/";
}

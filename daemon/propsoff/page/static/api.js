// Asking the bench. Every refusal comes back as a Problem whose message is for people.

const ROOT = "/api/1";

/** A refusal: `slug` is the kind of it, `errors` what is wrong with which part, `status` 0 when nobody answered. */
export class Problem extends Error {
  constructor(status, message, slug = "", errors = []) {
    super(message);
    Object.assign(this, { status, slug, errors });
  }
}

/** The answer as JSON; null for one without a body. Raises Problem. */
export async function call(method, path, { body, signal } = {}) {
  const answer = await send(method, path, body, signal);
  if (answer.status === 204) return null;
  try {
    return await answer.json();
  } catch {
    throw new Problem(answer.status, "The bench gave an answer that this page cannot read. Load the page again.");
  }
}

/** The answer as text. Raises Problem. */
export async function text(path, { signal } = {}) {
  return (await send("GET", path, undefined, signal)).text();
}

/** The address of something of the interface. */
export function at(...parts) {
  return [ROOT, ...parts.map(encodeURIComponent)].join("/");
}

async function send(method, path, body, signal) {
  let answer;
  try {
    answer = await fetch(path, {
      method,
      signal,
      credentials: "same-origin",
      headers: body === undefined ? {} : { "Content-Type": "application/json" },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Problem(0, "The bench does not answer. Nothing was changed as far as this page knows; try again.");
  }
  if (answer.status === 401 && location.pathname !== "/sign-in") signIn();
  if (!answer.ok) throw await problemOf(answer);
  return answer;
}

async function problemOf(answer) {
  try {
    const { detail, title, type, errors } = await answer.json();
    return new Problem(
      answer.status,
      detail || title || `refused (${answer.status})`,
      (type ?? "").split(":").pop(),
      errors,
    );
  } catch {
    return new Problem(answer.status, `The bench refused that (HTTP ${answer.status}).`);
  }
}

/** Go to where the token is asked for, and come back here afterwards. */
export function signIn() {
  location.assign(`/sign-in?next=${encodeURIComponent(location.pathname + location.search)}`);
}

// Asks the office over its API. Whatever goes wrong is an OfficeError that tells place, reason and mend.

import { words } from "./words.js";

const HOME = new URL("../api/v1/", document.baseURI);
const PATIENCE = 30000;
const VERSION = 1;
const JSON_MEDIA = "application/json";
const PROBLEM = "application/problem+json";
const LASTING = [400, 404, 409, 413, 422]; // asking for the same again is of no use

// Why the office did not do what was asked. `told` is {kind, status, place, reason, mend, refused}:
// `kind` is that of the API's refusals, or one of ours where no office spoke; `status` is then 0 or
// that of whatever answered. `refused` says that the office will not take this as it is.
export class OfficeError extends Error {
  constructor(told) {
    super(`${told.place}: ${told.reason} ${told.mend}`);
    this.told = told;
  }
}

// An error in our own words, of the texts below `office.trouble`.
export async function trouble(kind, status = 0, fields = {}) {
  const say = await words();
  const all = { address: HOME.origin, status, ...fields };
  const [place, reason, mend] = ["place", "reason", "mend"].map((what) => say(`office.trouble.${kind}.${what}`, all));
  return new OfficeError({ kind, status, place, reason, mend, refused: false });
}

// Returns what the office answers; `body` is sent as JSON, under the token of the log-in.
export async function ask(path, { body, token = "" } = {}) {
  const [answer, text] = await answered(path, body, token);
  const told = parsed(text);
  const media = (answer.headers.get("content-type") ?? "").split(";")[0].trim();
  if (media === PROBLEM && told?.kind) throw new OfficeError(refusal(told, answer.status));
  if (answer.status >= 500) throw await trouble("down", answer.status);
  if (answer.status === 404) throw await trouble("none", 404);
  if (media !== JSON_MEDIA) throw await trouble("not-office", answer.status);
  if (told === undefined) throw await trouble("cut-short", answer.status);
  if (!answer.ok || !told?.schema_version) throw await trouble("not-office", answer.status);
  if (told.schema_version !== VERSION) throw await trouble("other-version", answer.status);
  return told;
}

async function answered(path, body, token) {
  const headers = { Accept: JSON_MEDIA };
  if (body !== undefined) headers["Content-Type"] = JSON_MEDIA;
  if (token) headers["X-Form-Token"] = token;
  let answer;
  try {
    answer = await fetch(new URL(path, HOME), {
      method: body === undefined ? "GET" : "POST",
      body: body === undefined ? undefined : JSON.stringify(body),
      headers,
      cache: "no-store",
      credentials: "same-origin",
      redirect: "manual", // the API leads nowhere else: whatever does is not the office
      signal: AbortSignal.timeout(PATIENCE),
    });
    if (answer.type !== "opaqueredirect") return [answer, await answer.text()];
  } catch (error) {
    if (error.name === "TimeoutError") throw await trouble("slow");
    throw await trouble(navigator.onLine ? "no-answer" : "no-signal");
  }
  throw await trouble("not-office", answer.status);
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function refusal({ kind, place, reason, mend }, status) {
  return { kind, status, place, reason, mend, refused: LASTING.includes(status) };
}

// Returns what an error tells; one that is not ours is a fault, and goes on.
export function toldOf(error) {
  if (error?.told) return error.told;
  throw error;
}

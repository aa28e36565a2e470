// The office: what was kept on this phone comes together with its store, and its open cases come
// onto this phone. Nothing is marked as sent before the office has said that it is kept there.

import { ask, toldOf, trouble } from "./asking.js";
import { asideOf, isAside, putBack, setAside } from "./aside.js";
import { same } from "./records.js";

const LARGEST = 48 * 1024; // bytes of one part; the office takes 64 kB
const MOST = 200; // entries of one part
const LOCK = "faultnet-merging";

// Tells whether an office is there, who we are to it and what we may.
//
// Returns {there, name, role, may, logIn, trouble}: `may` has "see", "customer", "write" and the
// like; `logIn` is the address to log in at and come back from, or null.
export async function officeThere() {
  try {
    const { name, role, may } = await ask("who");
    return { there: true, name, role, may, logIn: null, trouble: null };
  } catch (error) {
    const told = withWayIn(toldOf(error));
    const there = told.kind === "no-log-in";
    return { there, name: null, role: null, may: [], logIn: told.logIn ?? null, trouble: told };
  }
}

// Returns the open cases, whoever has to be gone to first at the top:
// [{id, system, title, site, name, address, urgency, since, next, who, events}].
// Whoever may not see customers gets an OfficeError of the kind `may-not`.
export async function casesToTake() {
  return (await ask("board")).cases;
}

// Takes cases along with their sites; returns {taken: [id], trouble}.
export async function take(kept, ids) {
  const done = { taken: [], trouble: null };
  try {
    for (const id of ids) {
      const { site } = (await fetched(kept, id, along(id, 0))).answer;
      if (site) await fetched(kept, site, events(site, 0));
      done.taken.push(id);
    }
  } catch (error) {
    done.trouble = withWayIn(toldOf(error));
  }
  return done;
}

// Sends what the office does not have and fetches what others wrote; as often as one likes.
//
// Returns {sent, got, conflicts, aside, gone, trouble}: how many entries went and came; what people
// said or did without having seen each other's, [{log, kind, title, said: [{author, by, words, at}]}];
// the entries that the office refused, as `asideOf` does; what is still on this phone though the office
// deleted it, or took the customer's data out of it; and why it is not over, or null. With `again`
// entries that were set aside are sent once more.
export function merge(kept, { again = false } = {}) {
  return alone(async () => {
    const done = { sent: 0, got: 0, conflicts: [], aside: [], gone: [], trouble: null };
    try {
      if (kept.locked) throw await trouble("locked");
      if (again) await putBack(kept);
      await sendAll(kept, done);
      await fetchAll(kept, done);
    } catch (error) {
      done.trouble = withWayIn(toldOf(error));
    }
    if (!kept.locked) done.aside = await asideOf(kept);
    return done;
  });
}

// One tab after the other. Two at once would do no harm, only the work twice.
function alone(work) {
  return navigator.locks ? navigator.locks.request(LOCK, work) : work();
}

// To the log-in page, which leads back here.
function withWayIn(told) {
  if (told.kind !== "no-log-in") return told;
  const address = new URL("../login", document.baseURI);
  address.searchParams.set("next", location.pathname + location.search);
  return { ...told, logIn: address.href };
}

async function sendAll(kept, done) {
  const aside = await isAside(kept);
  const waiting = (await kept.unsent()).filter((entry) => !aside(entry));
  if (!waiting.length) return;
  const { may, form_token: token } = await ask("who");
  if (!may.includes("write")) throw await trouble("may-not-write");
  for (const part of parts(waiting)) await send(kept, part, token, done);
}

// Yields entries in parts that the office takes.
function* parts(entries) {
  let part = [];
  let bytes = 0;
  for (const entry of entries) {
    const size = new TextEncoder().encode(JSON.stringify(entry)).length + 1;
    if (part.length && (part.length === MOST || bytes + size > LARGEST)) {
      yield part;
      part = [];
      bytes = 0;
    }
    part.push(entry);
    bytes += size;
  }
  yield part;
}

// Sends a part; where the office refuses it, each half by itself, down to the entry at fault.
async function send(kept, part, token, done) {
  let answer;
  try {
    answer = await ask("events", { body: { entries: part }, token });
  } catch (error) {
    if (!toldOf(error).refused) throw error;
    if (part.length === 1) {
      await setAside(kept, part[0], toldOf(error));
      return;
    }
    const half = part.length >> 1;
    await send(kept, part.slice(0, half), token, done);
    await send(kept, part.slice(half), token, done);
    return;
  }
  await kept.markSent(part.map(({ id }) => id));
  done.sent += answer.new.length;
}

// Fetches what others wrote to the cases and sites on this phone, each from where we were. What is
// wrong with one of them holds up none of the others.
async function fetchAll(kept, done) {
  const logs = await kept.logs();
  const cursors = new Map(logs.map(({ id, cursor }) => [id, cursor ?? 0]));
  const cases = logs.filter(({ kind }) => kind === "case").map(({ id }) => id);
  const sites = new Set(logs.filter(({ kind }) => kind === "site").map(({ id }) => id));
  const fetchOne = async (id, path) => {
    try {
      const { answer, got } = await fetched(kept, id, path);
      done.got += got;
      return answer;
    } catch (error) {
      const told = toldOf(error);
      if (!told.refused) throw error;
      if (told.kind !== "no-such-case") done.trouble ??= told;
      else if (cursors.get(id)) done.gone.push(id);
      return null;
    }
  };
  for (const id of cases) {
    const answer = await fetchOne(id, along(id, cursors.get(id)));
    if (answer?.site) sites.add(answer.site);
    for (const each of answer?.unsettled ?? []) done.conflicts.push({ log: id, ...each });
    if (answer?.purged && await isPurgedElsewhere(kept, id)) done.gone.push(id);
  }
  for (const id of sites) await fetchOne(id, events(id, cursors.get(id) ?? 0));
}

// Whether this phone still has of a case what was taken out of it at the office.
async function isPurgedElsewhere(kept, id) {
  const there = new Map((await ask(events(id, 0))).entries.map((entry) => [entry.id, entry]));
  return (await kept.entries(id)).some((entry) => there.has(entry.id) && !same(entry, there.get(entry.id)));
}

function along(id, since) {
  return `cases/${encodeURIComponent(id)}/along?since=${since}`;
}

function events(id, since) {
  return `events?log=${encodeURIComponent(id)}&since=${since}`;
}

// Asks for entries and keeps those that are new here, in the order in which they came.
async function fetched(kept, log, path) {
  const answer = await ask(path);
  const known = new Set((await kept.entries(log)).map(({ id }) => id));
  const fresh = answer.entries.filter(({ id }) => !known.has(id));
  if (fresh.length) await kept.add(fresh, { sent: true });
  await kept.setCursor(log, answer.cursor);
  return { answer, got: fresh.length };
}

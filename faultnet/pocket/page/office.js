// The office: what was kept on this phone comes together with its store, and its open cases come
// onto this phone. Nothing is marked as sent before the office has said that it is kept there.

import { ask, toldOf, trouble } from "./asking.js";
import { asideOf, isAside, putBack, setAside } from "./aside.js";
import { same } from "./records.js";
import { setUnsettled, unsettledOf } from "./unsettled.js";

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
      await fetchCase(kept, id);
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
      await sendAll(kept, await token(), done);
      await fetchAll(kept, done);
    } catch (error) {
      done.trouble = withWayIn(toldOf(error));
    }
    if (kept.locked) return done;
    return { ...done, aside: await asideOf(kept), conflicts: await unsettledOf(kept) };
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

// Returns what our changes carry; whoever may not write or see customers has nothing to do here.
async function token() {
  const { may, form_token: carried } = await ask("who");
  if (!may.includes("write") || !may.includes("customer")) throw await trouble("may-not-write");
  return carried;
}

async function sendAll(kept, carried, done) {
  const aside = await isAside(kept);
  const waiting = (await kept.unsent()).filter((entry) => !aside(entry));
  if (waiting.length) for (const part of parts(waiting)) await send(kept, part, carried, done);
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
async function send(kept, part, carried, done) {
  let answer;
  try {
    answer = await ask("events", { body: { entries: part }, token: carried });
  } catch (error) {
    if (!toldOf(error).refused) throw error;
    if (part.length === 1) {
      await setAside(kept, part[0], toldOf(error));
      return;
    }
    const half = part.length >> 1;
    await send(kept, part.slice(0, half), carried, done);
    await send(kept, part.slice(half), carried, done);
    return;
  }
  await kept.markSent(part.map(({ id }) => id));
  done.sent += answer.new.length;
}

// Fetches what others wrote to the cases and sites on this phone, each from where we were. What is
// wrong with one of them holds up none of the others.
async function fetchAll(kept, done) {
  const logs = await kept.logs();
  if (!logs.length) return;
  const cursors = new Map(logs.map(({ id, cursor }) => [id, cursor ?? 0]));
  const { logs: there } = await ask(`reached?logs=${[...cursors.keys()].map(encodeURIComponent).join()}`);
  const reached = new Map(there.map((each) => [each.id, each]));
  for (const [id, cursor] of cursors) {
    if (cursor && !reached.has(id)) done.gone.push(id);
    else if (reached.get(id)?.purged && await isPurgedElsewhere(kept, id)) done.gone.push(id);
  }
  const isNew = ({ id }) => (reached.get(id)?.cursor ?? 0) > cursors.get(id);
  for (const { id, kind } of logs.filter(isNew)) {
    const work = kind === "site" ? fetched(kept, id, events(id, cursors.get(id))) : fetchCase(kept, id);
    try {
      done.got += await work;
    } catch (error) {
      if (!toldOf(error).refused) throw error;
      done.trouble ??= toldOf(error);
    }
  }
}

// Fetches what is new of a case, and its site where that is not here yet; returns how much came.
async function fetchCase(kept, id) {
  const logs = new Map((await kept.logs()).map((log) => [log.id, log]));
  const answer = await ask(`cases/${encodeURIComponent(id)}/along?since=${logs.get(id)?.cursor ?? 0}`);
  const came = answer.site && !logs.has(answer.site) ? await fetched(kept, answer.site, events(answer.site, 0)) : 0;
  await setUnsettled(kept, id, answer.unsettled);
  return came + await takeIn(kept, id, answer);
}

// Whether this phone still has of a case what was taken out of it at the office.
async function isPurgedElsewhere(kept, id) {
  const there = new Map((await ask(events(id, 0))).entries.map((entry) => [entry.id, entry]));
  return (await kept.entries(id)).some((entry) => there.has(entry.id) && !same(entry, there.get(entry.id)));
}

function events(id, since) {
  return `events?log=${encodeURIComponent(id)}&since=${since}`;
}

async function fetched(kept, log, path) {
  return takeIn(kept, log, await ask(path));
}

// Keeps the entries that are new here, in the order in which they came; returns how many.
async function takeIn(kept, log, { entries, cursor }) {
  const known = new Set((await kept.entries(log)).map(({ id }) => id));
  const fresh = entries.filter(({ id }) => !known.has(id));
  if (fresh.length) await kept.add(fresh, { sent: true });
  await kept.setCursor(log, cursor);
  return fresh.length;
}

// Records of what is kept. In the clear they have what finds them without opening them, no more:
// {place, id, log, unsent?, body}; `body` is {text}, or {iv, data} where it is sealed.

import { asked } from "./homes.js";
import { Trouble } from "./told.js";

/** Return entries by their id; raises `Trouble` where one has no id or log, or two contents. */
export function whole(entries) {
  const found = new Map();
  for (const [number, entry] of entries.entries()) {
    if (!isName(entry?.id) || !isName(entry.log)) {
      throw new Trouble("shape", { number: number + 1, of: entries.length });
    }
    if (!same(found.get(entry.id) ?? entry, entry)) throw new Trouble("doubled", { id: entry.id });
    found.set(entry.id, entry);
  }
  return found;
}

/** Whether two values are the same JSON, in whatever order their fields stand. */
export const same = (a, b) => written(a) === written(b);

/** Return a name that nobody else makes. */
export const newName = () =>
  [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** Return "site" or "case", by the id of a log. */
export const kindOf = (log) => (log.startsWith("site-") ? "site" : "case");

/** Return the rows of these ids that there are. */
export async function byIds(store, ids) {
  const index = store.index("id");
  return (await Promise.all([...ids].map((id) => asked(index.get(id))))).filter(Boolean);
}

/** Note that the office has the entries of these ids. */
export async function noteSent(store, ids) {
  const rows = (await byIds(store, ids)).filter((row) => row.unsent);
  await Promise.all(rows.map(({ unsent, ...row }) => asked(store.put(row))));
}

/** Note something about a log. */
export async function noted(store, id, what) {
  await asked(store.put({ ...(await asked(store.get(id))), ...what, id }));
}

const isName = (value) => typeof value === "string" && value !== "";

function written(value) {
  return JSON.stringify(value, (_, each) => {
    if (!each || typeof each !== "object" || Array.isArray(each)) return each;
    return Object.fromEntries(Object.entries(each).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}

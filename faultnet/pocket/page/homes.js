// Where what is kept lives. A home is one database; there is one, but while it moves there are two.
//
// Where the browser has storage buckets each home is a bucket of its own: a bucket that is deleted
// takes its files along, while a deleted database leaves remains in them.
//
// A home of an earlier start is read and never written on. A kill may leave half a record at the end
// of Chromium's log (LevelDB); the next start reads past it, writes on behind it, and the start after
// that finds the log damaged and throws all of it away. So each start moves to a new home first.

import { Trouble } from "./told.js";

const NAME = /^kept-([1-9][0-9]{0,8})$/;

/** Forms of the database, one step each; steps that were released never change. */
export const STEPS = [
  (db) => {
    const entries = db.createObjectStore("entries", { keyPath: "place", autoIncrement: true });
    entries.createIndex("id", "id", { unique: true });
    entries.createIndex("log", "log");
    entries.createIndex("unsent", "unsent"); // only what is unsent has the field
    db.createObjectStore("logs", { keyPath: "id" });
    db.createObjectStore("settings", { keyPath: "id" });
    db.createObjectStore("state");
  },
];

// A bucket that nobody holds is collected, and then the databases that were opened through it never
// answer again (Chromium): each database holds its own. Another hold of the same name does not help.
const held = new WeakMap();

/** Return the result of a request. */
export const asked = (request) => new Promise((yes, no) => {
  request.onsuccess = () => yes(request.result);
  request.onerror = () => no(request.error);
});

/** Return once a transaction is complete: on the disk, where it is a strict one. */
export const completed = (transaction) => new Promise((yes, no) => {
  transaction.oncomplete = () => yes();
  transaction.onabort = () => no(transaction.error ?? new DOMException("", "AbortError"));
});

/** Return a transaction that is complete only once the disk has it. */
export const writing = (db, stores) => db.transaction(stores, "readwrite", { durability: "strict" });

const nameOf = ({ number }) => `kept-${number}`;

/** Return the homes that there are, the newest first. */
export async function homes() {
  if (!globalThis.indexedDB) throw new Trouble("none", { detail: "IndexedDB" });
  const buckets = (await navigator.storageBuckets?.keys()) ?? [];
  const databases = (await indexedDB.databases?.()) ?? [{ name: "kept-1" }];
  const found = [...buckets.map((name) => [name, true]), ...databases.map(({ name }) => [name, false])]
    .map(([name, bucket]) => ({ number: Number(NAME.exec(name)?.[1] ?? 0), bucket }));
  return found.filter(({ number }) => number).sort((a, b) => b.number - a.number);
}

/** Return where a home of this number is made. */
export const newHome = (number) => ({ number, bucket: Boolean(navigator.storageBuckets) });

/** Open a home; it is made where there is none. */
export async function openHome(home) {
  const bucket = home.bucket ? await bucketOf(home) : null;
  const request = (bucket?.indexedDB ?? indexedDB).open(nameOf(home), STEPS.length);
  const db = await new Promise((yes, no) => {
    let over = false;
    request.onupgradeneeded = (event) => {
      request.result.lost = event.dataLoss === "total"; // Chromium found its files damaged, and began anew
      for (const step of STEPS.slice(event.oldVersion)) step(request.result, request.transaction);
    };
    request.onblocked = () => { over = true; no(new Trouble("blocked")); };
    request.onerror = () => no(request.error);
    request.onsuccess = () => (over ? request.result.close() : yes(request.result));
  });
  held.set(db, bucket);
  return db;
}

/** Delete a home; say whether its files went along. */
export async function deleteHome(home) {
  if (home.bucket) {
    await navigator.storageBuckets.delete(nameOf(home));
    return true;
  }
  const request = indexedDB.deleteDatabase(nameOf(home));
  await new Promise((yes, no) => {
    request.onblocked = () => no(new Trouble("blocked"));
    request.onerror = () => no(request.error);
    request.onsuccess = () => yes();
  });
  return false;
}

/** Ask the browser not to clear a home away by itself; say whether it promised. */
export async function madeLasting(home) {
  try {
    return await (home.bucket ? await bucketOf(home) : navigator.storage).persist();
  } catch {
    return false;
  }
}

const bucketOf = (home) => navigator.storageBuckets.open(nameOf(home), { durability: "strict", persisted: true });

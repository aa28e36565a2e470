// What this phone keeps: events, each once, on the disk before anything says so.

import { asked, madeLasting } from "./homes.js";
import { AGAIN, Home } from "./home.js";
import { AWAY, Lock, lockWhenAway, recordOf, whyNoLock } from "./lock.js";
import { byIds, kindOf, noteSent, noted, same, whole } from "./records.js";
import { Trouble, text } from "./told.js";

const CHANNEL = "faultnet-kept";
const DAY = 86_400_000;

/** Open what this phone keeps; raises `Trouble` where it keeps nothing. */
export async function openKept() {
  const kept = new Kept();
  await kept.open();
  return kept;
}

class Kept {
  #home = new Home(({ told }) => this.#tell({ what: "lost", told }));
  #lock = new Lock(this.#home);
  #damaged = new Map();
  #hearers = new Set();
  #channel = null;

  /** Whether the browser said that it will not clear this away by itself. */
  lasting = false;

  /** Open it, ask the browser not to clear it away, and tidy up after a crash. */
  async open() {
    this.#channel = globalThis.BroadcastChannel ? new BroadcastChannel(CHANNEL) : null;
    this.#channel?.addEventListener("message", ({ data }) => this.#heard(data));
    try {
      await this.#home.steady(() => null);
    } catch (error) {
      const code = { failed: "none", deleted: "evicted" }[error.code];
      throw code ? new Trouble(code, error.given, error) : error;
    }
    await this.#home.renew();
    this.#home.steady(({ home }) => madeLasting(home)).then((lasting) => { this.lasting = lasting; }); // it may ask
    lockWhenAway(() => this.lock(), () => this.#minutesAway());
    await this.#home.tidy();
  }

  /** Close it; what was begun is finished by the browser. */
  close() {
    this.#home.close();
    this.#channel?.close();
    this.#channel = null;
  }

  /** Have `hearer` told of {what, logs?}. By another tab: entries, sent, forgotten, setting, words,
   * wiped. By any: locked, damaged. By the browser: lost ({told}). Returns a call that ends it. */
  onChange(hearer) {
    this.#hearers.add(hearer);
    return () => this.#hearers.delete(hearer);
  }

  /** Keep entries; resolves when the disk has them. All of them are kept, or none. */
  async add(entries, { sent = false } = {}) {
    const given = whole(entries);
    const added = await this.#home.still((at) => this.#adding(at, given, sent));
    if (added.length) this.#say({ what: "entries", logs: [...new Set(added.map(({ log }) => log))] });
    return { added: added.length };
  }

  async #adding(at, given, sent) {
    const rows = await this.#home.within(at, ["entries"], false, (store) => byIds(store("entries"), given.keys()));
    for (const row of rows) {
      const entry = await this.#entry(at, row);
      if (entry && !same(entry, given.get(row.id))) throw new Trouble("doubled", { id: row.id });
    }
    const old = new Set(rows.map(({ id }) => id));
    const fresh = [...given.values()].filter(({ id }) => !old.has(id));
    const made = await Promise.all(fresh.map((entry) => this.#row(at, entry, sent)));
    await this.#home.within(at, ["entries", "logs"], true, async (store) => {
      if ((await byIds(store("entries"), made.map(({ id }) => id))).length) throw AGAIN; // another tab kept it
      for (const row of made) store("entries").add(row);
      if (sent) await noteSent(store("entries"), old);
      for (const log of new Set(made.map((row) => row.log))) {
        await noted(store("logs"), log, { touched: new Date().toISOString() });
      }
    });
    return made;
  }

  /** Return the entries of a case or site, in the order in which they were kept. */
  async entries(log) {
    return this.#read((store) => asked(store("entries").index("log").getAll(log)));
  }

  /** Return the entries that the office does not have, in the order in which they were kept. */
  async unsent() {
    return this.#read(async (store) => {
      const rows = await asked(store("entries").index("unsent").getAll());
      return rows.sort((a, b) => a.place - b.place);
    });
  }

  /** Return each case and site: {id, kind, cursor, unsent, entries, touched}; it needs no words. */
  async logs() {
    return this.#home.reading(["entries", "logs"], async (store) => {
      const found = [];
      for (const { id, cursor = 0, touched } of await asked(store("logs").getAll())) {
        const entries = await asked(store("entries").index("log").count(id));
        const unsent = await asked(store("entries").index("unsent").count(id));
        found.push({ id, kind: kindOf(id), cursor, unsent, entries, touched });
      }
      return found;
    });
  }

  /** Note that the office has these entries. */
  async markSent(ids) {
    await this.#home.writing(["entries"], (store) => noteSent(store("entries"), ids));
    this.#say({ what: "sent" });
  }

  /** Note how far the office's events of a case or site were read. */
  async setCursor(log, cursor) {
    await this.#home.writing(["logs"], (store) => noted(store("logs"), log, { cursor }));
  }

  /** Return what may be cleared away: all sent, and over (ids in `over`) or untouched for a day. */
  async clearable({ over = [], now = Date.now() } = {}) {
    const logs = await this.logs();
    const may = (log, because) => !log.unsent && (because || now - Date.parse(log.touched) > DAY);
    const cases = logs.filter(({ kind }) => kind === "case");
    const gone = cases.filter((log) => may(log, over.includes(log.id)));
    const none = gone.length === cases.length;
    const sites = logs.filter((log) => log.kind === "site" && may(log, none));
    return [...gone, ...sites].map(({ id }) => ({ id, why: over.includes(id) ? "over" : "old" }));
  }

  /** Clear cases or sites away; what is unsent only where `unsent` says so. */
  async forget(logs, { unsent = false } = {}) {
    const names = [logs].flat();
    await this.#home.writing(["entries", "logs"], async (store) => {
      for (const log of names) {
        const number = await asked(store("entries").index("unsent").count(log));
        if (number && !unsent) throw new Trouble("unsent", { log, number });
        for (const place of await asked(store("entries").index("log").getAllKeys(log))) {
          store("entries").delete(place);
          this.#damaged.delete(place);
        }
        store("logs").delete(log);
      }
    });
    if (!whyNoLock()) await this.#home.move({}, (_, row) => row); // the files of the old home go
    this.#say({ what: "forgotten", logs: names });
  }

  /** Look at all records and return those that cannot be read: [{id, log, reason}]. */
  async damaged() {
    await this.#read((store) => asked(store("entries").getAll()));
    return [...this.#damaged.values()];
  }

  /** Return a setting, or undefined. */
  async setting(name) {
    return this.#home.steady(async (at) => {
      const row = await this.#home.within(at, ["settings"], false, (store) => asked(store("settings").get(name)));
      return row && JSON.parse(await this.#lock.opened(at.state, recordOf("settings", name), row.body));
    });
  }

  /** Keep a setting; an `open` one can be read while locked. */
  async setSetting(name, value, { open = false } = {}) {
    await this.#home.still(async (at) => {
      const record = recordOf("settings", name);
      const plain = JSON.stringify(value);
      const body = open ? { text: plain } : await this.#lock.sealed(at.state, record, plain);
      await this.#home.within(at, ["settings"], true, (store) => asked(store("settings").put({ id: name, open, body })));
    });
    this.#say({ what: "setting", name });
  }

  /** Delete all that is kept, settings and lock too; the page itself where `page` says so.
   *
   * Returns {files}: whether the files went along. Where not, remains lie in them for a while.
   */
  async wipe({ page = false } = {}) {
    this.#lock.lock();
    this.#damaged.clear();
    const files = await this.#home.clear();
    globalThis.sessionStorage?.clear();
    if (page) await forgetPage();
    this.#say({ what: "wiped" });
    return { files };
  }

  get hasWords() { return this.#lock.set; }
  get locked() { return this.#lock.locked; }

  /** Why no lock can be offered here, or an empty text. */
  get whyNoLock() { return whyNoLock(); }

  /** Open the lock of this tab; wrong words are told, and to be waited for. */
  async unlock(words) { await this.#lock.unlock(words); }

  /** Lock, in all tabs. */
  lock() {
    if (!this.hasWords) return;
    this.#lock.lock();
    this.#say({ what: "locked" });
    this.#tell({ what: "locked" });
  }

  /** Set words, change them, or take them away (null); where there are words, they are asked for. */
  async setWords(words, present = "") {
    await this.#lock.change(words, present);
    this.#say({ what: "words" });
  }

  async #read(finding) {
    return this.#home.steady(async (at) => {
      this.#lock.keyFor(at.state);
      const rows = await this.#home.within(at, ["entries"], false, finding);
      const entries = await Promise.all(rows.map((row) => this.#entry(at, row)));
      return entries.filter(Boolean);
    });
  }

  async #entry(at, row) {
    let reason = "damaged-sealed";
    try {
      const plain = await this.#lock.opened(at.state, recordOf("entries", row.id), row.body);
      reason = "damaged-read";
      const entry = JSON.parse(plain);
      reason = "damaged-other";
      if (entry.id === row.id && entry.log === row.log) return entry;
    } catch (error) {
      if (error instanceof Trouble) throw error;
    }
    const known = this.#damaged.has(row.place);
    this.#damaged.set(row.place, { id: row.id, log: row.log, reason: text(reason) });
    if (!known) this.#tell({ what: "damaged", logs: [row.log] });
    return null;
  }

  async #row(at, entry, sent) {
    const body = await this.#lock.sealed(at.state, recordOf("entries", entry.id), JSON.stringify(entry));
    const row = { id: entry.id, log: entry.log, body };
    return sent ? row : { ...row, unsent: entry.log };
  }

  #say(message) { this.#channel?.postMessage(message); }
  #tell(message) { for (const hearer of this.#hearers) hearer(message); }

  async #heard(message) {
    if (message.what === "locked" || message.what === "wiped") this.#lock.lock();
    if (["wiped", "words", "forgotten"].includes(message.what)) {
      this.#home.leave({ forGood: message.what === "wiped" });
      await this.#home.steady(() => null).catch(() => {}); // the next call tells
    }
    this.#tell(message);
  }

  async #minutesAway() { return (await this.setting("lock-after").catch(() => undefined)) ?? AWAY; }
}

async function forgetPage() {
  for (const name of (await globalThis.caches?.keys()) ?? []) await caches.delete(name);
  for (const each of (await navigator.serviceWorker?.getRegistrations()) ?? []) await each.unregister();
}

// The home that is open: work in it, whole or not at all; a move to a new one; a wipe.

import { asked, completed, deleteHome, homes, newHome, openHome, writing } from "./homes.js";
import { newName } from "./records.js";
import { Trouble } from "./told.js";

const LOCK = "faultnet-kept";
const OPEN = "faultnet-open"; // held by each tab that has it open
const TRIES = 5;
const STORES = ["entries", "settings", "logs"];

/** Thrown by work that found things changed: it is done again. */
export const AGAIN = new Error("what is kept has changed meanwhile");

export class Home {
  #at = null; // {db, home, state}
  #opening = null;
  #line = witness(); // the same in all homes that follow one another
  #lost;
  #end = () => {};

  /** `lost` is called with what is told when the browser closed what is kept, and it is gone. */
  constructor(lost) { this.#lost = lost; }

  /** What is known of the whole: {lock, ...}, as it was last read. */
  get state() { return this.#at?.state ?? null; }

  /** Do something with the home that there is; where it moved or was closed, once more. */
  steady(work) { return repeated(async () => work(await this.#here()), () => this.leave()); }

  /** Do something in one transaction of an open home; it is complete, or nothing was done. */
  async within(at, stores, write, work) {
    const names = ["state", ...stores];
    const transaction = write ? writing(at.db, names) : at.db.transaction(names);
    const done = completed(transaction);
    done.catch(() => {}); // it is awaited below, or the first error is told
    try {
      const state = await asked(transaction.objectStore("state").get("state"));
      if (!state?.whole || state.moved || state.made !== at.state.made) throw AGAIN;
      at.state = state;
      const result = await work((name) => transaction.objectStore(name), state);
      await done;
      return result;
    } catch (error) {
      try { transaction.abort(); } catch { /* it is over already */ }
      throw transaction.error ?? error;
    }
  }

  /** Read in one transaction. */
  reading(stores, work) { return this.steady((at) => this.within(at, stores, false, work)); }

  /** Write in one transaction, while nothing moves. */
  writing(stores, work) { return this.still((at) => this.within(at, stores, true, work)); }

  /** Do something with the home while nothing moves. */
  still(work) { return still(() => this.steady(work)); }

  /** Have all go to a new home with a state changed by `change`, its rows made anew by `anew`.
   *
   * One transaction writes the new home. A crash before it changes nothing, one after it leaves
   * an old home, which is cleared away when the page is opened next.
   */
  async move(change, anew) {
    await alone(() => this.steady(async (at) => {
      const [tries, ...rows] = await this.within(at, STORES, false, (store) => Promise.all(
        [asked(store("state").get("tries")), ...STORES.map((name) => asked(store(name).getAll()))]));
      const content = {};
      for (const [n, name] of STORES.entries()) {
        content[name] = await Promise.all(rows[n].map((row) => anew(name, row)));
      }
      await filled(await nextHome(), content, { state: { ...at.state, ...change, made: newName() }, tries });
      const mark = (store, state) => asked(store("state").put({ ...state, moved: true }, "state"));
      await this.within(at, [], true, mark).catch(() => {}); // the newest whole home counts anyway
      this.leave();
      await deleteHome(at.home).catch(() => {});
    }));
    await this.steady(() => null);
  }

  /** Move to a new home before anything is written, unless another tab has it open by now. */
  async renew() {
    if (!navigator.locks) return;
    await navigator.locks.request(OPEN, { ifAvailable: true }, async (held) => {
      const { home, state } = await this.steady((at) => at);
      if (!held || !home.bucket || state.begun) return;
      await this.move({}, (_, row) => row).catch((error) => {
        if (error.code !== "full") throw error; // what is there can be read and sent all the same
      });
    });
    navigator.locks.request(OPEN, { mode: "shared" }, () => new Promise((end) => { this.#end = end; }));
  }

  /** Close it for good. */
  close() {
    this.leave();
    this.#end();
  }

  /** Clear away homes that a crash left behind, unless another tab is at it.
   *
   * Only what moved on to the home that is open, or has nothing in it, is cleared away.
   */
  async tidy() {
    await navigator.locks?.request(LOCK, { ifAvailable: true }, async (held) => {
      if (!held) return;
      const { home, state } = await this.steady((at) => at);
      for (const other of await homes()) {
        if (other.number === home.number) continue;
        const left = await lookedAt(other);
        left.db?.close();
        const after = left.error ? other.number < home.number : left.state?.moved || left.state?.line === state.line;
        if (after || left.entries === 0) await deleteHome(other);
      }
    });
  }

  /** Delete all homes; say whether their files went along. */
  async clear() {
    return alone(async () => {
      this.leave({ forGood: true });
      const gone = [];
      for (const home of await homes()) gone.push(await deleteHome(home));
      return gone.every(Boolean);
    });
  }

  /** Close it; it is opened again when it is needed. With `forGood`, its end is no surprise. */
  leave({ forGood = false } = {}) {
    this.#at?.db.close();
    this.#at = null;
    if (forGood) this.#line = witness(null);
  }

  async #here() {
    if (this.#at) return this.#at;
    this.#opening ??= this.#opened().finally(() => { this.#opening = null; });
    return this.#opening;
  }

  async #opened() {
    const at = await currentHome();
    const gone = this.#isGone(at);
    const closed = () => {
      at.db.close();
      if (this.#at === at) this.#at = null;
    };
    at.db.onversionchange = closed;
    at.db.onclose = () => {
      closed();
      this.#look().catch(this.#lost);
    };
    this.#at = at;
    witness(at.state.line);
    this.#line = at.state.line;
    at.db.lost = false;
    if (gone) throw new Trouble("deleted"); // told once: what is on the screen can be kept again
    return at;
  }

  // Looks why it was closed: it may only have moved. The next work that is done is told as well.
  async #look() {
    const at = await still(() => repeated(currentHome));
    at.db.close();
    if (this.#isGone(at)) throw new Trouble("deleted");
  }

  #isGone({ db, state }) { return db.lost || (this.#line !== null && this.#line !== state.line); }
}

// What was kept here last, noted where it may stay when the browser clears a bucket away by itself.
function witness(line = undefined) {
  try {
    if (line === null) localStorage.removeItem(LOCK);
    else if (line) localStorage.setItem(LOCK, line);
    return localStorage.getItem(LOCK);
  } catch {
    return null; // a browser may keep no notes: then it is seen while the page is open only
  }
}

const still = (work) => (navigator.locks ? navigator.locks.request(LOCK, { mode: "shared" }, work) : work());
const alone = (work) => (navigator.locks ? navigator.locks.request(LOCK, work) : work());

async function repeated(work, between = () => {}) {
  for (let left = TRIES; ; left -= 1) {
    try {
      return await work();
    } catch (error) {
      const told = troubleOf(error);
      if (told.code !== "failed" || !left) throw told;
      between();
    }
  }
}

async function currentHome() {
  const looked = [];
  for (const home of await homes()) looked.push(await lookedAt(home));
  let kept = looked.find(({ state }) => state?.whole && !state.moved);
  const broken = looked.find(({ error }) => error); // a move that was killed may leave such a one
  if (!kept && broken) throw broken.error;
  kept ??= looked.find(({ entries }) => entries) // its state was lost, or the home that it moved to
    ?? looked[0]
    ?? await lookedAt(newHome(1));
  if (kept.error) throw kept.error;
  for (const { db } of looked) if (db !== kept.db) db?.close();
  return { db: kept.db, home: kept.home, state: await begun(kept.db) };
}

async function lookedAt(home) {
  try {
    const db = await openHome(home);
    const transaction = db.transaction(["state", "entries"]);
    const [state, entries] = await Promise.all([
      asked(transaction.objectStore("state").get("state")), asked(transaction.objectStore("entries").count())]);
    return { db, home, state, entries };
  } catch (error) {
    if (troubleOf(error).code !== "failed") throw error;
    return { home, error };
  }
}

async function begun(db) {
  const transaction = writing(db, "state");
  const done = completed(transaction);
  const store = transaction.objectStore("state");
  const before = await asked(store.get("state")); // another tab may have begun it
  const right = before?.whole && !before.moved;
  const state = right ? before : { made: newName(), line: newName(), lock: null, ...before, whole: true, moved: false };
  if (!right) store.put(state, "state");
  await done;
  return { ...state, begun: !before };
}

async function nextHome() {
  const numbers = (await homes()).map(({ number }) => number);
  return openHome(newHome(Math.max(...numbers) + 1));
}

async function filled(db, content, states) {
  const transaction = writing(db, ["state", ...STORES]);
  const done = completed(transaction);
  try {
    for (const name of STORES) for (const row of content[name]) transaction.objectStore(name).put(row);
    for (const [name, state] of Object.entries(states)) if (state) transaction.objectStore("state").put(state, name);
  } catch (error) {
    transaction.abort(); // else the part that was put would stay
    done.catch(() => {});
    throw error;
  } finally {
    db.close(); // once the transaction is over
  }
  await done;
}

const CODES = { QuotaExceededError: "full", VersionError: "newer" };

function troubleOf(error) {
  if (error instanceof Trouble) return error;
  const detail = error?.name ? `${error.name} ${error.message ?? ""}`.trim() : String(error);
  return new Trouble(CODES[error?.name] ?? "failed", { detail }, error);
}

// The lock: words that are set, changed, taken away; tries that are counted; time away.

import { asked } from "./homes.js";
import { AGAIN } from "./home.js";
import * as sealing from "./sealing.js";
import { Trouble, text } from "./told.js";

const later = (seconds) => Date.now() + 1000 * seconds;

/** Letters that words have at least: OWASP, Authentication Cheat Sheet, asks for 8. */
const LEAST = 8;

/** Minutes away after which the phone locks, unless told otherwise; judgement. */
export const AWAY = 15;

/** Wrong tries without a delay, and the longest delay in seconds; judgement. */
const FREE_TRIES = 3;
const LONGEST_WAIT = 900;

/** Return why there is no lock here, or an empty text. */
export function whyNoLock() {
  if (!globalThis.isSecureContext || !globalThis.crypto?.subtle) return "Web Crypto";
  if (!navigator.locks) return "Web Locks";
  return indexedDB.databases ? "" : "indexedDB.databases";
}

/** Return what must be read before words are set. */
export const beforeWords = () => text("before-words");

/** Seconds to wait after so many wrong tries. */
const waitAfter = (tries) =>
  (tries < FREE_TRIES ? 0 : Math.min(2 ** (tries - FREE_TRIES + 1), LONGEST_WAIT));

/** Call `lock` when the page was out of sight for as many minutes as `minutes()` says. */
export function lockWhenAway(lock, minutes) {
  let since = Infinity;
  let timer = 0;
  document.addEventListener("visibilitychange", async () => {
    clearTimeout(timer);
    const { hidden } = document;
    const away = Date.now() - since;
    since = hidden ? Date.now() : Infinity;
    const longest = 60_000 * (await minutes());
    if (hidden) timer = setTimeout(lock, longest); // a browser may hold it back: then the next look locks
    else if (away >= longest) lock();
  });
}

export class Lock {
  #home;
  #key = null; // {id, key} of the data while the lock is open

  constructor(home) { this.#home = home; }

  /** Whether there are words. */
  get set() { return Boolean(this.#home.state?.lock); }

  /** Whether they are wanted now. */
  get locked() { return this.set && this.#home.state.lock.id !== this.#key?.id; }

  /** Forget the key. */
  lock() { this.#key = null; }

  /** Return the key that new records are sealed with, or null without words; locked is told. */
  keyFor({ lock: there }) {
    if (!there) return null;
    if (there.id !== this.#key?.id) throw new Trouble("locked");
    return this.#key.key;
  }

  /** Return the text of a record; plain ones need no key. */
  async opened(state, record, body) {
    return sealing.unsealed("text" in body ? null : this.keyFor(state), record, body);
  }

  /** Return a text as the body of a record. */
  async sealed(state, record, plain) { return sealing.sealed(this.keyFor(state), record, plain); }

  /** Open the lock. */
  async unlock(words) {
    const state = await this.#home.reading([], (_, now) => now);
    if (!state.lock) return;
    await this.#try(async () => {
      this.#key = { id: state.lock.id, key: await sealing.keyFrom(state.lock, words) };
    });
  }

  /** Set words, change them or, with null, take them away. */
  async change(words, present) {
    if (words !== null) checkWords(words);
    const state = await this.#home.reading([], (_, now) => now);
    if (!state.lock && words === null) return;
    if (state.lock && !present) throw new Trouble("words-needed");
    if (state.lock && words !== null) await this.#rewrapped(state.lock, present, words);
    else {
      if (state.lock) await this.unlock(present);
      await this.#resealed(words === null ? { lock: null, key: null } : await sealing.newLock(words));
    }
  }

  async #rewrapped(old, present, words) {
    let made = null;
    await this.#try(async () => { made = await sealing.changedLock(old, present, words); });
    await this.#home.writing([], async (store, state) => {
      if (state.lock?.id !== old.id) throw AGAIN;
      await asked(store("state").put({ ...state, lock: made }, "state"));
    });
  }

  async #resealed({ lock: made, key }) {
    const old = this.#home.state;
    if (made) this.#key = { id: made.id, key };
    const anew = async (name, row) => {
      if (!row.body || row.open) return row;
      const record = recordOf(name, row.id);
      let plain = "";
      try {
        plain = await this.opened(old, record, row.body);
      } catch (error) {
        if (error instanceof Trouble) throw error;
        return row; // damaged: it goes along as it is
      }
      return { ...row, body: await sealing.sealed(key, record, plain) };
    };
    await this.#home.move({ lock: made }, anew);
    if (!made) this.#key = null;
  }

  // Wrong tries are counted before the words are looked at: closing the tab forgets none.
  async #try(opening) {
    const seconds = waitAfter(await this.#counted());
    try {
      await opening();
    } catch {
      throw new Trouble("words-wrong", { wait: seconds ? text("wait", { seconds }) : "" });
    }
    await this.#home.writing([], (store) => asked(store("state").delete("tries")));
  }

  async #counted() {
    return this.#home.writing([], async (store) => {
      const { number = 0, until = 0 } = (await asked(store("state").get("tries"))) ?? {};
      const wait = Math.min(until, later(waitAfter(number))) - Date.now(); // a clock may be put back
      if (wait > 0) throw new Trouble("words-wait", { number, seconds: Math.ceil(wait / 1000) });
      await asked(store("state").put({ number: number + 1, until: later(waitAfter(number + 1)) }, "tries"));
      return number + 1;
    });
  }
}

/** Raise `Trouble` where words cannot be set. */
function checkWords(words) {
  const missing = whyNoLock();
  if (missing) throw new Trouble("no-lock", { detail: missing });
  const number = [...sealing.spelled(words)].length;
  if (number < LEAST) throw new Trouble("words-short", { number, least: LEAST });
}

/** Return what a sealed body is bound to: the store and the id of its record. */
export const recordOf = (store, id) => `${store} ${id}`;

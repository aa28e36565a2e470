// Keeps in touch with the office: merges by itself whenever that may do something.

import { merge } from "./office.js";

const SOON = 2000; // what is kept in quick succession goes together
const FIRST = 5000;
const LATEST = 600000;
const NEEDS_SOMEBODY = ["no-log-in", "may-not", "may-not-write", "locked", "none", "other-version"];

// Merges on opening, when the connection comes back and when the page is looked at again; after a
// trouble that may pass, later and later. `tell` gets what `merge` returns, each time.
//
// Returns {now, soon, stop}: `soon` is for when an entry was kept, `now` for whoever asks for it.
export function keepInTouch(kept, tell) {
  const ending = new AbortController();
  const { signal } = ending;
  let pause = FIRST;
  let timer = 0;
  let running = null;
  let more = false;

  function now() {
    clearTimeout(timer);
    more = true;
    running ??= run().finally(() => { running = null; });
    return running;
  }

  async function run() {
    while (more && !signal.aborted) {
      more = false;
      const done = await merge(kept);
      if (signal.aborted) return;
      tell(done);
      if (!more) after(done.trouble);
    }
  }

  function after(told) {
    if (!told) pause = FIRST;
    if (!told || NEEDS_SOMEBODY.includes(told.kind)) return;
    timer = setTimeout(now, pause * (0.75 + Math.random() / 2));
    pause = Math.min(2 * pause, LATEST);
  }

  function soon() {
    clearTimeout(timer);
    if (!signal.aborted) timer = setTimeout(now, SOON);
  }

  function seen() {
    if (!document.hidden) now();
  }

  addEventListener("online", now, { signal });
  addEventListener("pageshow", seen, { signal });
  document.addEventListener("visibilitychange", seen, { signal });
  now();
  return { now, soon, stop: () => { ending.abort(); clearTimeout(timer); } };
}

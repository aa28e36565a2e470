// What thinks for the page: questions go to a worker (thinking.js) and come back answered.

import { on, settled } from "./edition.js";
import { words } from "./words.js";

const FETCHED = 0.8; // of the way, when all is on the phone
const TRIES = 2;
const BEAT = 5000; // milliseconds; a phone that sleeps counts none
const SILENT = 24; // beats without a word, after which whoever asked is told: two minutes (judgement)

// Why there is no answer; `told` is {place, reason, mend}.
export class ThinkingError extends Error {
  constructor(told) {
    super(`${told.place}: ${told.reason} ${told.mend}`);
    this.told = told;
  }
}

// Returns {ready, ask, progress}: `ready` resolves with the answer to `about`; `ask(name, given)`
// with an answer; both reject with a ThinkingError. `progress(watch)` calls `watch(share, fetching)`
// on the way to the first answer: a share from 0 to 1, and {done, of} in bytes while it is fetched.
export function thinker() {
  const way = new Way();
  const mind = new Mind((share) => way.at(FETCHED + (1 - FETCHED) * share, null));
  const leave = on(({ fetching }) => {
    if (fetching) way.at(FETCHED * (fetching.done / fetching.of), fetching);
  });
  const ready = settled().then(() => {
    leave();
    return mind.ask("about", {});
  });
  ready.catch(() => {}); // who asks is told
  return {
    ready,
    ask: (name, given = {}) => ready.then(() => mind.ask(name, given)),
    progress: (watch) => way.watch(watch),
  };
}

class Way {
  #watchers = new Set();
  #last = [0, null];

  at(...where) {
    this.#last = where;
    for (const watcher of this.#watchers) watcher(...where);
  }

  watch(watcher) {
    this.#watchers.add(watcher);
    watcher(...this.#last);
    return () => this.#watchers.delete(watcher);
  }
}

// A worker, and another one where it dies: what was asked is then asked once more. Where it says
// nothing for long, it hangs or has died unheard: whoever asked is told, and may try again.
class Mind {
  #worker = null;
  #asked = new Map();
  #number = 0;
  #beats = 0;
  #watch = 0;
  #tell;

  constructor(tell) {
    this.#tell = tell;
  }

  ask(name, given) {
    return new Promise((answered, refused) => {
      this.#number += 1;
      this.#asked.set(this.#number, { name, given: JSON.stringify(given), answered, refused, tries: 0 });
      this.#post(this.#number);
    });
  }

  #post(id) {
    const { name, given } = this.#asked.get(id);
    this.#asked.get(id).tries += 1;
    this.#watch ||= setInterval(() => this.#beat(), BEAT);
    this.#begun().postMessage({ id, name, given });
  }

  #begun() {
    if (this.#worker) return this.#worker;
    const worker = new Worker(new URL("thinking.js", import.meta.url), { type: "module" });
    worker.onmessage = ({ data }) => this.#heard(worker, data);
    worker.onerror = (event) => {
      event.preventDefault();
      this.#died(worker, event.message ?? "");
    };
    worker.onmessageerror = () => this.#died(worker, "");
    this.#worker = worker;
    return worker;
  }

  #heard(worker, { id, answer, died, share }) {
    if (worker === this.#worker) this.#beats = 0;
    if (share !== undefined) this.#tell(share);
    if (died !== undefined) this.#died(worker, died);
    const asked = this.#asked.get(id);
    if (answer === undefined || !asked) return;
    this.#over(id);
    const told = JSON.parse(answer);
    if (told.trouble) asked.refused(new ThinkingError(told.trouble));
    else asked.answered(told);
  }

  #died(worker, why) {
    if (worker !== this.#worker) return;
    this.#end();
    const code = /memory/i.test(why) ? "memory" : "stopped";
    this.#refuse([...this.#asked].filter(([, { tries }]) => tries >= TRIES), code, why);
    for (const id of this.#asked.keys()) this.#post(id);
  }

  #beat() {
    this.#beats += 1;
    if (this.#beats < SILENT) return;
    this.#end();
    this.#refuse([...this.#asked], "silent", "");
  }

  #over(id) {
    this.#asked.delete(id);
    if (this.#asked.size) return;
    clearInterval(this.#watch);
    this.#watch = 0;
    this.#beats = 0;
  }

  #end() {
    this.#worker?.terminate();
    this.#worker = null;
    this.#beats = 0;
  }

  #refuse(over, code, why) {
    for (const [id, { refused }] of over) {
      this.#over(id);
      troubleOf(code, why).then(refused);
    }
  }
}

async function troubleOf(code, why) {
  const say = await words();
  const [place, reason, mend] = ["place", "reason", "mend"].map((part) => say(`thinking.trouble.${code}.${part}`, { why }));
  return new ThinkingError({ place, reason, mend });
}

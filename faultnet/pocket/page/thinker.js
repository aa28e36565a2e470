// What thinks for the page: questions go to a worker (thinking.js) and come back answered.

export class Told extends Error {
  constructor(told) {
    super(told.reason);
    this.told = told;
  }
}

export function thinker() {
  const waiting = new Map();
  const watchers = new Set();
  let number = 0;
  const worker = new Worker(new URL("thinking.js", import.meta.url), { type: "module" });
  const up = new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => {
      if (data.ready) resolve();
      else if (data.ready === false) reject(new Told({ place: "thinking", reason: data.reason, mend: "" }));
      else {
        const { resolve: answered, reject: refused } = waiting.get(data.id);
        waiting.delete(data.id);
        const answer = JSON.parse(data.answer);
        if (answer.trouble) refused(new Told(answer.trouble));
        else answered(answer);
      }
    };
    worker.onerror = (event) => reject(new Told({ place: "thinking", reason: event.message ?? "", mend: "" }));
  });
  async function ask(name, given = {}) {
    await up;
    return new Promise((resolve, reject) => {
      const id = ++number;
      waiting.set(id, { resolve, reject });
      worker.postMessage({ id, name, given: JSON.stringify(given) });
    });
  }
  return { ready: up.then(() => ask("about")), ask, progress: (watch) => watchers.add(watch) };
}

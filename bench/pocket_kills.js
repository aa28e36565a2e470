// Writes events without end and tells the driver of each that is kept; what it finds it tells first.

import { openKept } from "/kept.js";

const { run, mode, words, log } = Object.fromEntries(new URLSearchParams(location.search));
const FIRST = Number(run) * 1_000_000;
const TEXT = ["Weir", "Lane"].join(" "); // this script itself shall not be found on the disk

let last = FIRST;

async function tell(what, given) {
  await fetch(`/tell/${what}`, { method: "POST", body: JSON.stringify({ run: Number(run), given }) });
}

function event() {
  last += 1;
  const text = `${TEXT} ${last} ${"x".repeat((last * 7919) % 3000)}`;
  const at = new Date(last).toISOString();
  return { id: `e-${last}`, log, author: "ann@0123456789ab", at, number: last, after: [], event: { what: "noted", text } };
}

async function unlocked(kept) {
  if (kept.locked) await kept.unlock(words);
}

// Another tab may set words in the middle: then they are said, and the same is kept once more.
async function withWords(kept, work) {
  for (;;) {
    try {
      return await work();
    } catch (error) {
      if (error.code !== "locked") throw error;
      await unlocked(kept);
    }
  }
}

async function write(kept, size) {
  for (;;) {
    const entries = Array.from({ length: size }, event);
    const ids = entries.map(({ id }) => id);
    await tell("begun", ids);
    await withWords(kept, () => kept.add(entries));
    await tell("kept", ids);
    if (last % 3) continue;
    await kept.markSent(ids);
    await tell("sent", ids);
  }
}

async function set(kept) {
  for (;;) {
    const wished = kept.hasWords ? null : words;
    await tell("setting", [wished !== null]);
    await kept.setWords(wished, words);
    await tell("set", [wished !== null]);
    await new Promise((go) => { setTimeout(go, 200); });
  }
}

// For comparison: as it would be without strict durability.
function relax() {
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function relaxed(stores, how) { return transaction.call(this, stores, how); };
}

async function begin() {
  if (mode === "relaxed") relax();
  const [kept, other] = [await openKept(), await openKept()]; // as two tabs have it
  const { hasWords } = kept;
  await unlocked(kept);
  const [entries, unsent, damaged] = [await kept.entries(log), await kept.unsent(), await kept.damaged()];
  await tell("found", { entries, unsent: unsent.map(({ id }) => id), damaged, hasWords });
  if (mode === "look") return;
  if (mode === "locked" && !hasWords) {
    await kept.setWords(words);
    await tell("set", [true]);
  }
  await unlocked(other);
  await Promise.all([mode === "setting" ? set(kept) : write(kept, 1), write(other, 4)]);
}

begin().catch((error) => tell("trouble", String(error.stack ?? error)));

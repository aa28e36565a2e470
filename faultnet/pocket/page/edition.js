// Which edition this page is, whether it works without signal, and whether the office has a newer one.

import { copy, CopyError, inUse, listOf, offered, tidy, whyNot } from "./copies.js";
import { words } from "./words.js";

const FIRST = 5000;
const LATEST = 300000;
const SELDOM = 600000;
const RELOADED = "faultnet-reloaded";

const watchers = new Set();
let now = {
  kept: false, // whether all of it is on this phone: it works without signal
  edition: null, // this and the next two are null until it is kept
  knowledge: null,
  faultnet: null,
  fetching: null, // {done, of} in bytes, while an edition is copied
  newer: null, // {edition, knowledge, faultnet, ready}: what the office has, and whether it is copied
  lasting: null, // whether the browser promises not to clear it away by itself
  trouble: null, // {code, place, reason, mend}, or null
};
let pause = FIRST;
let looked = 0;
let looking = null;
let settle;
const settling = new Promise((resolve) => { settle = resolve; });

// Returns how it stands; the fields are those of `now` above.
export const state = () => ({ ...now });

// Calls `change` with how it stands, now and whenever that changes; returns what ends it.
export function on(change) {
  watchers.add(change);
  change(state());
  return () => watchers.delete(change);
}

// Resolves when the page may begin to think: all is on the phone, or cannot be.
export const settled = () => settling;

// Takes the newer edition into use and loads the page anew; tells whether it could.
export async function take() {
  const { newer } = now;
  if (!newer?.ready) return false;
  if (await use(newer.edition)) {
    location.reload();
    return true;
  }
  await trouble("other-window");
  return false;
}

// Looks whether the office has another edition, and copies it beside this one.
export function look() {
  looking ??= alone(lookOnce).finally(() => { looking = null; });
  return looking;
}

function tell(change) {
  now = { ...now, ...change };
  for (const watcher of watchers) watcher(state());
}

async function trouble(code) {
  const say = await words();
  const [place, reason, mend] = ["place", "reason", "mend"].map((part) => say(`edition.trouble.${code}.${part}`));
  tell({ trouble: { code, place, reason, mend } });
}

async function begin() {
  const why = whyNot();
  if (why) return stop(why);
  try {
    const registered = navigator.serviceWorker.register("served.js", { updateViaCache: "none" });
    registered.catch(() => {}); // told below, where it is waited for
    // Where the page stands on its copy already, a network that never answers holds nothing up.
    if (!navigator.serviceWorker.controller) await registered;
    await navigator.serviceWorker.ready;
    const used = await inUse();
    if (!used) await first();
    else if (navigator.serviceWorker.controller) await go(used);
    else await anew(used); // loaded past the copy
  } catch (error) {
    await stop(codeOf(error));
  }
}

async function stop(code) {
  await trouble(code);
  settle();
}

function go({ edition, knowledge, faultnet }) {
  sessionStorage.removeItem(RELOADED);
  tell({ kept: true, edition, knowledge, faultnet, trouble: null });
  settle();
  navigator.storage?.persist?.().then((lasting) => tell({ lasting }), () => {}); // it may ask, and wait
  addEventListener("online", look);
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden && Date.now() - looked > SELDOM) look();
  });
  look();
}

// Loads the page anew, out of the copy: what is shown came from outside, perhaps of two editions.
// Whoever types is not disturbed.
async function anew(list) {
  if (sessionStorage.getItem(RELOADED)) return go(list);
  while (isTyping()) await new Promise((resolve) => { setTimeout(resolve, 500); });
  sessionStorage.setItem(RELOADED, "yes");
  location.reload();
}

const isTyping = () => Boolean(document.activeElement?.value);

// The first time: all is copied, then the page is loaded anew out of the copy.
async function first() {
  try {
    const list = await offered();
    await alone(() => copied(list, null));
    await use(list.edition);
    await anew(list);
  } catch (error) {
    const code = codeOf(error);
    if (["full", "refused"].includes(code)) return stop(code);
    await trouble(code);
    later(first);
  }
}

async function lookOnce() {
  looked = Date.now();
  try {
    const list = await offered();
    const { edition, knowledge, faultnet } = list;
    if (edition === now.edition) {
      tell({ newer: null, trouble: null });
    } else if (now.newer?.edition !== edition || !now.newer.ready) {
      tell({ newer: { edition, knowledge, faultnet, ready: Boolean(await listOf(edition)) }, trouble: null });
      if (!now.newer.ready) await copied(list, await inUse());
      tell({ newer: { ...now.newer, ready: true } });
    }
    await tidy([now.edition, now.newer?.edition].filter(Boolean));
    pause = FIRST;
  } catch (error) {
    tell({ fetching: null });
    const code = codeOf(error);
    if (code === "away" || (code === "other" && !now.newer)) return; // no office: nothing new, no trouble
    await trouble(code);
    if (code !== "full" && code !== "refused") later(look);
  }
}

async function copied(list, before) {
  await copy(list, before, (done, of) => tell({ fetching: { done, of } }));
  tell({ fetching: null });
}

function later(again) {
  setTimeout(again, pause);
  pause = Math.min(2 * pause, LATEST);
}

const codeOf = (error) => (error instanceof CopyError ? error.code : "refused");

// One window after the other: two would fetch everything twice.
function alone(work) {
  return navigator.locks ? navigator.locks.request("faultnet-copying", work) : work();
}

async function use(edition) {
  const { active } = await navigator.serviceWorker.ready;
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => resolve(data.done);
    active.postMessage({ use: edition }, [port2]);
  });
}

begin();

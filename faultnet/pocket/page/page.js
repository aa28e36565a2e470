// The page: it shows one screen at a time and keeps nothing that the entries do not say.

import { alarm } from "./alarm.js";
import { appOf } from "./app.js";
import { el } from "./dom.js";
import { guard } from "./guard.js";
import { openKept } from "./kept.js";
import { depth, places } from "./places.js";
import { SCREENS } from "./screens/all.js";
import { unlockScreen } from "./screens/lock.js";
import { clock } from "./screens/timer.js";
import { troubleScreen } from "./screens/trouble.js";
import { sunOf } from "./sun.js";
import { thinker } from "./thinker.js";
import { words } from "./words.js";

const PATIENCE = 200;
/** Milliseconds after which thinking is shown as such. */

const SLACK = 4;
/** Pixels that a screen may be too long. */

const main = document.querySelector("#screen");
const foot = document.querySelector("#foot");
const told = document.querySelector("#told");
const strip = document.querySelector("#timer");

let drawing = 0;
let fresh = false;

/** Says something at the top, until the screen after the next; loud where it went wrong. */
function tell(text, { loud = false } = {}) {
  fresh = true;
  told.textContent = text;
  told.className = loud ? "warning" : "";
}

/** Draws the screen of a place; where one has gone on meanwhile, nothing of it is shown. */
async function draw(app, place) {
  drawing += 1;
  const mine = drawing;
  app.cases.stopForeseeing();
  const slow = setTimeout(() => mine === drawing && put(app, thinking(app)), PATIENCE);
  let made;
  try {
    made = await screenOf(app, place);
  } catch (error) {
    made = app.kept.locked ? unlockScreen(app) : troubleScreen(app, error);
  }
  clearTimeout(slow);
  if (mine !== drawing) return;
  put(app, made);
  main.dataset.screen = place.screen;
  made.after?.().catch(() => {}); // what comes next is worked out when it is asked for
}

async function screenOf(app, place) {
  const open = ["wipe"].includes(place.screen);
  if (app.kept.locked && !open) return unlockScreen(app);
  if (!open && !(await app.author())) return SCREENS.who(app, place);
  return SCREENS[place.screen](app, place);
}

function thinking({ say }) {
  return { title: "", kind: "thinking", body: [el("p", { class: "thinking", role: "status" }, say("turn.thinking"))], replies: [], bar: [] };
}

function put(app, { title, kind = "", body, replies, bar }) {
  const before = main.querySelector("h1")?.textContent;
  main.className = kind;
  main.toggleAttribute("aria-busy", kind === "thinking");
  main.replaceChildren(el("div", { class: "body" }, ...shown(body)), el("div", { class: "replies" }, ...shown(replies)));
  foot.replaceChildren(...bar.length ? [el("nav", { "aria-label": app.say("bar.name") }, ...shown(bar))] : []);
  scrollTo({ top: 0, behavior: "instant" });
  below(app);
  delete main.dataset.screen;
  if (!title) return;
  if (!fresh) tell("");
  fresh = false;
  document.title = `${title} · ${app.say("page.name")}`;
  rested();
  if (before !== undefined) main.querySelector("h1")?.focus({ preventScroll: true });
}

const shown = (parts) => parts.filter((part) => part !== null && part !== undefined);

/** Where a screen is longer than the phone, a tap leads further down: nobody needs to swipe. */
function below(app) {
  if (document.documentElement.scrollHeight <= innerHeight + SLACK) return;
  const on = el("button", { type: "button", class: "further", "data-any-time": true }, app.say("page.further"));
  on.addEventListener("click", () => {
    if (atEnd()) scrollTo(0, 0);
    else scrollBy(0, (innerHeight - foot.offsetHeight) * 0.8);
  });
  foot.prepend(on);
}

function atEnd() {
  return innerHeight + scrollY >= document.documentElement.scrollHeight - SLACK;
}

document.addEventListener("scroll", () => foot.querySelector(".further")?.toggleAttribute("data-end", atEnd()));

let rested = () => {};

/** The timer goes on wherever one is on the page; a tap leads back to it. */
function showTimer(app) {
  const { alarm: rings, say } = app;
  const { screen, log, view } = app.here();
  const left = rings.left();
  strip.hidden = !rings.until || (!left && !rings.ringing) || (screen === "turn" && log === rings.log && !view);
  if (strip.hidden) return;
  strip.textContent = left ? say("timer.strip", { left: clock(left) }) : say("timer.strip-up");
  strip.toggleAttribute("data-up", !left);
}

async function begin() {
  const say = await words();
  const { rest, once } = guard(main, (error) => tell(`${error.told?.place ?? ""} ${error.told?.reason ?? error.message} ${error.told?.mend ?? ""}`.trim(), { loud: true }));
  rested = rest;
  const kept = await openKept();
  const app = appOf({ say, kept, thinker: thinker(), once, tell });
  app.sun = await sunOf(kept);
  const { go, here } = places((place) => { rest(); draw(app, place); });
  Object.assign(app, { go, here, again: () => draw(app, here()) });
  app.alarm = alarm({ title: say("timer.up"), body: say("timer.notified") }, () => showTimer(app));
  document.addEventListener("click", () => app.alarm.unlock(), true);
  strip.addEventListener("click", () => app.go({ screen: "turn", log: app.alarm.log }));
  setInterval(() => showTimer(app), 500);
  await app.start(depth);
}

begin();

"use strict";
// Shows what others write to a case while it is looked at. Without it the next page tells.

const live = document.getElementById("live");
const told = live.querySelector("[role=status]");
const show = live.querySelector("button");
const shown = document.getElementById("case");
const SOON = 1000;
const LATEST = 30000;

let place = Number(live.dataset.place);
let source = null;
let later = 0;
let pause = SOON;
let looking = false;
let more = false;
let waiting = null;
let changedAt = -SOON;

function stop() {
  source?.close();
  source = null;
  clearTimeout(later);
}

function listen() {
  stop();
  if (document.hidden) return; // a page that nobody sees takes no connection
  source = new EventSource(`${live.dataset.live}?since=${place}`);
  source.onopen = () => { pause = SOON; };
  source.onmessage = (message) => {
    if (Number(message.lastEventId) > place) refresh();
  };
  source.onerror = () => {
    if (source.readyState !== EventSource.CLOSED) return; // the browser comes again by itself
    later = setTimeout(listen, pause);
    pause = Math.min(2 * pause, LATEST);
  };
}

async function refresh() {
  more = true;
  if (looking) return;
  looking = true;
  while (more) {
    more = false;
    try {
      await look();
    } catch {
      told.textContent = live.dataset.failed;
    }
  }
  looking = false;
}

async function look() {
  const address = new URL(location.href);
  address.searchParams.delete("note");
  const answer = await fetch(address);
  if (!answer.ok || answer.redirected) throw new Error(answer.statusText);
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const dangers = texts(shown.querySelector("[data-part=dangers]"));
  place = Number(page.getElementById("live").dataset.place);
  waiting = page;
  if (typed()) {
    beside(page);
    say(live.dataset.waiting, dangers);
    show.hidden = false;
  } else {
    replace();
    say(live.dataset.moved, dangers);
  }
}

// Says what happened, and each danger that is new.
function say(words, before) {
  const now = texts(shown.querySelector("[data-part=dangers]"));
  told.textContent = [words, ...now.filter((text) => !before.includes(text))].join(" ");
}

function texts(part) {
  return [...part.children].map((each) => each.textContent);
}

function field() {
  return shown.querySelector("#typed");
}

function typed() {
  return field()?.value ?? "";
}

// What can change while somebody types: dangers, the ranking and what was told so far.
function beside(page) {
  for (const part of shown.querySelectorAll("[data-part]")) {
    const fresh = page.querySelector(`[data-part="${part.dataset.part}"]`);
    const held = nameOf(document.activeElement, part);
    part.replaceChildren(...fresh.childNodes);
    if (held) part.querySelector(held)?.focus({ preventScroll: true });
  }
}

// Puts the page that waits in place of what is shown; focus and typed text stay where they can.
function replace() {
  const page = waiting;
  const asked = question();
  const text = typed();
  const inside = shown.contains(document.activeElement);
  const held = nameOf(document.activeElement, shown);
  const open = [...shown.querySelectorAll("details[open] > summary")].map((s) => s.textContent);
  waiting = null;
  show.hidden = true;
  told.textContent = "";
  shown.replaceChildren(...page.getElementById("case").childNodes);
  document.title = page.title;
  for (const each of shown.querySelectorAll("summary")) {
    each.parentElement.open ||= open.includes(each.textContent);
  }
  const same = question() === asked;
  if (text && same) field().value = text;
  else if (text) told.textContent = `${live.dataset.typed} ${text}`;
  if (!same) changedAt = performance.now();
  if (inside) focusOn((same || !held.startsWith("button")) && held && shown.querySelector(held));
  document.dispatchEvent(new Event("replaced"));
}

// The question with its answers: where it is another, no answer may be pressed by mistake.
function question() {
  const parts = shown.querySelectorAll("h1, form label, form button");
  return [...parts].map((each) => each.textContent).join("\n");
}

function nameOf(element, part) {
  if (!part.contains(element)) return "";
  const tag = element.localName;
  if (element.id) return `#${CSS.escape(element.id)}`;
  for (const name of ["value", "href"]) {
    if (element.hasAttribute(name)) return `${tag}[${name}="${CSS.escape(element.getAttribute(name))}"]`;
  }
  return tag;
}

function focusOn(found) {
  const target = found || shown.querySelector("h1");
  if (!found) target.tabIndex = -1;
  target.focus({ preventScroll: Boolean(found) });
}

show.addEventListener("click", () => {
  replace();
  (field() ?? shown.querySelector("h1")).focus();
});

document.addEventListener("submit", (event) => {
  const overtaken = waiting !== null && typed() !== "";
  const mistaken = performance.now() - changedAt < SOON;
  if (shown.contains(event.target) && (overtaken || mistaken)) {
    event.preventDefault();
    if (overtaken) replace();
    told.textContent = [live.dataset.changed, told.textContent].join(" ");
  } else {
    stop(); // the next page listens
  }
});
document.addEventListener("visibilitychange", listen);
addEventListener("pageshow", listen);
addEventListener("pagehide", stop);

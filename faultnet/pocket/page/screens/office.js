// The office, where there is a connection: what is here goes there, what others wrote comes here.

import { button, el, heading, moment } from "../dom.js";
import { asideFile } from "../aside.js";
import { officeThere } from "../office.js";
import { takeOff } from "./forget.js";

export async function officeScreen(app) {
  const { say } = app;
  const there = await officeThere();
  return {
    title: say("sending.title"),
    body: [heading(say("sending.title")), ...await stateOf(app, there), ...conflictsOf(app), ...goneOf(app), ...asideOf(app)],
    replies: doingsOf(app, there),
    bar: [app.backTo({ screen: "first" })],
  };
}

async function stateOf(app, there) {
  const { say } = app;
  const waiting = (await app.kept.unsent()).length;
  const here = el("p", {}, waiting ? say("office.waiting", { waiting }) : say("sending.none-waiting"));
  if (there.there && there.name) return [el("p", {}, say("sending.there", there)), here];
  return [here, ...there.trouble ? [el("p", {}, `${there.trouble.reason} ${there.trouble.mend}`)] : []];
}

/** What people said without having seen each other's; the case itself asks how it is. */
function conflictsOf(app) {
  const found = app.merged?.conflicts ?? [];
  if (!found.length) return [];
  const { say } = app;
  const lines = found.flatMap(({ log, title, said }) => [
    el("p", {}, el("strong", {}, title)),
    el("ul", {}, ...said.map((one) => el("li", { dir: "auto" }, say("office.conflicts.said", { ...one, author: app.nameOf(one.author), at: moment(one.at) })))),
    button(say("sending.to-case"), () => app.open(log)),
  ]);
  return [el("h2", {}, say("office.conflicts.title")), el("p", {}, say("office.conflicts.text")), ...lines];
}

/** Cases that the office no longer has. */
function goneOf(app) {
  const gone = app.merged?.gone ?? [];
  if (!gone.length) return [];
  const { say } = app;
  const off = (log) => () => takeOff(app, log);
  return [el("h2", {}, say("office.gone.title")), el("p", {}, say("office.gone.text")),
    ...gone.map((log) => button(`${say("office.gone.forget")}: ${log}`, off(log)))];
}

/** What the office refused stays on this phone. */
function asideOf(app) {
  const aside = app.merged?.aside ?? [];
  if (!aside.length) return [];
  const { say } = app;
  const lines = aside.map(({ told }) => el("li", {}, `${told.place}: ${told.reason} ${told.mend}`));
  return [
    el("h2", {}, say("office.aside.title", { count: aside.length })),
    el("p", {}, say("office.aside.text")),
    el("ul", {}, ...lines),
    button(say("office.aside.again"), () => send(app, { again: true })),
    button(say("office.aside.file"), async () => app.hand(await asideFile(app.kept))),
  ];
}

function doingsOf(app, there) {
  const { say } = app;
  if (there.logIn) return [el("a", { class: "go", href: there.logIn }, say("office.log-in"))];
  if (!there.there) return [button(say("office.again"), () => app.again()), button(say("sending.files"), () => app.go({ screen: "files" }))];
  return [
    there.may.includes("customer") ? button(say("office.take"), () => app.go({ screen: "day" })) : null,
    there.may.includes("write") ? button(say("sending.send"), () => send(app, {}), { class: "go" }) : null,
  ];
}

async function send(app, how) {
  await app.once(async () => {
    app.tell(app.say("office.sending"));
    await app.merge(how);
  });
  app.again();
}

/** Returns what came of comparing with the office, in a line. */
export function mergedSaid(say, { sent, got, trouble }) {
  if (trouble) return `${trouble.place}: ${trouble.reason} ${trouble.mend}`;
  return sent || got ? say("office.sent", { sent, got }) : say("office.nothing");
}

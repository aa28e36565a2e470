// The cases on this phone, and where everything begins.

import { button, el, heading, moment } from "../dom.js";

export async function firstScreen(app) {
  const { say } = app;
  const cases = await app.cases.listed();
  const open = cases.filter((each) => !each.ended);
  const ended = cases.length - open.length;
  const body = [heading(say("first.title")), ...await statesOf(app)];
  if (!cases.length) body.push(el("p", {}, say("first.none")));
  return {
    title: say("first.title"),
    body,
    replies: [
      ...open.map((each) => caseButton(app, each)),
      ended ? button(say("first.ended", { number: ended }), () => app.go({ screen: "ended" })) : null,
      app.edition.newer?.ready ? button(say("newer.title"), () => app.go({ screen: "newer" })) : null,
      button(say("first.begin"), () => app.go({ screen: "begin" }), { class: "go" }),
    ],
    bar: [
      button(say("bar.open"), () => app.go({ screen: "open" })),
      button(say("bar.office"), () => app.go({ screen: "office" })),
      button(say("bar.phone"), () => app.go({ screen: "phone" })),
    ],
  };
}

/** The cases that are over: to look at, to report, to clear away. */
export async function endedScreen(app) {
  const { say } = app;
  const ended = (await app.cases.listed()).filter((each) => each.ended);
  return {
    title: say("ended.title"),
    body: [heading(say("ended.title")), ended.length ? null : el("p", {}, say("ended.none"))],
    replies: ended.map((each) => caseButton(app, each)),
    bar: [app.backTo({ screen: "first" })],
  };
}

function caseButton(app, { id, name, title, touched, unsent }) {
  const { say } = app;
  const when = touched ? say("first.touched", { at: moment(touched) }) : "";
  const wait = unsent ? say("first.waits", { number: unsent }) : "";
  const box = button(el("strong", { dir: "auto" }, name || title || id), () => app.open(id), { class: "case", "data-case": id });
  box.append(" ", el("small", {}, [name ? title : "", when, wait].filter(Boolean).join(" · ")));
  return box;
}

async function statesOf(app) {
  const lines = [app.readiness(), await unsentOf(app)];
  return lines.filter(Boolean).map((line) => el("p", { class: "aside" }, line));
}

async function unsentOf(app) {
  const unsent = (await app.kept.unsent()).length;
  return unsent ? app.say("first.unsent", { number: unsent }) : "";
}

// Newer knowledge is at the office: taken when somebody says so, never in the middle of a step.

import { button, el, heading } from "../dom.js";

export async function newerScreen(app) {
  const { say } = app;
  return {
    title: say("newer.title"),
    body: [heading(say("newer.title")), el("p", {}, say("newer.told"))],
    replies: [button(say("newer.take"), () => app.takeNewer(), { class: "go" }), button(say("newer.later"), () => app.go({ screen: "first" }))],
    bar: [app.backTo({ screen: "first" })],
  };
}

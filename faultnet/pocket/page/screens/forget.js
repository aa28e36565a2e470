// A case off this phone that the office no longer has.

import { button, el, heading } from "../dom.js";

/** Takes a case off this phone; what is nowhere else only after it was asked for. */
export function takeOff(app, log) {
  return app.once(async () => {
    if (await unsentOf(app, log)) app.go({ screen: "forget", log });
    else await forgotten(app, log);
  });
}

async function forgotten(app, log, how = {}) {
  await app.kept.forget(log, how);
  if (app.merged) app.merged.gone = app.merged.gone.filter((each) => each !== log);
  app.go({ screen: "office" });
}

/** One clear question before entries go that are nowhere else. */
export async function forgetScreen(app, { log }) {
  const { say } = app;
  const unsent = await unsentOf(app, log);
  const back = { screen: "office" };
  return {
    title: say("forget.title"),
    kind: "stop",
    body: [heading(say("forget.title")), el("p", {}, log), el("p", { class: "danger" }, say("wipe.unsent", { number: unsent }))],
    replies: [button(say("forget.no"), () => app.go(back), { class: "go" }), button(say("forget.yes"), () => app.once(() => forgotten(app, log, { unsent: true })))],
    bar: [app.backTo(back)],
  };
}

async function unsentOf({ kept }, log) {
  return (await kept.logs()).find(({ id }) => id === log)?.unsent ?? 0;
}

// What went wrong: where, why, and what to do. What was kept is there all the same.

import { button, el, heading } from "../dom.js";

/** Returns place, reason and mend of whatever was thrown. */
export function toldOf(say, error) {
  return error?.told ?? { place: say("trouble.place"), reason: String(error?.message ?? error), mend: say("trouble.mend") };
}

export function troubleScreen(app, error) {
  const { say } = app;
  const { place, reason, mend } = toldOf(say, error);
  return {
    title: say("trouble.title"),
    body: [
      heading(say("trouble.title")),
      el("p", { class: "kind" }, place),
      el("p", { class: "warning" }, reason),
      el("p", {}, mend),
      el("p", {}, say("trouble.kept")),
    ],
    replies: [button(say("trouble.again"), () => app.again(), { class: "go" })],
    bar: [button(say("bar.cases"), () => app.leave())],
  };
}

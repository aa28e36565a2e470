// Everything off this phone, after one clear question.

import { button, el, heading } from "../dom.js";

export async function wipeScreen(app) {
  const { say, kept } = app;
  const cases = (await kept.logs()).filter(({ kind }) => kind === "case");
  const unsent = cases.reduce((sum, each) => sum + each.unsent, 0);
  const back = { screen: kept.locked ? "first" : "phone" };
  return {
    title: say("wipe.title"),
    kind: unsent ? "stop" : "",
    body: [
      heading(say("wipe.title")),
      el("p", {}, say("wipe.told", { cases: cases.length })),
      el("p", { class: unsent ? "danger" : "note" }, unsent ? say("wipe.unsent", { number: unsent }) : say("wipe.none-unsent")),
    ],
    replies: [button(say("wipe.no"), () => app.go(back), { class: "go" }), button(say("wipe.yes"), () => wipe(app))],
    bar: [app.backTo(back)],
  };
}

async function wipe(app) {
  await app.once(async () => {
    const { files } = await app.kept.wipe();
    app.alarm.set(0, "");
    app.tell(app.say(files ? "wipe.done" : "wipe.done-remains"));
    app.go({ screen: "first" });
  });
}

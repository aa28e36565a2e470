// This phone: whose it is, how it looks, what is locked, what is on it.

import { button, el, heading } from "../dom.js";

const SHOWN = 12;
/** Letters of the knowledge's version. */

export async function phoneScreen(app) {
  const { say, kept } = app;
  const told = [
    say("phone.name", { name: app.nameOf(await app.author()) }),
    app.known ? say("phone.edition", { faultnet: app.known.faultnet, knowledge: app.known.knowledge.slice(0, SHOWN) }) : "",
    app.readiness(),
    say(kept.lasting ? "phone.lasting" : "phone.not-lasting"),
    kept.whyNoLock ? say("phone.no-lock") : "",
    say("phone.larger"),
  ];
  return {
    title: say("phone.title"),
    body: [heading(say("phone.title")), ...told.filter(Boolean).map((line) => el("p", {}, line))],
    replies: [
      app.sunButton(),
      app.alarm.mayNotify === "default" ? button(say("timer.notify"), () => app.once(() => askToNotify(app))) : null,
      kept.hasWords ? button(say("lock.now"), () => app.lock()) : null,
      kept.whyNoLock ? null : button(say(kept.hasWords ? "lock.change" : "lock.set"), () => app.go({ screen: "words" })),
      button(say("phone.other-name"), () => app.go({ screen: "who" })),
      button(say("wipe.open"), () => app.go({ screen: "wipe" })),
    ],
    bar: [app.backTo({ screen: "first" })],
  };
}

async function askToNotify(app) {
  await app.alarm.askToNotify();
  app.again();
}

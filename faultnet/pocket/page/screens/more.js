// What can be done at any time, behind one target.

import { carry } from "../carry.js";
import { button, heading } from "../dom.js";
import { answer } from "./turn.js";

const ELSEWHERE = ["u"];
/** Undo stands in the bar of the turn, outside of this. */

export async function moreScreen(app, place) {
  const due = { screen: "turn", log: place.log };
  const shown = await app.cases.shown(due);
  const { say } = app;
  const offered = shown.turn.bar
    .filter((reply) => !ELSEWHERE.includes(reply.key) && reply.view !== "stop")
    .map((reply) => button(reply.label, () => answer(app, due, shown, { key: reply.key }, reply.label)));
  return {
    title: say("more.title"),
    body: [heading(say("more.title"))],
    replies: [
      ...offered,
      button(say("more.report"), () => app.go({ screen: "report", log: place.log })),
      button(say("more.carry"), () => app.once(() => handOn(app, place.log))),
      app.sunButton(),
      button(say("more.leave"), () => app.leave()),
    ],
    bar: [app.backTo(due)],
  };
}

async function handOn(app, log) {
  const how = await carry(app.by, log);
  app.tell(app.say(`hand.${how}`, { name: log }));
}

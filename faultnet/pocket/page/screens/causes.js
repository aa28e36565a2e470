// All causes by their chance, with reasons in short.

import { bar, el, heading, percent } from "../dom.js";

export async function causesScreen(app, place) {
  const { say } = app;
  const due = { screen: "turn", log: place.log };
  const told = await app.ask("causes", await app.cases.given(due));
  const body = [heading(say("causes.title"))];
  if (told.hidden) body.push(el("p", {}, say("causes.hidden")));
  else {
    const causes = told.causes.map((cause) => ranked(say, "li", cause));
    const unlisted = { title: say("causes.unlisted"), probability: told.unlisted };
    body.push(el("ol", { class: "ranked" }, ...causes), el("div", { class: "ranked" }, ranked(say, "div", unlisted)));
    body.push(el("p", { class: "aside" }, say("causes.several", { share: percent(told.more_than_one) })));
  }
  return { title: say("causes.title"), body, replies: [], bar: [app.backTo(due)] };
}

function ranked(say, tag, { title, probability, signs = [], lacks = [] }) {
  const reasons = [["causes.signs", signs], ["causes.lacks", lacks]].filter(([, found]) => found.length);
  return el(tag, {}, el("p", {}, title, " ", el("b", {}, percent(probability))), bar(probability),
    ...reasons.map(([name, found]) => el("p", { class: "aside" }, say(name, { found: found.join("; ") }))));
}

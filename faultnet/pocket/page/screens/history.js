// What was told and done so far, the last on top: that is what somebody looks for.

import { day, el, heading, hour } from "../dom.js";

export async function historyScreen(app, place) {
  const { say } = app;
  const due = { screen: "turn", log: place.log };
  const { rounds } = await app.ask("history", await app.cases.given(due));
  const told = rounds.filter((round) => round.lines.length).reverse();
  const body = [heading(say("history.title"))];
  if (!told.length) body.push(el("p", {}, say("history.none")));
  const names = new Set(told.flatMap((round) => round.lines.map((line) => line.author)));
  for (const round of told) {
    body.push(el("h2", {}, round.title || say("history.first")));
    body.push(el("ul", { class: "events" }, ...happened(app, round.lines, names.size > 1)));
  }
  return { title: say("history.title"), body, replies: [], bar: [app.backTo(due)] };
}

/** Returns the lines of a round, the last first; the day stands where it changes. */
function happened({ nameOf }, lines, several) {
  let before = "";
  return [...lines].reverse().flatMap(({ at, author, text }) => {
    const by = several ? [" ", el("small", {}, nameOf(author))] : [];
    const line = el("li", {}, el("time", { datetime: at }, hour(at)), " ", el("span", { dir: "auto" }, text), ...by);
    const made = before === day(at) ? [line] : [el("li", { class: "day" }, day(at)), line];
    before = day(at);
    return made;
  });
}

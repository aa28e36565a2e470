// The open cases at the office; those that are tapped come onto this phone.

import { button, el, heading } from "../dom.js";
import { casesToTake, take } from "../office.js";

export async function dayScreen(app) {
  const { say } = app;
  const cases = await casesToTake();
  const here = new Set((await app.kept.logs()).map(({ id }) => id));
  const wanted = new Set();
  const go = button("", () => takeAll(app, [...wanted]), { class: "go" });
  const draw = () => {
    go.textContent = say(wanted.size ? "day.take" : "day.pick", { number: wanted.size });
    go.setAttribute("aria-disabled", String(!wanted.size));
  };
  draw();
  return {
    title: say("office.take"),
    body: [heading(say("office.take")), el("p", {}, say(cases.length ? "day.told" : "office.board.empty"))],
    replies: [...cases.map((each) => offered(app, each, here.has(each.id), wanted, draw)), cases.length ? go : null],
    bar: [app.backTo({ screen: "office" })],
  };
}

function offered({ say }, each, here, wanted, draw) {
  const next = each.next ? say(`office.board.${each.next}`) : "";
  const told = [each.urgency?.title, each.title, each.address, next, here ? say("day.here") : ""].filter(Boolean).join(" · ");
  const box = button(el("strong", { dir: "auto" }, each.name || each.id), () => {
    if (!wanted.delete(each.id)) wanted.add(each.id);
    box.setAttribute("aria-pressed", String(wanted.has(each.id)));
    draw();
  }, { class: "case", "aria-pressed": "false" });
  box.append(" ", el("small", {}, told));
  return box;
}

async function takeAll(app, ids) {
  if (!ids.length) return;
  await app.once(async () => {
    const { taken, trouble } = await take(app.kept, ids);
    app.tell(trouble ? `${trouble.reason} ${trouble.mend}` : app.say("office.taken", { taken: taken.length }));
    app.go({ screen: "first" });
  });
}

// Cases as files, where there is never a connection: out of this phone, until the office took them in.

import { carried, carryUnsent, takenIn } from "../carry.js";
import { button, el, heading, moment } from "../dom.js";

export async function filesScreen(app) {
  const { say } = app;
  const out = await carried(app.kept);
  const unsent = (await app.kept.unsent()).length;
  const told = unsent ? say("first.unsent", { number: unsent }) : say("sending.none-waiting");
  const body = [heading(say("sending.files")), el("p", {}, told)];
  if (out.length) body.push(el("p", {}, say("files.out")));
  return {
    title: say("sending.files"),
    body,
    replies: [...out.map((file) => takenButton(app, file)), unsent ? button(say("files.hand"), () => handAll(app), { class: "go" }) : null],
    bar: [app.backTo({ screen: "office" })],
  };
}

function takenButton(app, { log, at, waiting }) {
  const label = app.say("files.taken", { log, at: moment(at), number: waiting });
  return button(label, () => app.once(async () => {
    await takenIn(app.kept, at);
    app.again();
  }));
}

async function handAll(app) {
  await app.once(async () => {
    const { files, left } = await carryUnsent(app.by);
    const trouble = files.find(({ told }) => told)?.told;
    const number = files.filter(({ how }) => how === "shared" || how === "saved").length;
    if (trouble) app.tell(`${trouble.place}: ${trouble.reason} ${trouble.mend}`, { loud: true });
    else app.tell(app.say(left.length ? "files.some" : "files.all", { number }));
    app.again();
  });
}

// A case out of a file, as the office or another phone handed it on.

import { takeFile } from "../carry.js";
import { el, heading } from "../dom.js";

export async function openScreen(app) {
  const { say } = app;
  const input = el("input", { type: "file", id: "file", accept: ".json,application/json", class: "unseen" });
  input.addEventListener("change", () => input.files.length && take(app, input.files[0]));
  return {
    title: say("open.title"),
    body: [heading(say("open.title")), el("p", {}, say("open.told"))],
    replies: [input, el("label", { for: "file", class: "go as-button" }, say("open.choose"))],
    bar: [app.backTo({ screen: "first" })],
  };
}

async function take(app, file) {
  await app.once(async () => {
    app.tell(app.say("open.reading", { name: file.name }));
    const { log } = await takeFile(app.by, file);
    app.tell(app.say("open.kept", { name: file.name }));
    await app.open(log);
  });
}

// Who holds this phone: asked once, it stands at each entry.

import { el, field, heading } from "../dom.js";

export async function whoScreen(app) {
  const { say } = app;
  const before = await app.author();
  const name = field(say("who.name"), { autocapitalize: "words", autocomplete: "name", maxlength: "80", value: app.nameOf(before) });
  const send = () => app.once(async () => {
    const told = name.input.value.replaceAll("@", " ").replace(/\s+/g, " ").trim();
    if (!told) return app.tell(say("who.empty"));
    await app.kept.setSetting("author", `${told}@${before.split("@").at(-1) || device()}`);
    app.tell("");
    app.go({ screen: before ? "phone" : "first" });
  });
  return {
    title: say("who.title"),
    body: [heading(say("who.title")), el("p", {}, say("who.told"))],
    replies: [app.form(send, [...name.parts, app.goes("who.send")])],
    bar: before ? [app.backTo({ screen: "phone" })] : [],
  };
}

/** Twelve letters, made once on this phone. */
function device() {
  const bytes = crypto.getRandomValues(new Uint8Array(6));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

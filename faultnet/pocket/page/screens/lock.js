// The words that lock what is on this phone.

import { button, el, field, heading } from "../dom.js";
import { beforeWords } from "../lock.js";

const SECRET = { type: "password", autocapitalize: "none", spellcheck: "false" };

/** Asks for the words; nothing else is shown before. */
export function unlockScreen(app) {
  const { say } = app;
  const words = field(say("lock.words"), { ...SECRET, autocomplete: "current-password" });
  const send = () => app.once(async () => {
    app.tell(say("lock.trying"));
    await app.kept.unlock(words.input.value);
    app.tell("");
    app.again();
  });
  return {
    title: say("lock.title"),
    body: [heading(say("lock.title"))],
    replies: [app.form(send, [...words.parts, app.goes("lock.unlock")]),
      button(say("lock.forgotten"), () => app.go({ screen: "wipe" }))],
    bar: [],
  };
}

/** Sets words, changes them, or does without. */
export function wordsScreen(app) {
  const { say } = app;
  const { kept } = app;
  const title = say(kept.hasWords ? "lock.change" : "lock.set");
  const old = field(say("lock.present"), { ...SECRET, id: "present", autocomplete: "current-password" });
  const fresh = field(say("lock.new"), { ...SECRET, autocomplete: "new-password" });
  const keep = (words) => app.once(async () => {
    app.tell(say("lock.trying"));
    await kept.setWords(words, old.input.value);
    app.tell(say(words === null ? "lock.none-now" : "lock.set-now"));
    app.go({ screen: "phone" });
  });
  return {
    title,
    body: [heading(title), el("p", {}, say("lock.told")), el("p", { class: "caution" }, beforeWords())],
    replies: [
      app.form(() => keep(fresh.input.value), [...kept.hasWords ? old.parts : [], ...fresh.parts, app.goes("lock.keep")]),
      kept.hasWords ? button(say("lock.without"), () => keep(null)) : null,
    ],
    bar: [app.backTo({ screen: "phone" })],
  };
}

// What all screens share: asking the thinking, keeping, going from place to place.

import { button, el, percent } from "./dom.js";
import { casesOf } from "./case.js";
import { forgetDraft } from "./draft.js";
import { hand } from "./hand.js";
import { on as onEdition, take as takeEdition } from "./edition.js";
import { FIRST } from "./places.js";
import { mergedSaid } from "./screens/office.js";
import { merge } from "./office.js";
import { keepInTouch } from "./touch.js";

/**
 * @param {object} parts
 * @param {(name: string, given?: object) => string} parts.say
 * @param {object} parts.kept what this phone keeps (kept.js)
 * @param {object} parts.thinker what thinks (thinker.js)
 * @param {(work: () => Promise<void>) => Promise<void>} parts.once one thing at a time
 * @param {(text: string, how?: object) => void} parts.tell
 */
export function appOf({ say, kept, thinker, once, tell }) {
  const app = { say, kept, thinker, once, tell, known: null, merged: null, edition: null };
  app.cases = casesOf(app);
  app.nameOf = (author) => author.replace(/@[^@]*$/, "");
  app.author = async () => (await kept.setting("author")) ?? "";
  app.about = () => thinker.ready;
  app.ask = (name, given) => thinker.ask(name, given);

  app.keep = async (entries) => {
    await kept.add(entries);
    forgetDraft();
    app.touch?.soon();
  };

  app.open = async (log) => {
    await kept.setSetting("open", log);
    app.go({ screen: "turn", log });
  };

  app.leave = async () => {
    await kept.setSetting("open", null);
    app.go(FIRST);
  };

  app.lock = () => {
    kept.lock();
    app.go(FIRST);
  };

  app.merge = async (how) => {
    app.merged = await merge(kept, how);
    tell(mergedSaid(say, app.merged), { loud: Boolean(app.merged.trouble) });
  };

  app.hand = async ({ name, text }, type = "application/json") => {
    const done = await hand(new File([text], name, { type }));
    tell(say(`hand.${done}`, { name }));
  };

  app.by = { kept, ask: app.ask, hand };

  app.goes = (name) => el("button", { class: "go" }, say(name));
  app.backTo = (place) => button(say("bar.back"), () => app.go(place));
  app.form = (send, parts) =>
    el("form", { on: { submit: (event) => { event.preventDefault(); send(); } } }, ...parts);

  app.sunButton = () => button(say(app.sun.on ? "phone.sun-off" : "phone.sun-on"), async () => {
    await app.sun.turn();
    app.again();
  }, { "aria-pressed": String(app.sun.on) });

  /** Says whether the page works without signal by now, and what is in the way. */
  app.readiness = () => {
    const { kept: here, fetching, trouble } = app.edition;
    if (fetching && !here) return say("first.fetching", { share: percent(fetching.done / fetching.of) });
    if (trouble && !here) return `${trouble.place}: ${trouble.reason} ${trouble.mend}`;
    if (!app.known) return say("first.waking");
    return say(here ? "first.ready" : "first.not-ready");
  };

  /** Takes the newer edition: the page is then loaded anew, and comes back to the same turn. */
  app.takeNewer = () => once(async () => {
    if (await takeEdition()) return;
    const { trouble } = app.edition;
    tell(trouble ? `${trouble.reason} ${trouble.mend}` : say("newer.not-yet"), { loud: true });
  });

  const AT_REST = ["first", "phone"];
  /** Draws anew where nothing is being answered, nor a name or words typed. */
  const refresh = async () => {
    const asked = kept.locked || !(await app.author().catch(() => ""));
    if (!asked && AT_REST.includes(app.here().screen)) app.again();
  };

  /** Draws anew what tells of the edition, where nothing is being answered. */
  const editionIs = (state) => {
    const before = app.edition;
    app.edition = state;
    const same = before && ["kept", "trouble"].every((name) => before[name] === state[name]) && before.newer?.ready === state.newer?.ready;
    if (before && !same) refresh();
  };

  /** A timer that runs rings wherever one is on the page. */
  app.ringFor = ({ log, view, what }, { until }) => {
    if (until) app.alarm.set(until, log);
    else if (!view && !what && app.alarm.log === log) app.alarm.set(0, "");
  };

  /** A timer of the case that is open rings after a reload, too, whatever is looked at. */
  app.remind = async (log) => app.ringFor({ log }, await app.ask("show", await app.cases.given({ log })));

  app.start = async () => {
    onEdition(editionIs);
    const open = await kept.setting("open").catch(() => null);
    const place = app.here();
    if (place.screen === "first" && open && (await kept.entries(open).catch(() => [])).length) app.go({ screen: "turn", log: open });
    else app.again();
    app.known = await thinker.ready;
    await refresh();
    if (open && app.here().screen !== "turn") await app.remind(open);
    app.touch = keepInTouch(kept, (done) => { app.merged = done; });
  };

  return app;
}

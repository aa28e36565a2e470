// The turn that is due: one question or step, large, its replies in reach of the thumb.

import { button, el, field, heading } from "../dom.js";
import { wordpad } from "../keypad.js";
import { numbers } from "./numbers.js";
import { timer } from "./timer.js";

const LISTS = { item: "ul", do: "ol" };
const LOUD = ["caution", "danger"];

/**
 * @typedef {object} Shown what the thinking says is due (see talk/)
 * @property {string} last the entry it stands on
 * @property {{kind: string, heading: string, title: string, lines: object[], replies: object[], bar: object[], typed: ?object}} turn
 */

/** Draws the turn of a case, or what is looked at beside it. */
export async function turnScreen(app, place) {
  const shown = await app.cases.shown(place);
  const { turn } = shown;
  app.ringFor(place, shown);
  const stop = turn.kind === "danger";
  return {
    title: turn.title || turn.heading,
    kind: stop ? "stop" : "",
    body: [...dangersOf(app.say, shown), ...headOf(turn), ...linesOf(app.say, loudOf(turn)), ...timerOf(app, shown), ...linesOf(app.say, quietOf(turn)), ...priceOf(app.say, shown), ...flawsOf(app.say, shown)],
    replies: [...typedOf(app, place, shown), ...repliesOf(app, place, shown)],
    bar: barOf(app, place, shown),
    after: place.view || place.what || shown.over ? null : () => app.cases.foresee(place),
  };
}

function dangersOf(say, { dangers, turn }) {
  if (turn.kind === "danger") return [];
  return dangers.map((danger) => loud(say, { kind: "danger", text: danger.say }));
}

function headOf(turn) {
  if (!turn.title || turn.title === turn.heading) return [heading(turn.heading)];
  return [el("p", { class: "kind" }, turn.heading), heading(turn.title)];
}

function timerOf(app, { until }) {
  return until ? [timer(app)] : [];
}

/** Danger comes first, then caution, before whatever else is told. */
function loudOf({ lines }) {
  return ["danger", "caution"].flatMap((kind) => lines.filter((line) => line.kind === kind));
}

function quietOf({ lines }) {
  return lines.filter((line) => !LOUD.includes(line.kind));
}

/** Returns lines; those of one list stand in it together. */
function linesOf(say, lines) {
  const made = [];
  let list = null;
  for (const line of lines) {
    const tag = LISTS[line.kind];
    if (!tag) {
      list = null;
      made.push(LOUD.includes(line.kind) ? loud(say, line) : el("p", { class: line.kind, dir: "auto" }, line.text));
      continue;
    }
    if (list?.dataset.kind !== line.kind) {
      list = el(tag, { "data-kind": line.kind });
      made.push(list);
    }
    list.append(el("li", { dir: "auto" }, line.mark ? `${line.mark} ${line.text}` : line.text));
  }
  return made;
}

function loud(say, { kind, text }) {
  return el("p", { class: kind }, el("strong", {}, say(`turn.${kind}`)), " ", text);
}

function priceOf(say, { step, turn }) {
  if (turn.kind !== "step" || !step) return [];
  return [el("p", { class: "aside" }, say("turn.price", { price: Math.round(step.price) }))];
}

/** What of the case cannot be reckoned with here; the rest stands. */
function flawsOf(say, { unfit, missing, unread }) {
  const found = { unfit, missing, unread: unread?.length };
  const told = Object.entries(found).filter(([, number]) => number);
  return told.map(([name, number]) => el("p", { class: "aside" }, say(`turn.${name}`, { number })));
}

function repliesOf(app, place, shown) {
  return shown.turn.replies
    .filter((reply) => reply.view !== "back") // it stands in the bar, where it always stands
    .map((reply) => button(reply.label, () => answer(app, place, shown, { key: reply.key }, reply.label)));
}

function typedOf(app, place, shown) {
  const { typed } = shown.turn;
  if (!typed) return [];
  const use = (text, said = text) => answer(app, place, shown, { typed: text }, said);
  if (shown.pad) return numbers(app, shown, use);
  const word = app.say("turn.safe-word");
  if (typed.what.startsWith("safe:")) return [el("p", {}, app.say("turn.safe-keys", { word: word.toUpperCase() })), ...wordpad({ say: app.say, word, use })];
  return wordsOf(app, typed, use);
}

function wordsOf(app, typed, use) {
  const { input, parts } = field(typed.prompt);
  const send = () => use(input.value);
  return [app.form(send, [...parts, app.goes("turn.send")])];
}

/** Returns the bar: back or undo, always first; causes, history and the rest are one tap away. */
function barOf(app, place, shown) {
  const { say } = app;
  const beside = (screen) => () => app.go({ screen, log: place.log });
  return [
    backOf(app, place, shown),
    button(say("bar.causes"), beside("causes")),
    button(say("bar.history"), beside("history")),
    button(say("bar.more"), beside("more")),
  ];
}

function backOf(app, place, shown) {
  if (place.view || place.what) return button(app.say("bar.back"), () => app.go({ screen: "turn", log: place.log }));
  const undo = shown.turn.bar.find((reply) => reply.key === "u");
  if (!undo) return button(app.say("bar.cases"), () => app.leave());
  return button(undo.label, () => answer(app, place, shown, { key: undo.key }, undo.label));
}

/**
 * Answers the turn: what it comes to is on the disk before it is said to be, and before anything
 * else is thought about.
 * @param {{key: string}|{typed: string}} given
 * @param {string} said how the answer reads
 */
export async function answer(app, place, shown, given, said) {
  await app.once(async () => {
    app.tell("");
    const outcome = await app.ask("reply", { ...(await app.cases.given(place)), last: shown.last, ...given });
    const due = { screen: "turn", log: place.log };
    if (outcome.entries) {
      await app.keep(outcome.entries);
      app.tell(app.say("turn.kept", { said }));
      app.go(due);
    } else if (outcome.leave) app.leave();
    else if (outcome.unknown) {
      app.tell(app.say("turn.moved"));
      app.go(due);
    } else app.go({ ...due, ...outcome });
  });
}

// Numbers of a reading, one at a time; what stands by now is not lost by a reload.

import { button, el } from "../dom.js";
import { draftOf, keepDraft } from "../draft.js";
import { keypad } from "../keypad.js";

/**
 * @typedef {object} Part one number on the keypad (see talk/pad)
 * @property {string} title
 * @property {string} before what is written before the number
 * @property {{unit: string, decimals: number}[]} units its own first
 * @property {boolean} negative
 * @property {boolean} needed
 * @property {?number} known what counts where it is left out
 */

/**
 * Returns the keypad for all numbers of a turn.
 * @param {object} app
 * @param {object} shown
 * @param {(text: string, said: string) => void} use called with all of them as they are typed
 */
export function numbers(app, shown, use) {
  const parts = shown.pad.parts;
  const draft = draftOf(shown);
  const box = el("div", { class: "numbers" });

  const next = (written) => {
    draft.numbers.push(written);
    draft.text = "";
    keepDraft(draft);
    if (draft.numbers.length < parts.length) draw();
    else use(draft.numbers.filter(Boolean).join(" "), readOf(draft).join(", "));
  };

  const draw = () => {
    const part = parts[draft.numbers.length];
    const at = parts.length > 1 ? [wanted(app.say, parts, draft)] : [];
    const changed = (typed) => keepDraft(Object.assign(draft, typed));
    const done = (number, unit) => next(`${part.before}${number}${unit}`);
    const pad = keypad({ say: app.say, part, begun: draft, changed, use: done });
    box.replaceChildren(...at, ...pad, ...leftOut(app.say, part, () => next("")));
  };

  if (draft.numbers.length >= parts.length) draft.numbers = [];
  draw();
  return [box];
}

/** Returns what was read so far, with a space before each unit. */
function readOf({ numbers }) {
  return numbers.filter(Boolean).map((number) => number.replace(/([\d.])(?=[^\d.])/, "$1 "));
}

function wanted(say, parts, { numbers }) {
  const said = readOf({ numbers });
  const now = say("pad.wanted", { part: parts[numbers.length].title, number: numbers.length + 1, of: parts.length });
  return el("p", { class: "wanted", role: "status" }, el("strong", {}, now), said.length ? ` (${said.join(", ")})` : "");
}

/** What need not be typed can be passed over. */
function leftOut(say, { needed, known, unit }, pass) {
  if (needed) return [];
  const told = known === null ? say("pad.leave-out") : say("pad.as-known", { known, unit });
  return [button(told, pass)];
}

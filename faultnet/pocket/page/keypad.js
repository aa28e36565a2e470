// Numbers and a word by big keys, for wet hands: no keyboard of the phone comes up.

import { button, el } from "./dom.js";

const LONGEST = 9;
/** Keys of one number. */

/**
 * Returns a number after one more key; what the key cannot do changes nothing.
 * @param {string} text
 * @param {string} key a digit, ".", "sign", "back" or "clear"
 * @param {{decimals: number, negative: boolean}} wanted
 */
export function typed(text, key, wanted) {
  if (key === "clear") return "";
  if (key === "back") return text.length === 2 && text[0] === "-" ? "" : text.slice(0, -1);
  if (key === "sign") {
    if (!wanted.negative) return text;
    return text.startsWith("-") ? text.slice(1) : `-${text}`;
  }
  if (text.length >= LONGEST) return text;
  if (key === ".") return pointed(text, wanted);
  const [whole, after] = text.split(".");
  if (after !== undefined) return after.length < wanted.decimals ? text + key : text;
  return /^-?0$/.test(whole) ? whole.slice(0, -1) + key : text + key;
}

function pointed(text, wanted) {
  if (!wanted.decimals || text.includes(".")) return text;
  return /\d$/.test(text) ? `${text}.` : `${text}0.`;
}

/** Whether what was typed is a number. */
export function isNumber(text) {
  return /^-?\d+(\.\d+)?$/.test(text);
}

const KEYS = [
  ["1", "2", "3", "back"],
  ["4", "5", "6", "clear"],
  ["7", "8", "9", "sign"],
  ["0", "."],
];
const SIGNS = { back: "⌫", clear: "C", sign: "±", ".": "." };
const OF_KEYBOARD = { Backspace: "back", Delete: "clear", "-": "sign", ",": ".", ".": "." };

/**
 * Returns what was typed, large, and the keys below it.
 * @param {object} given
 * @param {(name: string, with?: object) => string} given.say
 * @param {{units: {unit: string, decimals: number}[], negative: boolean}} given.part
 * @param {{text: string, unit?: string}} given.begun what was typed before
 * @param {(typed: {text: string, unit: string}) => void} given.changed called with what is typed by now
 * @param {(number: string, unit: string) => void} given.use called with a whole number
 * @returns {Element[]}
 */
export function keypad({ say, part, begun, changed, use }) {
  const { units } = part;
  let text = begun.text;
  let unit = units.find((each) => each.unit === begun.unit) ?? units[0];
  const shown = el("span", { class: "number" });
  const told = el("p", { role: "status", "aria-label": say("pad.typed") }, shown);
  const go = button("", () => isNumber(text) && use(text, unit.unit), { class: "go" });
  const other = button("", () => turned(), { class: "unit", "data-key": "unit" });

  const draw = () => {
    const whole = isNumber(text);
    shown.textContent = text || "–";
    other.textContent = unit.unit;
    other.setAttribute("aria-label", say("pad.unit", { unit: unit.unit }));
    go.textContent = say(whole ? "pad.use" : "pad.none", { number: text, unit: unit.unit });
    go.setAttribute("aria-disabled", String(!whole));
  };
  const set = (typed) => {
    text = typed;
    changed({ text, unit: unit.unit });
    draw();
  };
  const wanted = () => ({ negative: part.negative, decimals: unit.decimals });
  const press = (key) => set(typed(text, key, wanted()));
  const turned = () => {
    unit = units[(units.indexOf(unit) + 1) % units.length];
    set(trimmed(text, unit.decimals));
  };
  const fine = units.some(({ decimals }) => decimals > 0);
  const keys = keysFor({ fine, negative: part.negative }, say, press);
  const pad = el("div", { class: "pad", role: "group", "aria-label": say("pad.keys") }, ...keys, go);
  pad.addEventListener("keydown", (event) => {
    const key = /^\d$/.test(event.key) ? event.key : OF_KEYBOARD[event.key];
    if (key) press(key);
  });
  draw();
  const beside = units.length > 1 ? other : el("span", { class: "unit" }, unit.unit);
  return [el("div", { class: "pad-shown" }, told, beside), pad];
}

/** A unit that is read less finely takes no more digits. */
function trimmed(text, decimals) {
  const [whole, after = ""] = text.split(".");
  return decimals && after ? `${whole}.${after.slice(0, decimals)}` : whole;
}

/** Returns the keys; where one is not used, its place stays empty and the others where they are. */
function keysFor({ fine, negative }, say, press) {
  const unused = [fine ? "" : ".", negative ? "" : "sign"];
  return KEYS.flat().map((key) => {
    if (unused.includes(key)) return el("span", { class: "no-key", "aria-hidden": "true" });
    const name = key in SIGNS ? say(`pad.key-${key === "." ? "point" : key}`) : null;
    return button(SIGNS[key] ?? key, () => press(key), { "aria-label": name, "data-key": key });
  });
}

/**
 * Returns keys for one word that no slip can type: its letters, out of their order.
 * @param {(text: string) => void} use called with the word once it stands there
 */
export function wordpad({ say, word, use }) {
  let text = "";
  const shown = el("span", { class: "number" });
  const told = el("p", { class: "pad-shown", role: "status", "aria-label": say("pad.typed") }, shown);
  const draw = () => { shown.textContent = [...word].map((_, i) => text[i]?.toUpperCase() ?? "_").join(" "); };
  const press = (letter) => {
    text = word.startsWith(text + letter) ? text + letter : "";
    draw();
    if (text === word) use(text);
  };
  const letters = [...new Set(word)].sort();
  const keys = letters.map((letter) => button(letter.toUpperCase(), () => press(letter), { "data-key": letter }));
  draw();
  return [told, el("div", { class: "pad letters", role: "group", "aria-label": say("pad.keys") }, ...keys)];
}

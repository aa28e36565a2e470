// Elements made of parts. What people wrote and what the thinking says is only ever text.

const SVG = "http://www.w3.org/2000/svg";

/**
 * Returns an element.
 * @param {string} tag
 * @param {object} [given] attributes; `on` has listeners, true stands alone, null and false are left out
 * @param {...(Node|string|null|undefined)} parts
 */
export function el(tag, given = {}, ...parts) {
  return filled(document.createElement(tag), given, parts);
}

function filled(element, given, parts) {
  const { on = {}, ...attributes } = given;
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? "" : value);
  }
  for (const [name, listener] of Object.entries(on)) element.addEventListener(name, listener);
  element.append(...parts.filter((part) => part !== null && part !== undefined));
  return element;
}

/** Returns a button; `press` is called when it is tapped. */
export function button(label, press, given = {}) {
  return el("button", { type: "button", on: { click: press }, ...given }, label);
}

/** Returns the heading of a screen. */
export function heading(text) {
  return el("h1", { tabindex: "-1" }, text);
}

/** Returns a field with its label above. */
export function field(label, given = {}) {
  const input = el("input", { id: "typed", autocomplete: "off", ...given });
  return { input, parts: [el("label", { for: "typed" }, label), input] };
}

/** Returns a share of one, drawn as the desk draws it. */
export function bar(share) {
  const drawn = (tag, given, ...parts) => filled(document.createElementNS(SVG, tag), given, parts);
  const percent = `${(100 * share).toFixed(1)}%`;
  return drawn("svg", { class: "share", "aria-hidden": "true", focusable: "false" },
    drawn("rect", { class: "whole", width: "100%", height: "100%" }),
    drawn("rect", { class: "part", width: percent, height: "100%" }));
}

/** Returns a share in words: 4 %, under 1 %. */
export function percent(share) {
  const whole = Math.round(100 * share);
  return share > 0 && whole === 0 ? "<1%" : `${whole}%`;
}

const HOUR = { hour: "2-digit", minute: "2-digit", hourCycle: "h23" };
const DAY = { weekday: "short", day: "numeric", month: "short" };

/** Returns a moment that was written in UTC as the clock of the phone has it: 14:05. */
export function hour(text) {
  return new Date(text).toLocaleTimeString([], HOUR);
}

/** Returns its day. */
export function day(text) {
  return new Date(text).toLocaleDateString([], DAY);
}

/** Returns both; of today the time is enough. */
export function moment(text) {
  const today = day(text) === day(Date.now());
  return today ? hour(text) : `${day(text)}, ${hour(text)}`;
}

// What goes wrong with keeping is told with its place, its reason and its mend.

import { words } from "./words.js";

const say = await words();

/** Return one of the texts about keeping; `given` fills its gaps. */
export const text = (name, given = {}) => say(`keeping.${name}`, given);

/** An error that the page can tell: `told` is {place, reason, mend}, `code` its name in the texts. */
export class Trouble extends Error {
  constructor(code, given = {}, cause = undefined) {
    const [place, reason, mend] = ["place", "reason", "mend"].map((part) => text(`trouble.${code}.${part}`, given));
    super(`${place}: ${reason} ${mend}`, { cause });
    Object.assign(this, { name: "Trouble", code, given, told: { place, reason, mend } });
  }
}

// A case on this phone: what is kept of it, what is due in it, and what comes next in quiet moments.

import { siteOf } from "./site.js";

const QUIET = 300;
/** Milliseconds without a tap before what may come is worked out. */

/** @param {object} app what all screens share */
export function casesOf(app) {
  let foreseeing = 0;

  /** Returns what the thinking is given to look at a place in a case. */
  const given = async ({ log, view, what, text }) => {
    const entries = await app.kept.entries(log);
    const site = siteOf(entries);
    const site_entries = site ? await app.kept.entries(site) : [];
    return { author: await app.author(), entries, site_entries, ...filled({ view, what, text }) };
  };

  /** Returns what is shown at a place; what is worth noting about it is kept before it is seen. */
  const shown = async (place) => {
    const found = await app.ask("show", await given(place));
    if (!found.note || place.view || place.what) return found;
    await app.kept.add([found.note]);
    return { ...found, last: found.note.id };
  };

  /** Works out what the likeliest replies lead to, as long as nothing is tapped. */
  const foresee = async (place) => {
    foreseeing += 1;
    const mine = foreseeing;
    const { view, what, text, ...asked } = await given(place);
    for (let number = 0; mine === foreseeing; number += 1) {
      await new Promise((go) => setTimeout(go, number ? 0 : QUIET));
      if (mine !== foreseeing) return;
      const { done } = await app.ask("foresee", { ...asked, number });
      if (done) return;
    }
  };

  /** Returns the cases on this phone, with what can be told of them by now; the last one first. */
  const listed = async () => {
    const logs = (await app.kept.logs()).filter(({ kind }) => kind === "case");
    const told = app.known && logs.length ? await app.ask("listed", { logs: await Promise.all(logs.map(heldOf)) }) : [];
    return logs
      .map((log, number) => ({ ...told[number], ...log, touched: told[number]?.touched || log.touched }))
      .sort((a, b) => (a.touched < b.touched ? 1 : -1));
  };

  const heldOf = async ({ id }) => {
    const { entries, site_entries } = await given({ log: id });
    return { entries, site_entries };
  };

  return { given, shown, foresee, listed, stopForeseeing: () => { foreseeing += 1; } };
}

function filled(fields) {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));
}

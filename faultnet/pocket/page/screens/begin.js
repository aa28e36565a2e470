// A new case: at a site that is known on this phone, or somewhere new; then what stands there.

import { button, el, heading } from "../dom.js";

export async function beginScreen(app, place) {
  const { say } = app;
  const sites = await sitesOf(app);
  const where = sites.length > 0 && place.site === undefined;
  return {
    title: say("begin.title"),
    body: [heading(say(where ? "begin.where" : "begin.what")), where ? el("p", {}, say("begin.known-told")) : null],
    replies: where ? whereOf(app, sites) : await whatOf(app),
    bar: [app.backTo(where || !sites.length ? { screen: "first" } : { screen: "begin" })],
  };
}

function whereOf(app, sites) {
  const known = sites.map(({ site, name }) => button(name, () => begin(app, "", site)));
  return [...known, button(app.say("begin.new"), () => app.go({ screen: "begin", site: "" }))];
}

async function whatOf(app) {
  const { systems } = await app.about();
  return systems.map(({ id, title }) => button(title, () => begin(app, id, "")));
}

/** Returns the sites of the cases on this phone, each once. */
async function sitesOf(app) {
  const sites = new Map();
  for (const each of await app.cases.listed()) {
    if (each.site && each.name) sites.set(each.site, { site: each.site, name: each.name });
  }
  return [...sites.values()];
}

async function begin(app, system, site) {
  await app.once(async () => {
    const site_entries = site ? await app.kept.entries(site) : [];
    const { entries } = await app.ask("begin", { author: await app.author(), system, site_entries });
    await app.keep(entries);
    app.tell(app.say("begin.kept"));
    await app.open(entries.at(-1).log);
  });
}

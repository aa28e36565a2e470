// Entries that the office refused: they stay on this phone and hold up none of the others.

const ASIDE = "aside"; // the setting: {id: {log, told, at}}; what an entry says stays in it

// Sets an entry aside; `told` is why, as the office told it.
export async function setAside(kept, { id, log }, told) {
  const aside = (await kept.setting(ASIDE)) ?? {};
  await kept.setSetting(ASIDE, { ...aside, [id]: { log, told, at: new Date().toISOString() } });
}

// Returns what tells whether an entry is set aside.
export async function isAside(kept) {
  const aside = (await kept.setting(ASIDE)) ?? {};
  return ({ id }) => id in aside;
}

// Has entries that were set aside be sent once more.
export async function putBack(kept) {
  await kept.setSetting(ASIDE, {});
}

// Returns the entries that are set aside: [{entry, told, at}].
export async function asideOf(kept) {
  const aside = (await kept.setting(ASIDE)) ?? {};
  return (await kept.unsent())
    .filter(({ id }) => id in aside)
    .map((entry) => ({ entry, told: aside[entry.id].told, at: aside[entry.id].at }));
}

// Returns a file with all of them and why, to be handed over: {name, text}.
export async function asideFile(kept) {
  const now = new Date().toISOString();
  const text = JSON.stringify({ refused: await asideOf(kept) }, null, 1);
  return { name: `refused-${now.slice(0, 10)}.json`, text: `${text}\n` };
}

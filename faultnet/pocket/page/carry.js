// Cases as files: out of this phone and onto it, where there is never a connection.
//
// Whoever asks gives `by`: {kept, ask, hand}: what is kept, the thinking's `ask`, and what hands a
// file on and says "shared", "saved" or "not" (hand.js). What went out by file counts as unsent
// until somebody says that the office took that file in.

import { siteOf } from "./site.js";
import { Trouble } from "./told.js";

const CARRIED = "carried";
const LARGEST = 64 * 1024 * 1024; // bytes; no case comes near

/** Hand a case on as a file; returns what became of it. */
export async function carry(by, log, { withoutCustomer = false } = {}) {
  return handed(by, await placed(by.kept, log), withoutCustomer);
}

/** Hand on all that is unsent, a file for each case.
 *
 * Returns {files: [{log, how, told?}], left}: `how` is "trouble" where `told` says why; `left` are
 * logs of which something stays here that no file took along.
 */
export async function carryUnsent(by) {
  const logs = await by.kept.logs();
  const unsent = new Set(logs.filter((log) => log.unsent).map(({ id }) => id));
  const files = [];
  for (const { id } of logs.filter(({ kind }) => kind === "case")) {
    const case_ = await placed(by.kept, id);
    if (!unsent.has(id) && !unsent.has(case_.site)) continue;
    const done = await handed(by, case_, false).then((how) => ({ how }), ({ told }) => ({ how: "trouble", told }));
    files.push({ log: id, ...done });
    if (["shared", "saved"].includes(done.how)) [id, case_.site].forEach((log) => unsent.delete(log));
  }
  return { files, left: [...unsent] };
}

/** Return the files whose events still count as unsent: [{name, log, at, waiting}], the last first. */
export async function carried(kept) {
  const unsent = new Set((await kept.unsent()).map(({ id }) => id));
  return (await noted(kept))
    .map(({ ids, ...file }) => ({ ...file, waiting: ids.filter((id) => unsent.has(id)).length }))
    .filter(({ waiting }) => waiting)
    .sort((a, b) => (a.at < b.at ? 1 : -1));
}

/** Note that the office has taken in the file that went out at this time. */
export async function takenIn(kept, at) {
  const files = await noted(kept);
  const file = files.find((each) => each.at === at);
  if (!file) return;
  await kept.markSent(file.ids);
  await kept.setSetting(CARRIED, files.filter((each) => each !== file));
}

/** Keep a case from its file; returns {log, added}. What is kept already changes nothing. */
export async function takeFile({ kept, ask }, file) {
  const { log, entries, site_entries: ofSite } = await ask("opened", { name: file.name, text: await textOf(file) });
  const { added } = await kept.add([...ofSite, ...entries]);
  return { log, added };
}

async function textOf(file) {
  if (file.size > LARGEST) throw new Trouble("file-large", { name: file.name, most: LARGEST / 1024 / 1024 });
  try {
    return await file.text();
  } catch (error) {
    throw new Trouble("file-unread", { name: file.name, detail: error.name }, error);
  }
}

async function placed(kept, log) {
  const entries = await kept.entries(log);
  const site = siteOf(entries);
  return { log, entries, ofSite: site ? await kept.entries(site) : [], site };
}

async function handed({ kept, ask, hand }, { log, entries, ofSite }, withoutCustomer) {
  const given = { entries, site_entries: ofSite, without_customer: withoutCustomer };
  const { name, text } = await ask("casefile", given);
  const how = await hand(new File([text], name, { type: "application/json" }));
  if (how !== "not" && !withoutCustomer) await note(kept, { log, name }, [...ofSite, ...entries]);
  return how;
}

async function note(kept, file, entries) {
  const unsent = new Set((await kept.unsent()).map(({ id }) => id));
  const ids = entries.map(({ id }) => id).filter((id) => unsent.has(id));
  const waiting = (await noted(kept)).filter((each) => each.ids.some((id) => unsent.has(id)));
  if (ids.length) waiting.push({ ...file, at: new Date().toISOString(), ids });
  await kept.setSetting(CARRIED, waiting);
}

async function noted(kept) { return (await kept.setting(CARRIED)) ?? []; }

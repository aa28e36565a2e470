// What people said or did on a case without having seen each other's, as the office told it last.

const UNSETTLED = "unsettled"; // the setting: {log: [{kind, title, round, said}]}

/** Note what is unsettled in a case. */
export async function setUnsettled(kept, log, told) {
  const all = (await kept.setting(UNSETTLED)) ?? {};
  if (told.length || all[log]) await kept.setSetting(UNSETTLED, { ...all, [log]: told });
}

/** Return what is unsettled in the cases that are here: [{log, kind, title, round, said}]. */
export async function unsettledOf(kept) {
  const all = (await kept.setting(UNSETTLED)) ?? {};
  const here = (await kept.logs()).map(({ id }) => id);
  return here.flatMap((log) => (all[log] ?? []).map((each) => ({ log, ...each })));
}

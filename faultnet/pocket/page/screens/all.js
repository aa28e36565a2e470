// The screens by their names; each returns {title, kind?, body, replies, bar, after?}.

import { beginScreen } from "./begin.js";
import { causesScreen } from "./causes.js";
import { dayScreen } from "./day.js";
import { endedScreen, firstScreen } from "./first.js";
import { filesScreen } from "./files.js";
import { forgetScreen } from "./forget.js";
import { historyScreen } from "./history.js";
import { wordsScreen } from "./lock.js";
import { moreScreen } from "./more.js";
import { newerScreen } from "./newer.js";
import { officeScreen } from "./office.js";
import { openScreen } from "./open.js";
import { phoneScreen } from "./phone.js";
import { reportScreen } from "./report.js";
import { turnScreen } from "./turn.js";
import { whoScreen } from "./who.js";
import { wipeScreen } from "./wipe.js";

export const SCREENS = {
  begin: beginScreen,
  causes: causesScreen,
  day: dayScreen,
  ended: endedScreen,
  files: filesScreen,
  first: firstScreen,
  forget: forgetScreen,
  history: historyScreen,
  more: moreScreen,
  newer: newerScreen,
  office: officeScreen,
  open: openScreen,
  phone: phoneScreen,
  report: reportScreen,
  turn: turnScreen,
  who: whoScreen,
  wipe: wipeScreen,
  words: wordsScreen,
};

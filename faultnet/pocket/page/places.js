// Where one is on the page. The phone's own back leads the same way as the page's.
//
// A place is {screen, log?, view?}. At the bottom are the cases, above it the case that is open,
// above that whatever is looked at beside it: three deep at most, so one never gets lost.

const BESIDE = new Set(["causes", "history", "report", "more"]);

export const FIRST = { screen: "first" };

/** Returns how deep a place lies. */
export function depth(place) {
  if (place.screen === "first") return 0;
  return BESIDE.has(place.screen) || place.view || place.what ? 2 : 1;
}

/**
 * Keeps the place in the phone's history. Words that were typed are not written there.
 * @param {(place: object) => void} arrived called whenever one is somewhere else
 */
export function places(arrived) {
  let now = history.state?.screen ? history.state : FIRST;
  let awaited = null;

  const put = (place, how) => {
    const { what, text, ...written } = place;
    history[how]({ ...written, deep: depth(place) }, "");
    now = place;
  };

  const go = (place) => {
    const from = depth(now);
    const to = depth(place);
    if (to < from) {
      awaited = place;
      history.go(to - from);
      return;
    }
    if (to === 2 && from === 0) put({ screen: "turn", log: place.log }, "pushState");
    put(place, to > from ? "pushState" : "replaceState");
    arrived(place);
  };

  addEventListener("popstate", (event) => {
    const place = awaited ?? (event.state?.screen ? event.state : FIRST);
    awaited = null;
    put(place, "replaceState");
    arrived(place);
  });
  if (!history.state?.screen) put(FIRST, "replaceState");
  return { go, here: () => now };
}

// Digits that were typed and not yet used: a reload in the middle does not lose them.

const NAME = "draft";

/** Returns the draft of the turn that is shown: {of, numbers, text}. */
export function draftOf({ last, turn }) {
  const of = `${last} ${turn.typed.what}`;
  const kept = JSON.parse(sessionStorage.getItem(NAME) ?? "null");
  return kept?.of === of ? kept : { of, numbers: [], text: "" };
}

export function keepDraft(draft) {
  sessionStorage.setItem(NAME, JSON.stringify(draft));
}

export function forgetDraft() {
  sessionStorage.removeItem(NAME);
}

// One tap is one answer: while one is on its way, in the first moment after it and of a new screen, none is taken.

export const SOON = 600;
/** Milliseconds in which a tap was meant for what was there before. */

const ANY_TIME = "[data-any-time]";
/** What can be tapped whenever: it answers nothing. */

const QUICK = '[data-key], [aria-pressed], [aria-disabled="true"]';
/** Keys and what is chosen before it is sent: they answer nothing, and follow each other fast. */

/**
 * @param {HTMLElement} main is marked while it rests
 * @param {(error: Error) => void} failed called with what went wrong
 */
export function guard(main, failed) {
  let busy = false;
  let changed = -SOON;
  let later = 0;

  const rest = () => {
    changed = performance.now();
    main.dataset.rests = "";
    clearTimeout(later);
    later = setTimeout(() => delete main.dataset.rests, SOON);
  };

  const mistaken = (event) => {
    const target = event.target.closest("button, a, summary, form");
    if (!target || target.matches(ANY_TIME)) return;
    if (!busy && performance.now() - changed >= SOON) {
      if (!target.matches(QUICK)) setTimeout(rest); // not before what the tap itself sends
      return;
    }
    event.preventDefault();
    event.stopImmediatePropagation();
  };

  /** Runs one thing at a time. */
  const once = async (work) => {
    if (busy) return;
    busy = true;
    main.dataset.busy = "";
    try {
      await work();
    } catch (error) {
      failed(error);
    } finally {
      busy = false;
      delete main.dataset.busy;
    }
  };

  document.addEventListener("click", mistaken, true);
  document.addEventListener("submit", mistaken, true);
  return { rest, once };
}

// Hands a file on: by the phone's own sharing where it can, else into its downloads.

import { el } from "./dom.js";

const AWHILE = 60_000;
/** Milliseconds after which a file that was saved is let go of. */

/**
 * @param {File} file
 * @returns {Promise<"shared"|"saved"|"not">} what became of it
 */
export async function hand(file) {
  const given = { files: [file] };
  if (navigator.canShare?.(given)) {
    try {
      await navigator.share(given);
      return "shared";
    } catch (error) {
      if (error.name === "AbortError") return "not"; // somebody thought better of it
    }
  }
  save(file);
  return "saved";
}

function save(file) {
  const address = URL.createObjectURL(file);
  const link = el("a", { href: address, download: file.name, hidden: true, "data-any-time": true });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), AWHILE);
}

// The site that a case stands at, as its events say.

/** @param {{event: {what: string, site?: string}}[]} entries */
export function siteOf(entries) {
  let site = "";
  for (const { event } of entries) {
    if (event.what === "at-site" || (event.what === "opened" && event.site)) site = event.site ?? "";
  }
  return site;
}

// The customer's copy: read, printed, or handed on as a file.

import { button, el, heading } from "../dom.js";

export async function reportScreen(app, place) {
  const { say } = app;
  const due = { screen: "turn", log: place.log };
  const { html } = await app.ask("report", { ...(await app.cases.given(due)), audience: "customer" });
  const name = `${say("report.name", { case: place.log })}.html`;
  return {
    title: say("report.title"),
    body: [heading(say("report.title")), paper(html)],
    replies: [
      button(say("report.hand"), () => app.hand({ name, text: html }, "text/html"), { class: "go" }),
      button(say("report.print"), () => print()),
    ],
    bar: [app.backTo(due)],
  };
}

/** Returns the report as it will lie on paper; its own style holds within and nowhere else. */
function paper(html) {
  const read = new DOMParser().parseFromString(html, "text/html");
  const box = el("div", { class: "paper" });
  const inside = box.attachShadow({ mode: "open" });
  const style = new CSSStyleSheet();
  style.replaceSync([...read.querySelectorAll("style")].map((each) => each.textContent).join("\n").replaceAll("body {", ":host {"));
  inside.adoptedStyleSheets = [style];
  inside.append(el("div", {}, ...document.importNode(read.querySelector("main"), true).childNodes));
  for (const title of inside.querySelectorAll("h1")) title.replaceWith(el("h2", {}, title.textContent));
  return box;
}

"""A page to try editions and thinking with: it shows how it stands and asks what is typed."""

from faultnet.pocket.making.edition import edition_of, packed
from faultnet.pocket.making.pocket import PAGE, Pocket

INDEX = b"""<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Trial</title>
<script type="module" src="trial.js"></script>
<pre id="state"></pre><pre id="way"></pre><pre id="answer"></pre>
<label>Ask <input id="ask"></label><label>Given <input id="given"></label>
<button id="go">Go</button><button id="take">Take</button><button id="look">Look</button>
"""

EDITION = b"""
import { look, on, take } from "./edition.js";
const show = (id, what) => { document.getElementById(id).textContent = JSON.stringify(what); };
on((state) => show("state", state));
document.getElementById("take").onclick = () => take();
document.getElementById("look").onclick = () => look();
"""

THINKING = b"""
import { thinker } from "./thinker.js";
const value = (id) => document.getElementById(id).value;
const mind = thinker();
mind.progress((share, fetching) => show("way", { share, fetching }));
mind.ready.then((about) => show("answer", about), (error) => show("answer", { told: error.told }));
document.getElementById("go").onclick = () => {
  show("answer", null);
  mind.ask(value("ask"), JSON.parse(value("given"))).then(
    (answer) => show("answer", answer), (error) => show("answer", { told: error.told }));
};
"""


def trial(made=None, version="1", thinks=False, **more):
    """Return a pocket with the trial page: of a pocket, or of the scripts alone.

    It asks what thinks where that is in the pocket, or where it is said that something ``thinks``.
    """
    scripts = {p.relative_to(PAGE).as_posix(): p.read_bytes() for p in PAGE.rglob("*.js*")}
    files = dict(made.files) if made else scripts
    for each in made.edition.files if made else ():
        if each.packed:
            files.pop(each.packed.path)
    script = EDITION + (THINKING if made or thinks else b"")
    files |= {
        "index.html": INDEX,
        "trial.js": script,
        **{name.replace("_js", ".js"): data for name, data in more.items()},
    }
    small = packed(files)
    return Pocket(edition_of(files, small, (version, ""), "0"), {**files, **small})

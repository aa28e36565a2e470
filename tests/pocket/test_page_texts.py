"""What the page says of itself stands in its texts: none is missing, none is left over."""

import json
import re

from faultnet.visit.dangers import SAFE
from tests.pocket.desk import PAGE

TEXTS = json.loads((PAGE / "texts" / "en.json").read_text())
OWN = ("page", "bar", "first", "ended", "who", "begin", "open", "turn", "pad", "timer", "more")
OWN += ("causes", "history", "report", "hand", "files", "sending", "day", "phone", "lock", "wipe")
OWN += ("newer", "trouble")
"""The tables of the screens; whoever keeps, copies, thinks or sends has their own."""

_SAID = re.compile(r"""["'`]([a-z]+\.[a-z][\w-]*(?:\.[\w-]+)*)["'`]""")
_COMPOSED = {
    "hand": ("shared", "saved", "not"),
    "turn": ("danger", "caution", "unfit", "missing", "unread"),
    "pad": ("key-back", "key-clear", "key-sign", "key-point"),
}
"""Names that scripts put together."""


def flat(table, before=""):
    for name, text in table.items():
        if isinstance(text, dict):
            yield from flat(text, f"{before}{name}.")
        else:
            yield f"{before}{name}", text


def said():
    scripts = "\n".join(script.read_text() for script in PAGE.rglob("*.js"))
    return set(_SAID.findall(scripts))


def test_every_text_is_said_and_none_is_missing():
    own = {name for name, _ in flat({table: TEXTS[table] for table in OWN})}
    composed = {f"{table}.{word}" for table, words in _COMPOSED.items() for word in words}
    named = {name for name in said() if name.partition(".")[0] in OWN}
    assert named | composed == own


def test_texts_are_short_sentences_for_a_technician():
    for name, text in flat({table: TEXTS[table] for table in OWN}):
        assert text == text.strip(), name
        assert text, name
        for word in ("please", "click", "swipe", "error", "invalid", "session", "sync", "app "):
            assert word not in text.lower(), (name, word)


def test_the_word_that_says_safe_is_that_of_the_visit():
    assert TEXTS["turn"]["safe-word"] == SAFE


def test_scripts_hold_no_sentences():
    sentence = re.compile(r"""["'`][A-Z][a-z]+ [a-z]+ [^"'`]*[.?!]["'`]""")
    for script in (PAGE / "screens").rglob("*.js"):
        code = re.sub(r"^\s*(//|/?\*).*$", "", script.read_text(), flags=re.MULTILINE)
        assert not sentence.search(code), script.name

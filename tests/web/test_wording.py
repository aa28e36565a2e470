"""All that pages and handbook say stands in texts: nothing in templates, none left over."""

import re
import string
from pathlib import Path
from typing import get_args

import pytest

import faultnet.handbook
import faultnet.web
from faultnet.desk.board import Next
from faultnet.model.check import OPENS, PEOPLE, PLACES, POWER
from faultnet.model.repair import DISINFECTION
from faultnet.model.words import ORIGINS
from faultnet.web.pages.case import NOTES
from faultnet.web.pages.knowledge import KINDS, LISTED
from faultnet.web.wording import wording

WEB = Path(faultnet.web.__file__).parent
TEMPLATES = sorted((WEB / "templates").rglob("*.html"))
HANDBOOK = Path(faultnet.handbook.__file__).parent
SOURCES = [*TEMPLATES, *sorted(WEB.rglob("*.py")), *sorted(HANDBOOK.rglob("*.py"))]
TEXTS = wording().texts
_NAMED = re.compile(
    r"""(?:say|wording\(\)|told)\(\s*"""
    r"""["']([\w.-]+\.[\w.-]*\w)["']"""
)
_ASKED = re.compile(
    r"""(?:say|wording\(\))\(["']([\w.-]+)["'](?:, ([^()]*(?:\([^()]*\)[^()]*)*))?\)"""
)
_COMPOSED = {
    "kind": KINDS,
    "kinds": ("systems", *LISTED, "roots", "sources"),
    "who": PEOPLE,
    "power": POWER,
    "opens": OPENS,
    "place": PLACES,
    "disinfect": DISINFECTION,
    "number": ORIGINS,
    "sources": ("published", *ORIGINS),
    "system": ("faults-several", "faults-one"),
    "finding": ("stop-full", "stop-make-safe", "normal", "abnormal"),
    "board": (*(f"next-{word}" for word in get_args(Next)), "to-case", "to-call"),
    "outcome": ("licence-qualified", "licence-specialist"),
    "case": (*NOTES, "caution", "danger", "html", "pdf", "md"),
    "opening": ("title", "call"),
    "know": ("found", "nothing", "title"),
    "work": ("on", "off"),
    "procedure": ("made", "undone"),
    "reading": ("over", "under"),
}
"""Names that templates put together out of words of the model."""


def composed():
    return {f"{table}.{word}" for table, words in _COMPOSED.items() for word in words}


def named():
    return {name for path in SOURCES for name in _NAMED.findall(path.read_text("utf-8"))}


def fields(text):
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_says_nothing_of_its_own(path):
    text = path.read_text("utf-8")
    for markup in (r"\{#.*?#\}", r"\{%.*?%\}", r"\{\{.*?\}\}", r"<[^<>]*>", r"&\w+;"):
        text = re.sub(markup, " ", text, flags=re.DOTALL)
    assert not re.findall(r"[A-Za-z]+", text)


def test_every_text_that_is_asked_for_is_there():
    assert {*named(), *composed()} - TEXTS.keys() == set()


def test_no_text_is_left_over():
    assert TEXTS.keys() - named() - composed() == set()


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_a_text_gets_the_fields_that_it_names(path):
    for name, given in _ASKED.findall(path.read_text("utf-8")):
        if name in TEXTS:
            assert set(re.findall(r"(\w+)=", given)) == fields(TEXTS[name]), name


def test_a_text_that_is_not_there_is_no_silence():
    with pytest.raises(KeyError):
        wording()("board.nowhere")


def test_the_language_of_the_page_is_told():
    assert wording().language == "en"
    assert 'lang="{{ say.language }}"' in (WEB / "templates/base.html").read_text("utf-8")

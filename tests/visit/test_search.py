"""Words of the house lead to the finding; the phrases are from memory of how people talk."""

import pytest

from faultnet.visit.search import knowledge_index, stems, system_index


@pytest.fixture(scope="module")
def index(shipped):
    return system_index(shipped)


@pytest.mark.parametrize(
    ("words", "finding"),
    [
        ("spitting taps", "air-at-taps"),
        ("the water is milky", "air-at-taps"),
        ("water hammer", "bang-at-stop"),
        ("runs all night and never stops", "never-shuts-off"),
        ("clicking on and off", "short-cycles-drawing"),
        ("dead in the morning", "prime-lost-overnight"),
        ("burning smell", "burnt-smell"),
        ("ants in the switch", "insects-seen"),
        ("frozen pipe", "after-freeze"),
        ("plumber was here", "after-work"),
        ("no water", "no-water"),
    ],
)
def test_words_of_the_house(index, words, finding):
    assert finding in index.find(words)[:3]


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("guage falls", "gauge-falls-isolated"),
        ("pressue gone", "pressure-gone-in-minutes"),
        ("short cyling", "short-cycles-drawing"),
        ("moter silent", "motor-silent"),
        ("squeel", "bearing-squeal"),
    ],
)
def test_misspelt_words(index, wrong, right):
    assert right in index.find(wrong)[:4]


@pytest.mark.parametrize("nothing", ["", "   ", "?!", "the and of", "qqqqqq", "\x00\x1b[2J"])
def test_nothing_is_found_for_nothing(index, nothing):
    assert index.find(nothing) == []


def test_endings_do_not_matter():
    assert stems("leaking leaks leaked leak") == ["leak"] * 4
    assert stems("dropping drops") == ["drop"] * 2


def test_a_long_text_is_no_trouble(index):
    assert index.find("word " * 5000) is not None


def test_the_whole_knowledge_is_found_by_kind_and_id(shipped):
    index = knowledge_index(shipped.knowledge)
    assert ("causes", "bladder-ruptured") in index.find("diaphragm torn")[:2]
    assert ("findings", "air-at-taps") in index.find("spigots spit")[:2]
    assert ("procedures", "lock-out") in index.find("lock the power out")[:3]
    assert ("checks", "hold-test") in index.find("hold test")[:3]


def test_a_cause_is_found_by_what_it_shows_and_not_twice(shipped):
    found = knowledge_index(shipped.knowledge).find("foot valve leaks slowly")
    assert found[0] == ("causes", "foot-valve-leaks-slowly")
    assert not [name for _, name in found if name.startswith("found-")]

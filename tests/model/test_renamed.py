"""What was called otherwise is followed to what it is called now."""

from faultnet.model.origin import NOWHERE
from faultnet.model.renamed import Renamed, names_now


def renamed(*told):
    return tuple(Renamed(kind, old, new, NOWHERE, of) for kind, old, new, of in told)


def test_a_chain_is_followed_to_its_end():
    names = names_now(renamed(("cause", "a", "b", ""), ("cause", "b", "c", "")))
    assert [names.id("cause", each) for each in "abcd"] == ["c", "c", "c", "d"]
    assert names.any("a") == "c"


def test_a_kind_whose_ids_are_its_own_stands_apart():
    names = names_now(renamed(("item", "a", "b", ""), ("cause", "a", "c", "")))
    assert (names.id("item", "a"), names.any("a")) == ("b", "c")


def test_answers_belong_to_what_they_answer():
    names = names_now(renamed(("answer", "fast", "quickly", "falls")))
    assert names.answer("falls", "fast") == "quickly"
    assert names.answer("rises", "fast") == "fast"


def test_what_a_check_finds_follows_its_cause_and_its_check():
    names = names_now(renamed(("cause", "a", "b", ""), ("check", "look", "see", "")))
    assert names.id("finding", "found-a") == "found-b"
    assert names.any("found-a-by-look") == "found-b-by-see"
    assert names.any("found-x-by-look") == "found-x-by-see"
    assert names.any("found-x") == "found-x"


def test_what_leads_back_to_itself_stays_as_it_is():
    names = names_now(renamed(("cause", "a", "b", ""), ("cause", "b", "a", "")))
    assert names.id("cause", "a") == "a"

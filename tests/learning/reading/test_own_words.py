"""A cause that is in no file: said at the pump in own words, learnt of without the customer."""

import numpy as np
import pytest

from faultnet.cases import events as e
from faultnet.cases.entry import Writer
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
from faultnet.learning.closed import Confirmation
from faultnet.learning.newcomers.draft import draft
from faultnet.learning.newcomers.newcomers import learn_newcomers
from faultnet.learning.newcomers.words import FEWEST
from faultnet.learning.reading.store import StoreSource
from faultnet.network.build import UNLISTED
from faultnet.sharing.sharing import Here
from faultnet.visit.visit import visit_of
from tests.cases.people import NOON, Clock, Person

SNAIL = "Snails sat in the jet, Mrs Hollowell saw them"
OTHERS = ("a wasp nest in the switch", "pipe crushed by a truck", "roots of the old elm")


def at_site(number, *events, follows=""):
    """Return what was written of a visit to a site of its own, or to none."""
    anna = Person(f"anna{number}", Clock(NOON + 3600 * number))
    site = f"site-{number}" if number else ""
    anna.opens(e.Opened("small-pump", site=site, follows=follows))
    anna.writes(*events, e.Ended("mended"))
    return anna.seen


def unlisted(number, text, follows=""):
    seen = e.Confirmed("", 0, unlisted=True, text=text)
    return at_site(number, e.RepairDone("restore-power"), seen, follows=follows)


def texts(tmp_path, knowledge, cases):
    """What is left of own words, by case in the order in which they came."""
    found = {case.id: case.confirmed for case in closed(tmp_path, knowledge, cases)}
    return [found[case[0].log] for case in cases]


def closed(tmp_path, knowledge, cases):
    source = kept(tmp_path, knowledge, cases)
    return [case for part in source.parts() for case in part.read().cases]


def kept(tmp_path, knowledge, cases):
    where = str(tmp_path / "cases.sqlite")
    with Store(place_of(where, None)) as store:
        store.append(entry for case in cases for entry in case)
    return StoreSource(where, knowledge)


def test_words_that_are_said_of_many_sites_are_read_and_no_name_is(small, tmp_path):
    cases = [unlisted(number, SNAIL) for number in range(1, FEWEST)]
    cases.append(unlisted(FEWEST, "a SNAIL, in Mr Brook's jet"))
    for case in texts(tmp_path, small.knowledge, cases)[:-1]:
        assert case == (Confirmation(UNLISTED, 0, "snails jet"),)
    assert texts(tmp_path, small.knowledge, cases)[-1][0].text == "snail jet"


@pytest.mark.parametrize("again", ["at one site", "as call-backs"])
def test_what_one_customer_has_time_and_again_tells_no_word(small, tmp_path, again):
    cases = [unlisted(1 if again == "at one site" else 0, SNAIL)]
    for _ in range(FEWEST + 2):
        number, follows = (1, "") if again == "at one site" else (0, cases[-1][0].log)
        cases.append(unlisted(number, SNAIL, follows))
    for case in texts(tmp_path, small.knowledge, cases):
        assert case == (Confirmation(UNLISTED, 0),)


def test_what_could_not_be_seen_stays_that(small, tmp_path):
    old = at_site(1, e.RepairDone("restore-power"), e.Confirmed("", 0))
    assert texts(tmp_path, small.knowledge, [old]) == [()]


def test_said_in_visits_it_is_learnt_as_the_draft_of_a_new_cause(small, tmp_path):
    rng = np.random.default_rng(7)
    cases = []
    for number in range(1, 121):
        ours = number <= 30
        snail = SNAIL if number < FEWEST else "a snail sat in the jet"
        text = snail if ours else OTHERS[rng.integers(len(OTHERS))]
        cases.append(visited(small, number, text, rng.random() < (0.95 if ours else 0.2)))
    source = kept(tmp_path, small.knowledge, cases)
    found = learn_newcomers(small.knowledge, source, Here())
    assert found.unlisted == 120
    newcomer = found.found[0]
    assert newcomer.marks[0].oftener
    assert (set(newcomer.words), newcomer.sightings) == ({"snail", "sat", "jet"}, 30)
    drafted = draft(newcomer, small.knowledge)
    assert "never-stops: 0." in drafted
    assert "hollowell" not in drafted.lower()


def visited(small, number, text, runs_on):
    """Return a case: told on the phone, and at the pump, by the keys of the visit."""
    writer = Writer("bruno@phone", Clock(NOON + 86400 * number))
    entries = (writer.begin(e.Opened("small-pump", site=f"site-{number}")),)
    for event in (
        e.Told("never-stops", "yes" if runs_on else "no"),
        e.Told("motor-silent", "no"),
        e.MadeSafe("never-stops"),
        *map(e.Passed, ("as-found", "layout")),
        e.Denied(("tingle", "someone-in-pit")),
        e.RepairDone("restore-power"),
    ):
        entries = (*entries, writer.entry(entries[0].log, event, entries))
    visit = visit_of(small, entries, writer)
    assert visit.turn.title == "What had been wrong?"
    others = visit.view(visit.turn.reply("n").view)
    words = visit.view(others.reply("n").view)
    visit = visit.after(visit.typed(words.typed.what, text))
    assert visit.turn.kind != "what-was-wrong"
    return visit.after(e.Ended("mended")).entries

"""Phones and an office on one case, in any order, in parts, twice: nothing lost or doubled."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from faultnet.cases import events as e
from faultnet.cases.fold import fold
from faultnet.visit.fold import progress_of
from faultnet.visit.unsettled import unsettled
from faultnet.web.api.along import AlongAsked, along
from faultnet.web.api.events import EventsAsked, EventsSent, send, since
from faultnet.web.office import Office
from faultnet.web.settings import Settings
from tests.cases.conftest import SMALL
from tests.cases.people import NOON, Clock, Person

HOURS = 3600.0

EVENTS = (
    e.Told("clicks", "yes"),
    e.Told("clicks", "no"),
    e.Told("prime-falls", "slowly", "caller"),
    e.Told("check-valve", "foot"),
    e.Told("check-valve", "in-line"),
    e.Told("tingle", "yes"),
    e.MadeSafe("tingle"),
    e.Measured("hold", {"start": 50.0, "end": 44.0, "minutes": 15.0}),
    e.SetUpMade(("power-locked-out",)),
    e.SetUpUndone(("power-locked-out",)),
    e.StepDone("look-at-prime"),
    e.RepairDone("renew-valve"),
    e.RepairDone("restore-power"),
    e.TakenBack("clicks", 0),
    e.Works(works=True),
    e.Ended("mended"),
    e.Ended("no-access"),
    e.Reopened(),
    e.Passed("apart-mended"),
    e.Passed("apart-closed"),
    e.Note("the miller has the key"),
)
"""What is said and done; an undoing comes beside."""


class Phone(Person):
    """Somebody whose entries go to the office now and then, as page/office.js sends them."""

    def __init__(self, name, skew):
        super().__init__(name, Clock(NOON + skew))
        self.unsent = []
        self.cursor = 0

    def puts(self, event):
        self.unsent.append(self.writes(event))

    def sends(self, office, dice, *, lost=False):
        """Send in parts, perhaps in a bad order; where the answer is lost all is sent again."""
        parts = []
        left = list(self.unsent)
        while left:
            size = dice.randint(1, 4)
            parts.append(left[:size])
            del left[:size]
        if dice.random() < 0.3:
            dice.shuffle(parts)
        for part in parts:
            send(office, EventsSent(tuple(part)))
        if not lost:
            self.unsent = []

    def sends_again(self, office, dice):
        """Send anything once more, as a phone does that was cut off."""
        send(office, EventsSent(tuple(dice.sample(self.seen, dice.randint(1, len(self.seen))))))

    def fetches(self, office, case):
        came = along(office, AlongAsked(case, self.cursor))
        known = {entry.id for entry in self.seen}
        self.seen = (*self.seen, *(x for x in came.entries if x.id not in known))
        self.cursor = came.cursor


@pytest.fixture(scope="module")
def office(tmp_path_factory):
    folder = tmp_path_factory.mktemp("merging")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(folder / "cache"))
        office = Office(Settings(folder, SMALL, f"sqlite:///{folder / 'cases.db'}"))
    yield office
    office.close()


MOVES = st.lists(st.tuples(st.integers(0, 3), st.integers(0, 9)), max_size=40)
"""One writes (0 to 4), undoes (5), sends (6), sends unheard (7), sends again (8), fetches (9)."""


@settings(max_examples=40, deadline=None)
@given(
    moves=MOVES,
    seed=st.integers(0, 2**32),
    skews=st.lists(st.floats(-9, 9), min_size=4, max_size=4),
)
def test_phones_come_together_in_any_order(office, moves, seed, skews):
    dice = random.Random(seed)
    phones = [Phone(f"phone{n}", skew * HOURS) for n, skew in enumerate(skews)]
    desk = phones[0]  # the office's own edits: sent at once
    case = desk.opens(e.Opened("small-pump")).log
    send(office, EventsSent(desk.seen))
    for who, move in moves:
        phone = phones[who]
        if not phone.seen:
            phone.fetches(office, case)
        elif move <= 4:
            phone.puts(dice.choice(EVENTS))
        elif move == 5:
            phone.puts(e.Undone(dice.choice(phone.seen).id))
        elif move <= 7:
            phone.sends(office, dice, lost=move == 7)
        elif move == 8:
            phone.sends_again(office, dice)
        else:
            phone.fetches(office, case)
        if phone is desk:
            phone.sends(office, dice)
            phone.fetches(office, case)
    written = {entry.id: entry for phone in phones for entry in phone.seen}
    dice.shuffle(phones)
    for phone in (*phones, *phones):
        phone.sends(office, dice)
        phone.fetches(office, case)
    kept = office.read(case).entries
    assert len(kept) == len(written)
    assert {entry.id: entry for entry in kept} == written
    subject = office.subject("small-pump")
    mixed = dice.sample([*written.values(), *kept], 2 * len(kept))
    whole = fold(subject, mixed)
    assert fold(subject, kept) == whole
    assert along(office, AlongAsked(case)).unsettled == tuple(unsettled(subject, whole))
    for phone in phones:
        assert {entry.id: entry for entry in phone.seen} == written
        assert fold(subject, phone.seen) == whole
        author = phone.writer.author
        assert progress_of(subject, phone.seen, author) == progress_of(subject, mixed, author)
    assert since(office, EventsAsked(case, phones[0].cursor)).entries == ()

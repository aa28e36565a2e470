"""Bundles grow until they fill a spell, and whatever their size the answers are the same."""

import time
from types import SimpleNamespace

from hypothesis import given
from hypothesis import strategies as st

from faultnet.sharing.flow import MOST, done, flow


class Slow:
    """A crew of one whose bundles take so many seconds for each question."""

    spell = 1.0
    tries = 1

    def __init__(self, seconds, room=3):
        self.seconds, self.free, self.sizes, self.left = seconds, room, [], False

    def room(self):
        return self.free

    def send(self, bundle):
        self.sizes.append(len(bundle))
        return bundle

    def answer(self, bundle):
        answers = tuple(abs(question) for question in bundle)
        return SimpleNamespace(answers=answers, error=None, seconds=self.seconds * len(answers))

    def leave(self):
        self.left = True


@given(
    st.lists(st.integers(), max_size=200),
    st.floats(1e-6, 2.0),
    st.integers(1, 9),
)
def test_every_question_is_answered_once_in_order(questions, seconds, room):
    crew = Slow(seconds, room)
    assert list(flow(crew, questions)) == list(map(abs, questions))
    assert sum(crew.sizes) == len(questions)
    assert crew.left


def test_long_questions_go_alone_and_short_ones_together():
    long, short = Slow(5.0), Slow(1e-6)
    list(flow(long, range(100)))
    list(flow(short, range(50_000)))
    assert set(long.sizes) == {1}
    assert max(short.sizes) == MOST


def test_who_stops_reading_ends_the_work():
    crew = Slow(1.0)
    found = flow(crew, iter(range(10**9)))
    next(found)
    found.close()
    assert crew.left
    assert sum(crew.sizes) < 20


def test_the_seconds_of_a_bundle_are_taken():
    assert done(lambda _question: time.sleep(0.01), [1, 2]).seconds >= 0.02

"""Questions on their way to whoever answers: so many at once, answers in the order asked."""

import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice
from typing import Any, Generic, Protocol, TypeVar

import msgspec

from faultnet.sharing.crossing import Crossing, crossed, crossing, short
from faultnet.sharing.trouble import WorkerDiedError

Promise = TypeVar("Promise")
"""What a crew hands out for a bundle, and can wait for."""

MOST = 1024
"""Questions in a bundle at most."""
FASTER = 4
"""A bundle is at most so many times as large as the one before."""


class Done(msgspec.Struct, frozen=True):
    """What came of a bundle: answers up to the first error, that error, and the seconds."""

    answers: tuple[Any, ...]
    error: Crossing | None
    seconds: float


class Sent(msgspec.Struct, Generic[Promise]):
    """A bundle of questions that is being answered; ``first`` is counted from 1."""

    bundle: tuple[Any, ...]
    first: int
    promise: Promise


class LostError(Exception):
    """Whoever was answering died; the message says how often, and what mends it."""


class Crew(Protocol[Promise]):
    """Those who answer bundles."""

    tries: int
    """So often a question is asked alone, once somebody died, before it is to blame."""

    @property
    def spell(self) -> float:
        """Seconds that a bundle should take, that carrying it to and fro be little beside it."""
        ...

    def room(self) -> int:
        """Return how many bundles may be under way."""
        ...

    def send(self, bundle: tuple[Any, ...]) -> Promise:
        """Have a bundle answered."""
        ...

    def answer(self, promise: Promise) -> Done:
        """Wait for what was sent; raise ``LostError`` or ``SharingError``."""
        ...

    def is_there(self, promise: Promise) -> bool:
        """Return whether the answer has come, and is kept."""
        ...

    def begin_again(self) -> None:
        """Drop what is under way, and be ready for more."""
        ...

    def leave(self) -> None:
        """Drop what is under way."""
        ...


def flow(crew: Crew[Promise], asked: Iterable[Any]) -> Iterator[Any]:
    """Yield the answer to each question, in order; what one raises is raised here.

    Questions are taken as there is room and answers are kept until it is their turn, so
    memory does not grow with their number. How many go together changes no answer. Raises
    ``WorkerDiedError`` for a question that ends whoever answers it.
    """
    asked, waiting, size, number = iter(asked), deque[Sent[Promise]](), 1, 1
    try:
        while True:
            while len(waiting) < crew.room() and (bundle := tuple(islice(asked, size))):
                waiting.append(Sent(bundle, number, crew.send(bundle)))
                number += len(bundle)
            if not waiting:
                return
            done = _first(crew, waiting)
            sent = waiting.popleft()
            yield from done.answers
            if done.error is not None:
                failed = len(done.answers)
                raise crossed(done.error, sent.first + failed, sent.bundle[failed])
            size = _size(done, size, crew.spell)
    finally:
        crew.leave()


def _first(crew: Crew[Promise], waiting: Sequence[Sent[Promise]]) -> Done:
    """Return what came of the first bundle; where somebody died, all begins again behind it."""
    try:
        return crew.answer(waiting[0].promise)
    except LostError:
        crew.begin_again()
        found = _one_by_one(crew, waiting[0])
        for sent in islice(waiting, 1, None):
            if not crew.is_there(sent.promise):
                sent.promise = crew.send(sent.bundle)
        return found


def _one_by_one(crew: Crew[Promise], sent: Sent[Promise]) -> Done:
    """Answer a bundle with nothing beside it: who kills is then known."""
    answers, error, seconds = list[Any](), None, 0.0
    for number, question in enumerate(sent.bundle, sent.first):
        found = _alone(crew, number, question)
        answers += found.answers
        error, seconds = found.error, seconds + found.seconds
        if error is not None:
            break
    return Done(tuple(answers), error, seconds)


def _alone(crew: Crew[Promise], number: int, question: object) -> Done:
    tried = 0
    while True:
        try:
            return crew.answer(crew.send((question,)))
        except LostError as lost:
            tried += 1
            if tried == crew.tries:
                told = f"Part {number} of the work ({short(question)}) {lost}"
                raise WorkerDiedError(told) from lost
            crew.begin_again()


def done(do: Callable[[Any], Any], bundle: Sequence[Any]) -> Done:
    """Answer a bundle, up to the first error."""
    begun, answers = time.perf_counter(), []
    for question in bundle:
        try:
            answers.append(do(question))
        # Whatever it is crosses as it is, and is raised where the question was asked.
        except Exception as error:  # noqa: BLE001 -- raised where it was asked
            return Done(tuple(answers), crossing(error), time.perf_counter() - begun)
    return Done(tuple(answers), None, time.perf_counter() - begun)


def _size(done: Done, size: int, spell: float) -> int:
    """Return how many questions fill a spell, by how long these took."""
    fitting = int(spell * len(done.answers) / max(done.seconds, 1e-9))
    return max(1, min(fitting, FASTER * size, MOST))

"""Margins of numbers as text."""

from collections.abc import Iterator, Sequence

from faultnet.advice.authored import Authored
from faultnet.advice.subject import Subject
from faultnet.cli.notice import conflict
from faultnet.cli.screen import Screen, percent
from faultnet.review.sensitivity.case import CaseMargins
from faultnet.review.sensitivity.cases import Asked, Worth
from faultnet.review.sensitivity.margin import Flip, Margin
from faultnet.review.sensitivity.steps import NextMargins, StepMargin

NEAREST = 3
"""Cases named beside a number."""


def case_text(screen: Screen, subject: Subject, found: CaseMargins) -> list[str]:
    """Return the margins of one case as lines."""
    if found.conflict:
        return conflict(screen, subject, found.conflict)
    first = f"First now: {subject.title(found.first)}, {percent(found.probability).strip()}"
    lines = [
        *map(screen.bold, screen.wrap(f"How far each number may move: {subject.system.title}")),
        *screen.wrap(first),
        *map(screen.dim, screen.wrap(found.first)),
    ]
    if not found.margins:
        lines += ["", *screen.wrap(_none(found))]
    for place, margin in enumerate(found.margins, 1):
        lines += ["", *_margin(screen, margin, f"{place:2}  ")]
    if found.words:
        lines += ["", screen.bold("Each word as a whole")]
        for margin in found.words:
            lines += ["", *_margin(screen, margin, "  - ")]
    if found.next is not None:
        lines += ["", *_next(screen, found.next)]
    return [*lines, "", *_looked_at(screen, found)]


def nearest_text(screen: Screen, margins: Sequence[Margin]) -> list[str]:
    """Return the few numbers nearest to changing the first cause, a line or two for each."""
    lines = []
    for margin in margins:
        flip = margin.nearest_flip
        if flip is not None:
            told = f"{margin.number.about}: {margin.number.value:g}"
            lines += screen.wrap(told, 4, "  -")
            lines += screen.wrap(f"at {flip.value:.2g} {flip.first} comes first", 4)
            lines += map(screen.dim, screen.wrap(margin.number.line, 4))
    return lines


def cases_text(screen: Screen, subject: Subject, asked: Asked, limit: int) -> list[str]:
    """Return the numbers most worth asking a colleague about."""
    title = f"Most worth asking a colleague about: {subject.system.title}"
    lines = [*map(screen.bold, screen.wrap(title))]
    for place, worth in enumerate(asked.worth[:limit], 1):
        lines += ["", *_worth(screen, worth, f"{place:2}  ")]
    left = f" Left out, having no ranking: {', '.join(asked.left_out)}." if asked.left_out else ""
    told = (
        f"{asked.cases} cases looked at.{left} Ordered by the number of cases whose first cause "
        "is expected to change if the number is as far off as numbers of its origin usually "
        "are. Places at which a cause comes first are right to a few parts in a hundred "
        "here; ask for one case to have them exactly."
    )
    return [*lines, "", *screen.wrap(told)]


def _worth(screen: Screen, worth: Worth, mark: str) -> list[str]:
    lines = _number(screen, worth.number, mark)
    many = f"{len(worth.cases)} case{'' if len(worth.cases) == 1 else 's'}"
    lines += screen.wrap(f"{worth.changes:.2f} changes expected, in {many} that hang on it", 4)
    for case in worth.cases[:NEAREST]:
        for told in _flips(case.margin.low, case.margin.high):
            lines += screen.wrap(f"{case.case}: {told}", 6, "    -")
    return lines


def _margin(screen: Screen, margin: Margin, mark: str) -> list[str]:
    lines = _number(screen, margin.number, mark)
    for told in _flips(margin.low, margin.high):
        lines += screen.wrap(told, 4)
    if margin.low or margin.high:
        chance = percent(margin.chance).strip()
        lines += screen.wrap(f"{chance} chance that it is that far off", 4)
    else:
        lines += screen.wrap("no move looked at changes the first cause", 4)
    return lines


def _number(screen: Screen, number: Authored, mark: str) -> list[str]:
    word = f" ({number.number.word})" if number.number.word else ""
    rests = ", ".join(number.number.provenance)
    return [
        *screen.wrap(number.about, 4, mark),
        *screen.wrap(f"{number.value:g}{word}, {rests}", 4),
        *map(screen.dim, screen.wrap(number.line, 4)),
    ]


def _flips(low: Flip | None, high: Flip | None) -> Iterator[str]:
    if low is not None:
        yield f"down to {low.value:.3g}: {low.first} comes first"
    if high is not None:
        yield f"up to {high.value:.3g}: {high.first} comes first"


def _next(screen: Screen, found: NextMargins) -> list[str]:
    lines = [screen.bold("Before another step is advised")]
    if found.first is None or found.second is None:
        return [*lines, *screen.wrap("There is no other step to compare with.")]
    lines += screen.wrap(f"now: {found.first.title}", 2)
    lines += screen.wrap(f"runner-up: {found.second.title}", 2)
    for margin in found.margins:
        if margin.low or margin.high:
            lines += ["", *_step_margin(screen, margin)]
    kept = sum(not (m.low or m.high) for m in found.margins)
    told = f"{len(found.margins)} numbers looked at, by up to four times; {kept} change nothing."
    left = f" {found.left} more were not looked at, for want of time." if found.left else ""
    return [*lines, "", *screen.wrap(told + left)]


def _step_margin(screen: Screen, margin: StepMargin) -> list[str]:
    lines = _number(screen, margin.number, "  - ")
    for way, flip in (("down to", margin.low), ("up to", margin.high)):
        if flip is not None:
            about = "" if margin.solved else "about "
            lines += screen.wrap(f"{way} {about}{flip.value:.3g}: {flip.title}", 4)
    return lines


def _looked_at(screen: Screen, found: CaseMargins) -> list[str]:
    told = (
        f"{found.numbers} numbers bear on this case. Each was moved alone, by up to "
        f"{found.reach:.3g} times (chances on their odds)."
    )
    return screen.wrap(told)


def _none(found: CaseMargins) -> str:
    return f"No number moved by up to {found.reach:.3g} times puts another cause first."

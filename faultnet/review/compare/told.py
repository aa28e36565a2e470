"""A comparison in words, line by line, for a screen and for a review alike."""

from collections.abc import Iterable, Iterator, Sequence

from faultnet.review.compare.changes import Change, Changed
from faultnet.review.compare.comparison import Comparison, Losses, Tally
from faultnet.review.compare.difference import Both, Difference
from faultnet.review.failure import Told

WORST = 10
"""Cases and calls told one by one."""
ENTRIES = 40
"""Changed entries told one by one."""
TOLD_FROM = 0.0005
"""A probability that moves by less is not told one by one: it would read the same."""
LONG = 60
"""Letters of a text that are shown."""


def comparison_told(found: Comparison, worst: int = WORST) -> Iterator[Told]:
    """Yield the lines of a comparison; kinds are ``head``, ``item``, ``text`` and ``aside``."""
    yield Told(f"From {found.old} to {found.new}", kind="head")
    yield from _verdict(found)
    yield from _files(found.changes)
    yield from _on_answers(found, worst)


def answers_told(found: Comparison, worst: int = WORST) -> Iterator[Told]:
    """Yield what a comparison says of answers, without what changed in the files."""
    yield from _verdict(found)
    yield from _on_answers(found, worst)


def _on_answers(found: Comparison, worst: int) -> Iterator[Told]:
    if found.answers_asked or found.cases.asked:
        yield from _answers(found)
    yield from _worst(found.differences, worst)


def _verdict(found: Comparison) -> Iterator[Told]:
    for before, now, names in (
        ("passed", "fail", found.now_fail),
        ("failed", "pass", found.now_pass),
    ):
        if names:
            verb = now if len(names) > 1 else {"fail": "fails", "pass": "passes"}[now]
            told = f"{_count(len(names), 'case')} {before} before and {verb} now"
            yield Told(f"{told}: {_list(names)}.")
    if not found.changes:
        yield Told("The files say the same.")
    elif not found.answers_asked:
        yield Told("Nothing that changed bears on a ranking or a next step.")
    elif not found.differences:
        yield Told("No answer differs.")


def _files(changes: Sequence[Change]) -> Iterator[Told]:
    if not changes:
        return
    yield Told("What changed in the files", kind="head")
    for change in changes[:ENTRIES]:
        yield Told(_entry(change), 4, "  -", "item")
        yield Told(change.place, 4, kind="aside")
        for key in change.keys:
            yield from _key(key, change.place)
    if len(changes) > ENTRIES:
        yield Told(f"and {len(changes) - ENTRIES} more; --json has all.")


def _entry(change: Change) -> str:
    name = change.kind if change.kind == change.id else f"{change.kind} {change.id}"
    if change.what == "renamed":
        perhaps = "" if change.said else "perhaps "
        return f"{name}: {perhaps}{change.was}, renamed"
    return f"{name}: {change.what}"


def _key(changed: Changed, place: str) -> Iterator[Told]:
    old, new = (_short(text) or "nothing" for text in (changed.old, changed.new))
    yield Told(f"{changed.key}: {old} \u2192 {new}", 6)
    where = changed.new_place or changed.old_place
    if where != place:
        yield Told(where, 8, kind="aside")


def _answers(found: Comparison) -> Iterator[Told]:
    yield Told("What that does to answers", kind="head")
    yield Told(_tally(found.cases, "case"), 4, "  -", "item")
    if found.calls.asked:
        calls = _tally(found.calls, "simulated call")
        yield Told(f"{calls} Seed {found.seed}.", 4, "  -", "item")
    for losses in found.losses:
        yield Told(_losses(losses), 4, "  -", "item")


def _tally(tally: Tally, what: str) -> str:
    told = f"{_count(tally.asked, what)}: {tally.differ} differ"
    if not tally.differ:
        return f"{told}."
    return (
        f"{told}, {tally.first_changed} in the first cause, {tally.dangers_changed} in a danger; "
        f"a probability moves by at most {tally.largest_move:.1%}. Another next step comes in "
        f"{tally.step_changed} of {tally.steps_asked} whose next steps were compared."
    )


def _losses(losses: Losses) -> str:
    better = "better" if losses.new < losses.old else "worse"
    told = f"On {_count(losses.calls, 'call')} drawn from the {losses.drawn_from} version"
    if abs(losses.new - losses.old) < 5e-4:
        return f"{told} what was at fault is told as well as before: log-loss {losses.new:.3f}."
    return (
        f"{told} what was at fault is told {better}: log-loss {losses.old:.3f} before, "
        f"{losses.new:.3f} now."
    )


def _worst(differences: Sequence[Difference], worst: int) -> Iterator[Told]:
    if not differences:
        return
    yield Told("What differs most", kind="head")
    for each in differences[:worst]:
        name = each.id if each.kind == "case" else f"simulated call {each.id}"
        yield Told(f"{name} ({each.system})", 4, "  -", "item")
        yield from (Told(line, 6) for line in _difference(each))
    if len(differences) > worst:
        yield Told(f"and {len(differences) - worst} more; --worst shows more, --json all.")


def _difference(each: Difference) -> Iterator[str]:
    if each.now_fails or each.now_passes:
        yield "passed, and now fails" if each.now_fails else "failed, and now passes"
    if each.truth:
        yield f"at fault: {', '.join(each.truth)}"
    if each.said:
        yield f"said: {_list(each.said)}"
    for what, both in (("no ranking", each.refused), ("danger", each.dangers)):
        if both.differs:
            yield f"{what}: {_both(both)}"
    if each.first.differs:
        yield f"first cause: {_both(each.first)}"
    if each.moved.by >= TOLD_FROM:
        yield f"{each.moved.cause}: {each.moved.old:.1%} \u2192 {each.moved.new:.1%}"
    if each.step is not None:
        old, new = each.step.old_total, each.step.new_total
        step = _both(each.step.id) if each.step_changed else f"still {each.step.id.new}"
        yield f"next step: {step}; expected in all {old:.0f} \u2192 {new:.0f} min"
    if each.left_out:
        yield f"known to one version only, and left out there: {_list(each.left_out)}"


def _both(both: Both) -> str:
    return f"{both.old or 'none'} \u2192 {both.new or 'none'}"


def _list(names: Iterable[str]) -> str:
    return ", ".join(names)


def _count(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _short(text: str) -> str:
    return text if len(text) <= LONG else f"{text[: LONG - 3].rstrip()}..."

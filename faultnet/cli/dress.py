"""How a turn of a visit looks on a terminal, narrow or wide, with colour or without."""

from collections.abc import Iterable

from faultnet.cli.screen import Screen
from faultnet.visit.turn import Line, Reply, Turn

SHORT = 12
"""A reply this long at most may share a line with others."""

ENTER = "Enter"


def fitted(screen: Screen, turn: Turn, note: str, rows: int | None) -> tuple[list[str], list[str]]:
    """Return what is said and what can be replied; where rows are few, remarks are left out."""
    body, foot = _body(screen, turn, note), _foot(screen, turn)
    if rows is None or len(body) + len(foot) <= rows:
        return body, foot
    bare = tuple(line for line in turn.lines if line.kind != "note")
    short = [screen.dim(screen.cut(note, screen.width))] if note else []
    return [*short, *_said(screen, turn, bare)], foot


def _body(screen: Screen, turn: Turn, note: str) -> list[str]:
    """Return the last answer as it was noted, the heading, the text."""
    noted = [*map(screen.dim, screen.wrap(note)), ""] if note else []
    return [*noted, *_said(screen, turn, turn.lines)]


def _said(screen: Screen, turn: Turn, lines: tuple[Line, ...]) -> list[str]:
    danger = turn.kind == "danger"
    told = list(map(screen.alarm if danger else screen.dim, screen.wrap(turn.heading)))
    told += map(screen.alarm if danger else screen.bold, screen.wrap(turn.title))
    if lines:
        told += ["", *_lines(screen, lines)]
    return told


def _foot(screen: Screen, turn: Turn) -> list[str]:
    told = ["", *_replies(screen, turn.replies)] if turn.replies else []
    if turn.bar:
        bar = _flow(screen, [f"{_key(each)} {each.label}" for each in turn.bar], "  ")
        told += ["", *map(screen.dim, bar)]
    if turn.typed:
        told += ["", *screen.wrap(" ".join([*_way_back(turn), turn.typed.prompt]))]
    return told


def _way_back(turn: Turn) -> list[str]:
    """Return how one goes back at a keyboard where no reply says it."""
    return [] if turn.replies or turn.bar else ["Enter alone goes back."]


def _lines(screen: Screen, lines: Iterable[Line]) -> list[str]:
    told: list[str] = []
    number = 0
    before = ""
    for line in lines:
        if before and line.kind != before and "do" in {line.kind, before}:
            told.append("")
        before = line.kind
        match line.kind:
            case "do":
                number += 1
                told += screen.wrap(line.text, 3 if number < 10 else 4, f"{number}.")
            case "item":
                mark = line.mark or "-"
                told += screen.wrap(line.text, len(mark) + 1, mark)
            case "caution":
                first, *others = screen.wrap(line.text, 2, "!")
                told += [screen.alarm("!") + first[1:], *others]
            case "note":
                told += map(screen.dim, screen.wrap(line.text))
            case "danger":
                told += map(screen.bold, screen.wrap(line.text))
            case _:
                told += screen.wrap(line.text)
    return told


def _replies(screen: Screen, replies: tuple[Reply, ...]) -> list[str]:
    """Return replies below each other; without numbers, short neighbours side by side."""
    told: list[str] = []
    short: list[str] = []
    listed = any(each.key.isdigit() for each in replies)
    for each in replies:
        key = _key(each)
        if len(each.label) <= SHORT and not listed:
            short.append(f"{screen.bold(key)} {each.label}")
            continue
        told += _flow(screen, short, "   ")
        short = []
        first, *others = screen.wrap(each.label, len(key) + 2, key)
        told += [screen.bold(key) + first[len(key) :], *others]
    return told + _flow(screen, short, "   ")


def _flow(screen: Screen, texts: list[str], gap: str) -> list[str]:
    """Return texts side by side in as many lines as they need."""
    told: list[str] = []
    for text in texts:
        if told and _seen(told[-1]) + len(gap) + _seen(text) <= screen.width:
            told[-1] += gap + text
        else:
            told.append(text)
    return told


def _seen(text: str) -> int:
    """Return how wide a text is without its styles."""
    from click import unstyle

    return len(unstyle(text))


def _key(reply: Reply) -> str:
    return reply.key or ENTER

"""Warnings about texts and the numbers beside them: what is told, and what is not."""

from pathlib import Path

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from tests.authoring.test_lint import CAUSE, warned


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ("Take the cover off.", True),
        ("Take out both screws and the end cover.", True),
        ("Unscrew the lid of the terminal box.", True),
        ("Loosen the outlet union.", True),
        ("Take the plug out of the pump head.", True),
        ("Never open the switch box.", False),
        ("Take the cover of the cistern off.", False),
        ("Lift the toilet lid.", False),
        ("Open the tap and look at the cover.", False),
        ("Open nothing while the casing is warm.", False),
        ("Take a photo of the switch box.", False),
        ("Lock the power out, then take the cover off.", False),
        ("Take the cover off, then lock the power out.", True),
        ("It is not locked out. Take the cover off.", True),
    ],
)
def test_opened_live(folder: Path, step: str, told: bool) -> None:
    trial = "set-ups:\n  ready: {title: Ready, make: 1, undo: 1, who: technician, "
    trial += f"steps: ['{step}']}}\n"
    assert warned(folder, trial, "opened-live") == (["ready"] if told else [])


@pytest.mark.parametrize(
    "keys",
    [
        "who: qualified",
        "who: technician, requires: [power-locked-out]",
        "who: technician, requires: [pressure-bled]",
    ],
)
def test_opened_by_whom_it_may_be(folder: Path, keys: str) -> None:
    trial = "set-ups:\n  ready: {title: Ready, make: 1, undo: 1, steps: [Take the cover off.], "
    assert warned(folder, f"{trial}{keys}}}\n", "opened-live") == []


def test_procedure_of_locked_work_is_locked(folder: Path) -> None:
    (folder / "procedures/open.yaml").write_text(
        "procedure: open\ntitle: Open\nabout: Opens it.\nfrom: practice\n"
        "steps: [{do: Take the casing off.}]\n"
    )
    check = "checks:\n  see: {title: See, minutes: 9, who: technician, reveals: [no-sound], "
    dead = f"{check}power: locked-out, procedures: [open]}}\n"
    assert warned(folder, dead, "opened-live") == []
    live = f"{check}power: 'on', procedures: [open]}}\n"
    assert warned(folder, live, "opened-live") == ["open"]


@pytest.mark.parametrize(
    ("common", "note", "told"),
    [
        ("rare", "The commonest fault of all.", True),
        ("rare", "Very common.", True),
        ("rare", "This is the usual trouble.", True),
        ("common", "Rare.", True),
        ("common", "Hardly ever seen.", True),
        ("common", "The commonest fault of all.", False),
        ("rare", "Common practice, no publication.", False),
        ("rare", "Not common.", False),
        ("common", "Not rare.", False),
        ("common", "Rare where it freezes, common elsewhere.", False),
        ("occasional", "Rare.", False),
        ("rare", "Often after the cistern was cleaned.", False),
    ],
)
def test_note_against_how_common(folder: Path, common: str, note: str, told: bool) -> None:
    trial = (
        f"causes:\n  a: {{title: A, how-common: {common}, repair: prime-again, note: '{note}'}}\n"
    )
    assert warned(folder, trial, "text-against-number") == (["a"] if told else [])


@pytest.mark.parametrize(
    ("limit", "do", "told"),
    [
        ("minutes: 15", "Wait fifteen minutes.", False),
        ("minutes: 15", "Wait 10 to 15 minutes.", False),
        ("minutes: 15", "Wait 10 minutes, or at most 15 minutes.", False),
        ("minutes: 15", "Wait.", False),
        ("minutes: 15", "Wait until it stands at 20 psi.", False),
        ("minutes: 15", "Wait 10 minutes.", True),
        ("psi: 20", "Stop at about 20 psi.", False),
        ("psi: 20", "Stop at about 30 psi.", True),
        ("tries: 3", "Give it two tries.", True),
        ("mg-per-litre: 50", "Mix 8 to 24 of them.", False),
    ],
)
def test_step_against_its_limit(folder: Path, limit: str, do: str, told: bool) -> None:
    (folder / "procedures/wait.yaml").write_text(
        "procedure: wait\ntitle: Wait\nabout: Waits.\nfrom: practice\n"
        f"steps: [{{do: '{do}', limit: {{{limit}}}}}]\n"
    )
    assert warned(folder, "", "text-against-number") == (["wait"] if told else [])


@pytest.mark.parametrize(("waiting", "told"), [(0, True), (9, True), (10, False)])
def test_step_longer_than_the_work(folder: Path, waiting: int, told: bool) -> None:
    trial = "checks:\n  see: {title: See, minutes: 5, who: technician, reveals: [no-sound], "
    trial += f"waiting: {waiting}, steps: [Read twice., Wait fifteen minutes.]}}\n"
    assert warned(folder, trial, "text-against-number") == (["see"] if told else [])


@pytest.mark.parametrize(
    ("shows", "told"),
    [
        ("{no-water: often}", False),
        ("{no-water: 0.65}", True),
        ("{no-water: 0.66}", False),
        ("{prime-falls: {slowly: 0.65, quickly: 0.03}}", False),
    ],
)
def test_number_that_is_a_word(folder: Path, shows: str, told: bool) -> None:
    trial = f"causes:\n  a: {{{CAUSE}, shows: {shows}}}\n"
    assert warned(folder, trial, "number-is-a-word") == (["a"] if told else [])


@pytest.mark.parametrize(
    ("read", "marked", "told"),
    [
        ("not looked at again", "pipe-handbook", True),
        ("the table was not readable", "pipe-handbook", True),
        ("not looked at again", "[memory, pipe-handbook]", False),
        ("the table", "pipe-handbook", False),
    ],
)
def test_number_out_of_what_nobody_read(folder: Path, read: str, marked: str, told: bool) -> None:
    (folder / "sources.yaml").write_text(
        f"sources:\n  pipe-handbook: {{title: Pipes, read: {read}}}\n"
    )
    trial = "set-ups:\n  up: {title: Up, make: {is: 1, from: " + marked
    trial += "}, undo: 1, who: technician}\n"
    assert ("up" in warned(folder, trial, "source-contradicted")) is told


@pytest.mark.parametrize(
    ("note", "seen_in", "told"),
    [
        ("No publication.", "", False),
        ("No publication.", "seen-in: [pipe-handbook]", True),
        ("Second in the published order.", "", True),
        ("Second in the published order.", "seen-in: [pipe-handbook]", False),
        ("Look at the source of the water.", "", False),
    ],
)
def test_note_against_sources(folder: Path, note: str, seen_in: str, told: bool) -> None:
    trial = f"causes:\n  a: {{{CAUSE}, note: '{note}', {seen_in}}}\n"
    assert warned(folder, trial, "source-contradicted") == (["a"] if told else [])


def test_more_than_two_circumstances(folder: Path) -> None:
    names = ["after-freeze", "after-rain", "after-work"]
    given = "".join(f"  {n}: {{title: {n}, ask: 'Was it so?', prior: 0.1}}\n" for n in names)
    (folder / "circumstances.yaml").write_text(f"from: judgement\ncircumstances:\n{given}")
    hints = ", ".join(f"{name}: 5" for name in names)
    trial = f"causes:\n  a: {{{CAUSE}, likelier-when: {{{hints}}}}}\n"
    trial += f"  b: {{{CAUSE}, likelier-when: {{after-work: 0.3, after-rain: 4}}}}\n"
    assert warned(folder, trial, "weak-hint") == ["a"]


def test_safe_and_short_words_of_good_knowledge(folder: Path) -> None:
    """Nothing that a house writes plainly is doubted."""
    knowledge, _ = read_knowledge(folder)
    assert knowledge is not None
    told = {each.code for each in lint(knowledge, ())}
    assert not told & {"question-too-long", "question-hard-to-read", "opened-live"}

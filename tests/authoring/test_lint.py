"""Warnings about knowledge that can be used."""

from pathlib import Path

import pytest

from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import causes_per_call, lint
from faultnet.model.knowledge import Knowledge

HEAD = "part: trial\ntitle: Trial\nfrom: judgement\n"
CAUSE = "title: Pipe torn, how-common: rare, repair: prime-again"


def knowledge_of(folder: Path, trial: str) -> Knowledge:
    (folder / "parts/trial.yaml").write_text(HEAD + trial, encoding="utf-8")
    system = folder / "systems/jet-pump.yaml"
    system.write_text(system.read_text().replace("[suction]", "[suction, trial]"))
    knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    return knowledge


def warned(folder: Path, trial: str, code: str) -> list[str]:
    knowledge = knowledge_of(folder, trial)
    examples, _ = read_examples(folder, knowledge)
    found = lint(knowledge, examples)
    assert all(each.severity == "warning" for each in found)
    return [each.entity for each in found if each.code == code]


def test_causes_per_call_by_hand(folder: Path) -> None:
    """0.024 x 0.9 (only below the pump) + 0.01 + 0.002 + unlisted 0.08."""
    knowledge = knowledge_of(folder, "")
    system = knowledge.systems["jet-pump"]
    assert causes_per_call(system, knowledge) == pytest.approx(0.0216 + 0.01 + 0.002 + 0.08)


@pytest.mark.parametrize(("how_common", "told"), [(1.0, True), (1.0864, False), (1.5, True)])
def test_sum_of_causes(folder: Path, how_common: float, told: bool) -> None:
    each = min(1.0, how_common)
    rest = how_common - each
    trial = f"causes:\n  a: {{title: A, how-common: {each}, repair: prime-again, audit: yes}}\n"
    trial += f"  b: {{title: B, how-common: {rest}, repair: prime-again, audit: yes}}\n"
    assert warned(folder, trial, "how-common-sum") == (["jet-pump"] if told else [])


def test_cases_checks_and_proofs(folder: Path) -> None:
    assert warned(folder, "", "cause-without-case") == ["prime-lost", "pipe-cracked"]
    assert warned(folder, "", "cause-no-check-looks-for") == ["prime-lost"]
    assert warned(folder, "", "repair-without-proof") == ["prime-again"]
    assert warned(folder, "", "finding-no-check-reveals") == []


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ("Cap the relief valve.", True),
        ("Plug the relief valve while you test.", True),
        ("Never cap or plug the relief valve.", False),
        ("Bridge the switch to see whether the pump starts.", True),
        ("Never bridge the overload.", False),
        ("Press the contacts together.", True),
        ("Do not press the contacts together.", False),
        ("Thaw the pipe with a blow torch.", True),
        ("Thaw it with warm air, never with an open flame.", False),
        ("Taste the water.", True),
        ("Nobody drinks or tastes it.", False),
        ("Hold the lamp near the relief valve.", False),
        ("Never wait. Cap the relief valve.", True),
    ],
)
def test_doubtful_texts(folder: Path, step: str, told: bool) -> None:
    trial = "set-ups:\n  ready: {title: Ready, make: 1, undo: 1, who: technician, "
    trial += f"steps: ['{step}']}}\n"
    assert warned(folder, trial, "doubtful-text") == (["ready"] if told else [])


def test_good_knowledge_has_these_warnings_and_no_others(folder: Path) -> None:
    knowledge = knowledge_of(folder, "")
    examples, _ = read_examples(folder, knowledge)
    assert {each.code for each in lint(knowledge, examples)} == {
        "cause-without-case", "cause-no-check-looks-for", "repair-without-proof",
        "how-common-sum", "named-nowhere", "never-holds",
    }  # fmt: skip

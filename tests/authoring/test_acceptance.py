"""What authors accept, where it may stand, and that it takes away nothing else."""

from pathlib import Path

import pytest

from faultnet.authoring.acceptance import Sifted, sift
from faultnet.authoring.code import CODES, NEVER_ACCEPTED, WARNINGS
from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from faultnet.authoring.store import load

BECAUSE = "A reason in a sentence."


def sifted(folder: Path) -> Sifted:
    knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    examples, _ = read_examples(folder, knowledge)
    return sift(lint(knowledge, examples), knowledge.accepted)


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize(
    ("file", "line", "code", "entity"),
    [
        (
            "parts/suction.yaml",
            "    title: Prime again\n",
            "repair-without-proof",
            "prime-again",
        ),
        ("systems/jet-pump.yaml", "about: For tests.\n", "how-common-sum", "jet-pump"),
        ("procedures/priming.yaml", "title: Priming\n", "named-nowhere", "priming"),
    ],
)
def test_accepted_at_its_entry(folder: Path, file: str, line: str, code: str, entity: str) -> None:
    before = sifted(folder)
    indent = " " * (len(line) - len(line.lstrip()))
    change(folder / file, line, f"{line}{indent}accepted: {{{code}: {BECAUSE}}}\n")
    after = sifted(folder)
    ((told, by),) = after.accepted
    assert (told.code, told.entity, told.file) == (code, entity, f"knowledge/{file}")
    assert by.reason == BECAUSE
    assert len(after.problems) == len(before.problems) - 1
    assert not [each for each in after.problems if (each.code, each.entity) == (code, entity)]


def test_accepted_at_another_entry_takes_nothing_away(folder: Path) -> None:
    before = sifted(folder)
    change(
        folder / "parts/suction.yaml",
        "    title: Renew the foot valve\n",
        f"    title: Renew the foot valve\n    accepted: {{repair-without-proof: {BECAUSE}}}\n",
    )
    after = sifted(folder)
    assert after.accepted == ()
    vain = [each for each in after.problems if each not in before.problems]
    told = {(each.code, each.entity) for each in before.problems}
    assert [(each.code, each.entity) for each in vain if (each.code, each.entity) not in told] == [
        ("accepted-in-vain", "renew-foot-valve")
    ]
    assert ("repair-without-proof", "prime-again") in {
        (each.code, each.entity) for each in after.problems
    }


def test_the_same_id_in_another_file_is_another_entry(folder: Path) -> None:
    """A procedure may have the id of a check."""
    priming = (folder / "procedures/priming.yaml").read_text()
    text = priming.replace("procedure: priming", "procedure: prime-again")
    text = text.replace("title: Priming\n", "title: Again\n")
    text += f"accepted: {{repair-without-proof: {BECAUSE}}}\n"
    (folder / "procedures/prime-again.yaml").write_text(text)
    after = sifted(folder)
    assert after.accepted == ()
    assert "accepted-in-vain" in {each.code for each in after.problems}


def test_what_is_kept_on_disk_keeps_what_is_accepted(folder: Path) -> None:
    change(
        folder / "parts/suction.yaml",
        "    title: Prime again\n",
        f"    title: Prime again\n    accepted: {{repair-without-proof: {BECAUSE}}}\n",
    )
    first, again = load(folder), load(folder)
    assert first.accepted == again.accepted
    assert [each.entity for each in again.accepted] == ["prime-again"]


def test_only_warnings_have_codes_that_are_never_accepted() -> None:
    assert NEVER_ACCEPTED.keys() <= WARNINGS < set(CODES)

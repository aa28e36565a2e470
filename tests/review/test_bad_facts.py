"""Each file of bad_facts holds one fault; that one is told at its place, and nothing else."""

import shutil

import pytest

from faultnet.authoring.code import FACTS
from tests.review.conftest import BAD, GOOD, HEAD, facts_of


@pytest.mark.parametrize("bad", BAD, ids=lambda bad: bad.stem)
def test_fault_is_told_at_its_place_and_nothing_else(bad, folder):
    heads = dict(HEAD.findall(bad.read_text(encoding="utf-8")))
    shutil.copy(bad, folder / heads["stands as"])
    code, place, file = [*heads["problem"].split(), heads["stands as"]][:3]
    told = facts_of(folder)
    assert [(p.code, p.file, f"{p.line}:{p.column}") for p in told] == [
        (code, f"knowledge/{file}", place)
    ]
    assert told[0].severity == "warning"
    assert told[0].message.endswith(".")
    assert told[0].hint.endswith(".")
    assert told[0].entity


def test_nothing_is_told_of_good_knowledge():
    assert facts_of(GOOD) == ()


def test_every_fact_has_a_bad_file():
    told = {dict(HEAD.findall(b.read_text("utf-8")))["problem"].split()[0] for b in BAD}
    assert told == FACTS - {"facts-not-weighed"} | {"causes-no-finding-parts"}

"""One cause against another, held against Bayes' rule written out for one fault at a time."""

from math import inf, isclose

import pytest

from faultnet.advice.against import BEFORE, weigh_against
from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.model.evidence import Answer, Evidence, Round

PART = """
part: two-faults
title: Two faults
from: judgement
causes:
  first-fault:
    title: The first fault
    how-common: 0.6
    shows: {no-water: 0.9, hums: 0.2}
    repair: mend
  second-fault:
    title: The second fault
    how-common: 0.2
    shows: {no-water: 0.3, hums: 0.2}
    leads-to: {first-fault: advice}
    repair: mend
findings:
  no-water: {title: No water, ask: Is there none?, shows-anyway: 0.1}
  hums: {title: Hums, ask: Does it hum?, shows-anyway: 0.1}
  only-first: {title: Only the first, ask: Does it show?, shows-anyway: 0}
repairs:
  mend: {title: Mend it, minutes: 3, who: technician, proof-minutes: 0}
"""


@pytest.fixture
def subject(tmp_path, request):
    import shutil

    source = request.config.rootpath / "tests/outside/knowledge-one-fault"
    folder = tmp_path / "knowledge"
    shutil.copytree(source, folder)
    part = PART.replace("hums: 0.2}\n    repair", "hums: 0.2, only-first: 0.5}\n    repair", 1)
    (folder / "parts/two-faults.yaml").write_text(part)
    knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    return make_subject(knowledge, "two-faults-one-at-work")


def told(*answers):
    return Evidence((Round(tuple(Answer(f, a) for f, a in answers)),))


def test_each_answer_weighs_what_bayes_rule_says(subject):
    found = weigh_against(
        subject, told(("no-water", "yes"), ("hums", "yes")), "first-fault", "second-fault"
    )
    pushes = {push.about: push for push in found.pushes}
    shown = {"first-fault": 1 - 0.1 * 0.9, "second-fault": 1 - 0.7 * 0.9}
    assert isclose(pushes["no-water"].factor, shown["first-fault"] / shown["second-fault"])
    assert isclose(pushes[BEFORE].factor, 0.6 / 0.2)
    assert "hums" not in pushes  # both show it as often
    assert [push.factor for push in found.pushes] == sorted(
        (push.factor for push in found.pushes), reverse=True
    )
    texts = [line.text for line in pushes["no-water"].lines]
    assert texts[0].startswith("first-fault shows no-water: 0.9")
    assert pushes["no-water"].lines[0].place.startswith("knowledge/parts/two-faults.yaml:9:")


def test_an_answer_that_rules_a_cause_out(subject):
    evidence = told(("only-first", "yes"), ("no-water", "no"))
    found = weigh_against(subject, evidence, "first-fault", "second-fault")
    assert {p.about: p.factor for p in found.pushes}["only-first"] == inf
    other = weigh_against(subject, evidence, "second-fault", "first-fault")
    assert {p.about: p.factor for p in other.pushes}["only-first"] == 0.0

"""The whole advice on the arrays of the page, and on NumPy: the same to 1e-12."""

import json
import subprocess
import sys

import msgspec
import pytest

THINK = """
import json, sys
arrays, file, system, answers = sys.argv[1:]
if arrays == "pocket":
    from faultnet.pocket.arrays.standing import stand_in
    stand_in()
import msgspec
from faultnet.advice.ranking import rank
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import make_subject
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.knowledge import Knowledge
with open(file, "rb") as opened:
    knowledge = msgspec.msgpack.decode(opened.read(), type=Knowledge)
subject = make_subject(knowledge, system)
given = tuple(Answer(*answer) for answer in json.loads(answers))
layout = {n: max(p, key=lambda v: p[v].value) for n, p in subject.system.layout.items()}
evidence = Evidence((Round(given),), layout)
causes = [[cause.id, cause.probability] for cause in rank(subject, evidence).causes]
steps = [[step.id, step.expected_total] for step in next_steps(subject, evidence).steps]
print(json.dumps([causes, steps, "numpy.linalg" in sys.modules]))
"""
ANSWERS = (
    ("no-water", "yes", "caller"),
    ("clicks", "no", "technician"),
)


@pytest.fixture(scope="module")
def knowledge(small, tmp_path_factory):
    """Knowledge in one file, as a phone has it."""
    file = tmp_path_factory.mktemp("compiled") / "knowledge.bin"
    file.write_bytes(msgspec.msgpack.encode(small))
    return file


def _thought(arrays, knowledge, system, answers):
    order = [sys.executable, "-c", THINK, arrays, knowledge, system, json.dumps(answers)]
    done = subprocess.run(order, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stderr
    causes, steps, with_numpy = json.loads(done.stdout)
    assert with_numpy == (arrays == "numpy")
    return causes, steps


@pytest.mark.parametrize("system", ["small-pump"])
def test_causes_and_steps_are_those_of_numpy(knowledge, system):
    theirs = _thought("numpy", knowledge, system, ANSWERS)
    ours = _thought("pocket", knowledge, system, ANSWERS)
    for there, here in zip(theirs, ours, strict=True):
        assert len(there) > 1
        assert dict(here) == pytest.approx(dict(there), rel=1e-12, abs=1e-12)
        # In the same order too: only what is equal to its last places may change sides.
        in_our_order = [dict(there)[name] for name, _ in here]
        assert in_our_order == pytest.approx([x for _, x in there], rel=1e-12, abs=1e-12)

"""Digests of the pictures of a small knowledge, by whoever runs it: ``python -m`` or a test."""

import hashlib
import sys

from faultnet.authoring.library import read_knowledge
from faultnet.drawing.network import cut
from faultnet.drawing.network.drawn import FORMS, drawn
from faultnet.drawing.network.gathered import whole
from tests.drawing.conftest import ROOT


def digests():
    """Return the digest of each form."""
    knowledge, _ = read_knowledge(ROOT / "tests" / "authoring" / "knowledge")
    graph = cut.of_system(whole(knowledge, knowledge.systems["jet-pump"]), 0.0, looks=True)
    return [hashlib.sha256(drawn(graph, form)).hexdigest() for form in FORMS]


if __name__ == "__main__":
    sys.stdout.write(f"{digests()}\n")

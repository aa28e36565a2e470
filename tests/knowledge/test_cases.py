"""Every case beside the shipped knowledge, proved by its id.

The cases are trade judgement written by authors; each states its reason beside it.
"""

from collections.abc import Iterator

import pytest

from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.render import as_text
from faultnet.authoring.shipped import shipped_folder
from faultnet.model.example import Example
from faultnet.review.failure import as_text as failure_text
from faultnet.review.proofs import prove

KNOWLEDGE, PROBLEMS = read_knowledge(shipped_folder())
EXAMPLES, DOUBTS = read_examples(shipped_folder(), KNOWLEDGE) if KNOWLEDGE else ((), ())


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


def test_knowledge_and_cases_can_be_read() -> None:
    assert KNOWLEDGE is not None, as_text(PROBLEMS)
    assert not DOUBTS, as_text(DOUBTS)
    assert EXAMPLES, "there is no case beside the knowledge"


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.id)
def test_case(example: Example) -> None:
    assert KNOWLEDGE is not None
    (proof,) = prove(KNOWLEDGE, [example])
    assert proof.passed, failure_text(proof)

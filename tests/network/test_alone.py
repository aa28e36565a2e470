"""P(at least one cause) laid out side by side, against the sweep."""

import pytest

from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.network.alone import Alone
from faultnet.network.build import causes_only, scaled
from tests.inference.networks import random_network


@pytest.mark.parametrize("seed", range(8))
def test_some_cause_is_what_the_sweep_counts(seed):
    network = random_network(seed, roots=2, causes=4, findings=1)
    never = [root.id for root in network.roots if len(root.states) == 2][: seed % 2]
    alone = Alone(network, never)
    for scale in (0.2, 0.7, 1.0):
        bare = scaled(causes_only(network, never), scale)
        none = Query(bare, Observed(), count_two=True).tally_weights()[0]
        chances = [scale * cause.probability for cause in network.causes]
        assert alone.some(chances) == pytest.approx(1.0 - none, rel=1e-12)


def test_no_cause_is_never_there():
    network = random_network(3)
    assert Alone(network, ()).some([0.0] * len(network.causes)) == 0.0

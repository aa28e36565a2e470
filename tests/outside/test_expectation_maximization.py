"""Counts and steps of expectation-maximisation against those of pgmpy, on a small network.

The noisy-OR is written out for pgmpy with a variable for every throw of a link, so that its
free tables are the very chances that are learnt here; tables start with their zeros and keep
them. Both start from the same numbers, and are compared after each of some steps.
"""

import warnings

import numpy as np
import pandas as pd
import pytest

from faultnet.inference.gates import LEAK
from faultnet.inference.observed import Observed
from faultnet.learning.estimate.counts import counts, nothing
from faultnet.learning.estimate.met import Met
from faultnet.learning.estimate.slots import Slots
from faultnet.network.network import Cause, Finding, Link, Network, seen
from faultnet.network.world import draw_world, shown

ROWS = 300


def network_of(a, b, a_shows, b_shows, leak, also):
    """Two causes; one finding of both and a leak, one finding of the first alone."""
    yes_no = ("no", "yes")
    return Network(
        "two",
        (),
        (Cause("a", a), Cause("b", b)),
        (
            Finding("f", yes_no, (leak,), (Link(0, (a_shows,)), Link(1, (b_shows,)))),
            Finding("g", yes_no, (0.0,), (Link(0, (also,)),)),
        ),
    )


TRUE = network_of(0.3, 0.4, 0.8, 0.5, 0.1, 0.6)
START = (0.5, 0.5, 0.6, 0.6, 0.2, 0.5)


@pytest.fixture(scope="module")
def data():
    """Rows of (b, f, g) in a number that depends on nothing; of the first cause nothing is said."""
    rng = np.random.default_rng(4)
    rows = []
    for _ in range(ROWS):
        world = draw_world(TRUE, rng)
        rows.append((int(1 in world.present), *shown(TRUE, world)))
    return pd.DataFrame(rows, columns=["b", "f", "g"])


def ours(data, steps):
    """The six chances after some steps of our own, without priors."""
    values = START
    for _ in range(steps):
        network = network_of(*values)
        slots = Slots(network)
        total = nothing(slots)
        for (b, f, g), times in data.value_counts().items():
            told = {
                (0, 0): (1.0 - f, float(f)),
                (1, 0): (1.0 - g, float(g)),
                (2, 0): (1.0 - b, float(b)),
            }
            more = (*network.findings, seen(1, network.causes[1]))
            looked = Network("two", (), network.causes, more)
            total = (
                total + counts(slots, Met(looked, Observed(findings=told), counting=True)) * times
            )
        present = [total.present[cells].sum() / total.cases for cells in slots.cells]

        def share(*at, slots=slots, total=total):
            throw, row = slots.throws[at]
            return total.came[row] / total.tried[throw]

        thrown = [("link", 0, 0), ("link", 0, 1), ("gate", 0, LEAK), ("link", 1, 0)]
        values = (*present, *(share(*at) for at in thrown))
    return np.array(values)


def theirs(data, steps):
    """The six chances after some steps of pgmpy."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pgmpy.estimators import ExpectationMaximization
        from pgmpy.factors.discrete import TabularCPD
        from pgmpy.models import DiscreteBayesianNetwork

        edges = [("a", "fa"), ("b", "fb"), ("fa", "f"), ("fb", "f"), ("fk", "f"), ("a", "g")]
        latents = {"a", "fa", "fb", "fk"}
        model = DiscreteBayesianNetwork(edges, latents=latents)

        def table(name, rows, *parents):
            states = {each: [0, 1] for each in (name, *parents)}
            return TabularCPD(name, 2, rows, list(parents), [2] * len(parents), states)

        def chance(name, p):
            return table(name, [[1 - p], [p]])

        def throw(name, parent, p):
            return table(name, [[1.0, 1 - p], [0.0, p]], parent)

        a, b, a_shows, b_shows, leak, also = START
        parents = sorted(["fa", "fb", "fk"], key=list(model.get_parents("f")).index)
        start = {
            "a": chance("a", a),
            "b": chance("b", b),
            "fk": chance("fk", leak),
            "fa": throw("fa", "a", a_shows),
            "fb": throw("fb", "b", b_shows),
            "g": throw("g", "a", also),
            "f": table("f", [[1.0] + [0.0] * 7, [0.0] + [1.0] * 7], *parents),
        }
        found = ExpectationMaximization(model, data).get_parameters(
            latent_card=dict.fromkeys(latents, 2),
            max_iter=steps,
            init_cpds=start,
            show_progress=False,
        )
    tables = {cpd.variable: cpd for cpd in found}

    def at(name, **given):
        return tables[name].get_value(**{name: 1}, **given)

    return np.array([at("a"), at("b"), at("fa", a=1), at("fb", b=1), at("fk"), at("g", a=1)])


@pytest.mark.parametrize("steps", [1, 4])
def test_each_step_is_that_of_pgmpy(data, steps):
    assert ours(data, steps) == pytest.approx(theirs(data, steps), abs=1e-6)


def test_many_steps_are_likelier_than_what_the_rows_were_drawn_from(data):
    """The second cause is seen in each row, so that its share is the count."""
    found, true = ours(data, 40), np.array([0.3, 0.4, 0.8, 0.5, 0.1, 0.6])
    assert found[1] == pytest.approx(data["b"].mean())
    assert log_likelihood(data, found) > log_likelihood(data, true)


def log_likelihood(data, values):
    """ln P(rows), worked out by hand: b on its own; f and g hang on a."""
    a, b, a_shows, b_shows, leak, also = values
    total = 0.0
    for (is_b, f, g), times in data.value_counts().items():
        row = 0.0
        for is_a, chance in ((0, 1.0 - a), (1, a)):
            quiet = (1.0 - leak) * (1.0 - a_shows) ** is_a * (1.0 - b_shows) ** is_b
            shows = also * is_a
            row += chance * (1.0 - quiet if f else quiet) * (shows if g else 1.0 - shows)
        total += times * np.log((b if is_b else 1.0 - b) * row)
    return total

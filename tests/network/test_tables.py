"""Tables say what is wrong with them, and go through pgmpy and its files unharmed."""

import numpy as np
import pytest
from pgmpy.factors.discrete import TabularCPD
from pgmpy.models import DiscreteBayesianNetwork
from pgmpy.readwrite import BIFReader, BIFWriter

from faultnet.network.pgmpy_model import (
    pgmpy_beliefs,
    pgmpy_model,
    pgmpy_probability,
    tables_of,
)
from faultnet.network.record import record_tables
from faultnet.network.tables import Tables, Variable, tabulate
from tests.inference.networks import random_network

RAIN = Variable("rain", ("no", "yes"), (), np.array([0.8, 0.2]))
WET = Variable("wet", ("no", "damp", "wet"), ("rain",), np.array([[0.9, 0.1, 0], [0.1, 0.2, 0.7]]))


def variable(**changes):
    fields = {"id": "wet", "states": ("no", "yes"), "parents": ("rain",)}
    fields |= {"chances": np.array([[0.9, 0.1], [0.2, 0.8]])}
    return Variable(**fields | changes)


@pytest.mark.parametrize(
    ("second", "says"),
    [
        (variable(id="rain"), "rain stands twice"),
        (variable(states=("no", "no")), "a name of its own"),
        (variable(states=()), "needs states"),
        (variable(parents=("wet",)), "needs its parents before it"),
        (variable(parents=("rain", "rain")), "each once"),
        (variable(chances=np.array([0.2, 0.8])), r"has shape \(2,\), not \(2, 2\)"),
        (variable(chances=np.array([[0.9, 0.1], [0.3, 0.8]])), "the sum one"),
        (variable(chances=np.array([[1.1, -0.1], [0.2, 0.8]])), "zero or more"),
        (variable(chances=np.array([[np.nan, 0.1], [0.2, 0.8]])), "zero or more"),
    ],
)
def test_what_does_not_fit_is_refused(second, says):
    with pytest.raises(ValueError, match=says):
        Tables("weather", (RAIN, second))


def test_a_network_needs_a_variable():
    with pytest.raises(ValueError, match="no variables"):
        Tables("nothing", ())


def test_tabulate_asks_per_joint_state_of_the_parents():
    asked = []

    def chances(pick):
        asked.append(pick)
        return (0.25, 0.75)

    made = tabulate("mud", ("no", "yes"), [RAIN, WET], chances)
    assert asked == [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2)]
    assert made.chances.shape == (2, 3, 2)
    assert made.parents == ("rain", "wet")


def test_tables_come_back_from_pgmpy_as_they_went():
    tables = record_tables(random_network(3))
    _equal(tables_of(pgmpy_model(tables)), tables)


def test_the_network_of_record_can_be_written_as_bif_and_read_again():
    tables = record_tables(random_network(9))
    assert any(".with." in variable.id for variable in tables.variables)
    model = BIFReader(string=str(BIFWriter(pgmpy_model(tables)))).get_model()
    _equal(tables_of(model), tables)


def test_states_of_parents_in_another_order_are_refused():
    model = DiscreteBayesianNetwork([("rain", "wet")])
    names = {"rain": ["yes", "no"], "wet": ["no", "yes"]}
    model.add_cpds(
        TabularCPD("rain", 2, [[0.8], [0.2]], state_names={"rain": ["no", "yes"]}),
        TabularCPD("wet", 2, [[0.1, 0.7], [0.9, 0.3]], ["rain"], [2], names),
    )
    with pytest.raises(ValueError, match="state names of rain"):
        tables_of(model)


def test_rounded_tables_are_divided_by_their_sum():
    model = DiscreteBayesianNetwork()
    model.add_node("colour")
    model.add_cpds(TabularCPD("colour", 3, [[0.333], [0.333], [0.333]]))
    np.testing.assert_allclose(tables_of(model).variables[0].chances, [1 / 3] * 3, rtol=1e-15)


def test_soft_evidence_leaves_no_further_variable_in_the_tables():
    tables = Tables("weather", (RAIN, WET))
    beliefs = pgmpy_beliefs(tables, {"wet": {"damp": 1.0, "wet": 0.5}}, ["rain", "wet"])
    # By hand: rain .2 * (.2 + .35) = .11; no rain .8 * .1 = .08.
    assert beliefs["rain"]["yes"] == pytest.approx(11 / 19)
    assert beliefs["wet"]["wet"] == pytest.approx(0.07 / 0.19)
    assert [v.id for v in tables.variables] == ["rain", "wet"]
    assert pgmpy_probability(tables, {"wet": {"damp": 1.0, "wet": 0.5}}) == pytest.approx(0.19)


def test_impossible_evidence_is_refused_even_where_a_target_does_not_hear_of_it():
    apart = Variable("moon", ("new", "full"), (), np.array([0.5, 0.5]))
    tables = Tables("weather", (RAIN, WET, apart))
    impossible = {"wet": {"wet": 1.0}, "rain": {"no": 1.0}}
    with pytest.raises(ValueError, match="impossible"):
        pgmpy_beliefs(tables, impossible, ["moon"])
    assert pgmpy_probability(tables, impossible) == 0.0


@pytest.mark.parametrize("evidence", [{"snow": {"yes": 1.0}}, {"rain": {"perhaps": 1.0}}])
def test_unknown_names_are_refused(evidence):
    with pytest.raises(KeyError):
        pgmpy_beliefs(Tables("weather", (RAIN, WET)), evidence, ["rain"])


def _equal(got, wanted):
    assert got.id == wanted.id
    by_id = {v.id: v for v in got.variables}
    assert by_id.keys() == {v.id for v in wanted.variables}
    for variable in wanted.variables:
        assert by_id[variable.id].states == variable.states
        assert by_id[variable.id].parents == variable.parents
        np.testing.assert_allclose(by_id[variable.id].chances, variable.chances, atol=1e-15)

"""Tables to and from pgmpy, and its own, slow inference on them as a reference.

Nothing on the way to an answer imports pgmpy.
"""

from collections.abc import Mapping, Sequence
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from faultnet.network.chains import NO_YES
from faultnet.network.tables import Tables, Variable, tabulate

if TYPE_CHECKING:
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.models import DiscreteBayesianNetwork

Likelihoods: TypeAlias = Mapping[str, Mapping[str, float]]
"""Variable to the likelihood of each state, 0 to 1; zero where a state is left out."""

Beliefs: TypeAlias = dict[str, dict[str, float]]
"""Variable to state to probability."""


def pgmpy_model(tables: Tables) -> "DiscreteBayesianNetwork":
    """Return the tables as a model of pgmpy, which has checked it."""
    from pgmpy.models import DiscreteBayesianNetwork

    model = DiscreteBayesianNetwork()
    model.name = tables.id
    states = {variable.id: list(variable.states) for variable in tables.variables}
    model.add_nodes_from(states)
    model.add_edges_from([(p, v.id) for v in tables.variables for p in v.parents])
    model.add_cpds(*(_pgmpy_table(variable, states) for variable in tables.variables))
    model.check_model()
    return model


def tables_of(model: "DiscreteBayesianNetwork") -> Tables:
    """Return a discrete model of pgmpy as tables.

    Published tables are rounded, so that some of their chances sum to a little more or
    less than one; they are divided by their sum. Raises ``ValueError`` for a model that
    does not pass pgmpy's own check.
    """
    model.check_model()
    tables = {cpd.variable: cpd for cpd in model.get_cpds()}
    order = TopologicalSorter({v: cpd.variables[1:] for v, cpd in tables.items()})
    variables = tuple(_variable(tables[v]) for v in order.static_order())
    return Tables(model.name or "unnamed", variables)


def pgmpy_beliefs(tables: Tables, evidence: Likelihoods, targets: Sequence[str]) -> Beliefs:
    """Return P(state | evidence) of each target, by pgmpy's elimination of variables.

    Raises ``ValueError`` for evidence that is impossible, ``KeyError`` for a variable
    or state that is not there.
    """
    asked = _Asked(tables, evidence)
    if asked.probability() == 0.0:
        raise ValueError("the evidence is impossible")
    return {target: asked.beliefs(target, asked.said) for target in targets}


def pgmpy_probability(tables: Tables, evidence: Likelihoods) -> float:
    """Return P(evidence), the product of what each piece adds to those before it."""
    return _Asked(tables, evidence).probability()


class _Asked:
    """Tables with evidence as further children, in a copy that nobody else sees."""

    def __init__(self, tables: Tables, evidence: Likelihoods) -> None:
        from pgmpy.inference import VariableElimination

        self.at = {variable.id: variable for variable in tables.variables}
        said = [_said(self.at[variable], chances) for variable, chances in evidence.items()]
        self.said = [child.id for child in said]
        self.at |= {child.id: child for child in said}
        model = pgmpy_model(Tables(tables.id, (*tables.variables, *said)))
        self.inference = VariableElimination(model)

    def beliefs(self, target: str, said: Sequence[str]) -> dict[str, float]:
        states = self.at[target].states
        known = dict.fromkeys(said, "yes")
        values = self.inference.query([target], known, show_progress=False).values
        return dict(zip(states, map(float, values), strict=True))

    def probability(self) -> float:
        result = 1.0
        for k, child in enumerate(self.said):
            result *= self.beliefs(child, self.said[:k])["yes"]
            if result == 0.0:
                break
        return result


def _said(variable: Variable, likelihood: Mapping[str, float]) -> Variable:
    """Return a child that says yes with the likelihood of each state."""
    unknown = set(likelihood) - set(variable.states)
    if unknown:
        raise KeyError(*sorted(unknown))
    yes = [likelihood.get(state, 0.0) for state in variable.states]
    chances = [(1.0 - chance, chance) for chance in yes]
    return tabulate(f"{variable.id}.said", NO_YES, [variable], lambda pick: chances[pick[0]])


def _pgmpy_table(variable: Variable, states: Mapping[str, list[str]]) -> "TabularCPD":
    from pgmpy.factors.discrete import TabularCPD

    size = len(variable.states)
    return TabularCPD(
        variable.id,
        size,
        variable.chances.reshape(-1, size).T,
        list(variable.parents),
        [len(states[parent]) for parent in variable.parents],
        {v: states[v] for v in (variable.id, *variable.parents)},
    )


def _variable(table: "TabularCPD") -> Variable:
    variable, *parents = table.variables
    states = tuple(map(str, table.state_names[variable]))
    chances = np.moveaxis(table.values / table.values.sum(axis=0), 0, -1)
    return Variable(variable, states, tuple(parents), chances)

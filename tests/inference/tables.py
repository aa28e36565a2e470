"""Random small tables, and every joint state of them: the reference for the clique tree."""

from itertools import product

import numpy as np

from faultnet.network.tables import Tables, Variable


def random_tables(seed, variables=5, parents=3):
    """Tables with two or three states each, some chances zero, not always connected."""
    rng = np.random.default_rng(seed)
    made = []
    for k in range(variables):
        states = tuple(f"s{i}" for i in range(rng.integers(2, 4)))
        count = int(rng.integers(0, min(k, parents) + 1))
        picked = [made[i] for i in rng.permutation(k)[:count]]
        shape = [len(v.states) for v in picked]
        chances = rng.random((*shape, len(states)))
        chances[..., :-1] *= rng.random((*shape, len(states) - 1)) < 0.8
        chances /= chances.sum(axis=-1, keepdims=True)
        made.append(Variable(f"v{k}", states, tuple(v.id for v in picked), chances))
    return Tables("random", tuple(made))


def random_evidence(seed, tables):
    """A hard or a soft word on some of the variables."""
    rng = np.random.default_rng(seed)
    evidence = {}
    for variable in tables.variables:
        pick = rng.random()
        if pick < 0.2:
            evidence[variable.id] = str(rng.choice(variable.states))
        elif pick < 0.4:
            evidence[variable.id] = {s: float(rng.random()) for s in variable.states[1:]}
    return evidence


class Joint:
    """The weight of every joint state, with the evidence worked in."""

    def __init__(self, tables, evidence):
        self.weights = {}
        ids = [v.id for v in tables.variables]
        for states in product(*(v.states for v in tables.variables)):
            world = dict(zip(ids, states, strict=True))
            weight = 1.0
            for v in tables.variables:
                place = [tables.variables[ids.index(p)].states.index(world[p]) for p in v.parents]
                weight *= v.chances[(*place, v.states.index(world[v.id]))]
                said = evidence.get(v.id)
                if isinstance(said, str):
                    weight *= world[v.id] == said
                elif said is not None:
                    weight *= said.get(world[v.id], 0.0)
            self.weights[states] = (weight, world)

    def probability(self, **known):
        return sum(
            weight
            for weight, world in self.weights.values()
            if all(world[v] == state for v, state in known.items())
        )

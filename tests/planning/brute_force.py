"""The least expected cost by plain recursion: no memory, no bounds, nothing left out.

Written apart from the planners: a belief is a dictionary of faults that are present.
"""


def least_cost(problem, belief=None, used=frozenset(), on=frozenset()):
    """Return the least expected cost of a problem from a belief."""
    belief = dict(problem.worlds) if belief is None else belief
    costs = [] if problem.fall_back is None else [problem.fall_back]
    for step in (*problem.checks, *problem.repairs):
        if step.id in used:
            continue
        price = step.cost
        for set_up in problem.set_ups:
            if set_up.id in step.on and set_up.id not in on:
                price += set_up.make + set_up.undo
        state = (on | set(step.on)) - set(step.off)
        spent = used | {step.id} | set(step.spoils)
        for rest in outcomes(problem, step, belief):
            chance = sum(rest.values())
            if chance > 0.0:
                after = {world: p / chance for world, p in rest.items() if p > 0.0}
                price += chance * least_cost(problem, after, spent, state)
        costs.append(price)
    return min(costs, default=float("inf"))


def outcomes(problem, step, belief):
    """Return what is left to believe after each outcome that does not end the trouble."""
    if hasattr(step, "mends"):
        return [mended(step, belief)]
    place = {world: n for n, world in enumerate(problem.worlds)}
    return [
        {world: p * row[place[world]] for world, p in belief.items()}
        for row in step.answers.values()
    ]


def mended(repair, belief):
    """Return the weights of the worlds that a repair leaves with a fault in them."""
    left = belief
    for fault, chance in repair.mends.items():
        after = {}
        for world, p in left.items():
            if fault in world:
                after[world - {fault}] = after.get(world - {fault}, 0.0) + p * chance
                after[world] = after.get(world, 0.0) + p * (1.0 - chance)
            else:
                after[world] = after.get(world, 0.0) + p
        left = after
    return {world: p for world, p in left.items() if world}

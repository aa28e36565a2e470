"""Random problems of a given size."""

from faultnet.planning.problem import Check, Problem, Repair, SetUp, one_fault, several_faults


def random_check(random, name, worlds, answers, set_ups, checks, sure=0.2):
    """Return a check that speaks of two or three faults, sometimes with certainty."""
    faults = sorted({fault for world in worlds for fault in world})
    strengths = {
        f: random.choice([1.0, random.uniform(0.5, 1.0)])
        for f in random.sample(faults, k=min(len(faults), random.choice([1, 2, 3])))
    }
    leak = 0.0 if random.random() < sure else random.uniform(0.0, 0.2)
    rows = []
    for world in worlds:
        silent = 1.0 - leak
        for fault in sorted(world):
            silent *= 1.0 - strengths.get(fault, 0.0)
        loud = 1.0 - silent
        share = [random.random() for _ in range(answers - 1)] if answers > 2 else [1.0]
        total = sum(share)
        rows.append([silent, *(loud * s / total for s in share)])
    named = {f"a{k}": tuple(row[k] for row in rows) for k in range(answers)}
    return Check(
        name,
        random.uniform(1.0, 60.0),
        named,
        *_demands(random, set_ups),
        _spoils(random, name, checks),
    )


def random_problem(
    random,
    faults,
    checks,
    repairs,
    set_ups=0,
    *,
    several=True,
    answers=(2, 2, 3),
    fall_back=True,
    spoils=True,
):
    """Return a problem of the given numbers of faults, checks, repairs and set-ups."""
    names = [f"f{n}" for n in range(faults)]
    chances = {name: random.uniform(0.02, 0.6) for name in names}
    if several:
        worlds = several_faults(chances)
    else:
        total = sum(chances.values())
        worlds = one_fault({name: c / total for name, c in chances.items()})
    shared = tuple(
        SetUp(f"s{n}", random.uniform(1.0, 40.0), random.choice([0.0, 5.0])) for n in range(set_ups)
    )
    ids = [f"c{n}" for n in range(checks)] if spoils else []
    looks = tuple(
        random_check(random, f"c{n}", worlds, random.choice(answers), shared, ids)
        for n in range(checks)
    )
    mends = []
    for n in range(repairs):
        of = {names[n % faults], *random.sample(names, k=random.choice([0, 0, 1]))}
        sure = not fall_back and n < faults
        mends.append(
            Repair(
                f"r{n}",
                random.uniform(10.0, 240.0),
                {
                    f: 1.0 if sure else random.choice([1.0, random.uniform(0.5, 1.0)])
                    for f in sorted(of)
                },
                *_demands(random, shared),
                _spoils(random, "", ids) if random.random() < 0.3 else (),
            )
        )
    return Problem(
        worlds, looks, tuple(mends), shared, random.uniform(200.0, 900.0) if fall_back else None
    )


def _demands(random, set_ups):
    names = [s.id for s in set_ups]
    on = tuple(s for s in names if random.random() < 0.4)
    off = tuple(s for s in names if s not in on and random.random() < 0.2)
    return on, off


def _spoils(random, name, checks):
    return tuple(c for c in checks if c != name and random.random() < 0.1)

"""What following a chart costs, by walking through it in every world with every answer.

Written apart from the network: a world is a set of faults that are there, read from the
knowledge; each sign shows by its faults' strengths and its leak (noisy-OR).
"""

from itertools import combinations, product
from math import prod

from faultnet.advice.followed import Place


def worlds(subject):
    """Return each set of faults with its chance, given that there is one at least."""
    chances = {c.id: c.probability for c in subject.network.causes if c.probability > 0.0}
    if subject.network.faults == "one":
        sets = {frozenset({fault}): chance for fault, chance in chances.items()}
    else:
        sets = {
            frozenset(present): prod(p if f in present else 1.0 - p for f, p in chances.items())
            for n in range(1, len(chances) + 1)
            for present in combinations(chances, n)
        }
    total = sum(sets.values())
    return {world: chance / total for world, chance in sets.items()}


def shows(subject, finding, world):
    """Return the chance that a sign shows in a world."""
    quiet = 1.0 - subject.knowledge.findings[finding].shows_anyway[0].value
    for fault in world:
        for link in subject.knowledge.causes[fault].shows:
            if link.finding == finding:
                quiet *= 1.0 - link.strength[0].value
    return 1.0 - quiet


def answers(subject, check, world):
    """Yield each joint answer of a check with its chance in a world."""
    found = subject.knowledge.checks[check].reveals
    likely = [shows(subject, f, world) for f in found]
    for said in product((False, True), repeat=len(found)):
        chance = prod(p if yes else 1.0 - p for p, yes in zip(likely, said, strict=True))
        yield {f: "yes" if yes else "no" for f, yes in zip(found, said, strict=True)}, chance


def repaired(subject, turns, world):
    """Return the minutes of repairs in an order until no fault is left, the specialist last."""
    spent, left = 0.0, set(world)
    for repair, minutes in turns:
        spent += minutes
        left -= {f for f in left if subject.knowledge.causes[f].repair == repair}
        if not left:
            return spent
    return spent + subject.system.specialist.minutes.value


def by_chart(chart):
    """Return the minutes of following a chart as it is printed."""
    subject = chart.subject
    boxes = {box.number: box for box in chart.boxes}

    def walk(number, world):
        box = boxes[number]
        spent = box.step.price
        for said, chance in answers(subject, box.step.id, world):
            way = next((w for w in box.ways if said in w.answers), None)
            end = box.other if way is None else way.end
            if end is None:
                spent += chance * walk(way.box, world)
            else:
                turns = [(turn.repair, turn.minutes) for turn in end.turns]
                spent += chance * repaired(subject, turns, world)
        return spent

    return sum(chance * walk(1, world) for world, chance in worlds(subject).items())


def live(subject, evidence):
    """Return the minutes of asking at every step, until a repair is best."""

    def walk(place, world):
        if not place.looks:
            return repaired(subject, [(t.repair, t.price) for t in place.repairs.turns], world)
        after = {tuple(each.answers.items()): each.place for each in place.likeliest}
        spent = place.step.price
        for said, chance in answers(subject, place.step.id, world):
            if chance > 0.0:
                spent += chance * walk(after[tuple(said.items())], world)
        return spent

    start = Place(subject, evidence, "technician")
    return sum(chance * walk(start, world) for world, chance in worlds(subject).items())


def reaching(chart):
    """Return the chance of coming to each box of a chart."""
    subject = chart.subject
    boxes = {box.number: box for box in chart.boxes}
    reached = dict.fromkeys(boxes, 0.0)

    def walk(number, world, chance):
        reached[number] += chance
        for said, share in answers(subject, boxes[number].step.id, world):
            way = next((w for w in boxes[number].ways if said in w.answers), None)
            if way is not None and way.box:
                walk(way.box, world, chance * share)

    for world, chance in worlds(subject).items():
        walk(1, world, chance)
    return reached

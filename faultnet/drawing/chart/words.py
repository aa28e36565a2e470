"""What a chart says, in the words of the trade."""

from collections import defaultdict
from collections.abc import Sequence
from math import prod

from faultnet.advice.site import Transition
from faultnet.advice.subject import Subject
from faultnet.drawing.chart import grow
from faultnet.drawing.chart.chart import Chart, End
from faultnet.model.check import Work
from faultnet.model.finding import CANNOT, Finding
from faultnet.model.layout import Circumstance, Layout

POWER = {
    "locked-out": "power locked out",
    "off": "power off at the panel",
    "on": "power on",
    "as-found": "power as it is found",
}
WHO = {"caller": "Anybody in the house may do it", "qualified": "Only somebody qualified"}
CISTERN = "Nobody enters a cistern, well or pit, and nobody leans into one."
LOCAL = (
    "Mains power is for those licensed to work on it. Local codes come before this sheet. Let off "
    "pressure at the tank drain until it stops; do not believe a gauge."
)
BY_PHONE = (
    "A caller opens nothing, moves no valve and touches no fuse. Read the questions out; nobody "
    "goes to look or to try where it is not safe."
)
DISINFECT = {
    "wipe": "Wipe what touches drinking water with disinfectant.",
    "full": "Disinfect the system afterwards; boil drinking water until it is proved clean.",
}
WHY = {
    grow.REPAIR: "Repairs, in this order:",
    grow.SURE: "As good as sure. Repairs, in this order:",
}
ASK = "Ask faultnet, or do the repairs in this order:"
RULES = (
    "Begin at 1. Do what the box says, find the answer in its rows, go where the row sends you.",
    "The chance beside an answer is how often it comes there.",
    "The chance beside a repair is how often it ends the trouble when it is reached.",
    "An answer that is in no row, no sure answer, a check that cannot be done: take the last row.",
    "Before each repair read it at the end, R1 and so on: power, cautions, proof.",
    "After each repair do its proof. Proved: stop. Not proved: the next repair.",
    "Whenever a danger shows, on the way as well: stop, and do what the danger box says.",
    "Minutes count work, half of the waiting, what is set up and put back, and the proof.",
)


def percent(share: float) -> str:
    """Return a chance as it is said."""
    if share < 0.01:
        return "<1\u00a0%"
    if share > 0.99:
        return ">99\u00a0%"
    return f"{share * 100:.0f}\u00a0%"


def minutes(value: float) -> str:
    """Return minutes as they are said."""
    return f"{value:.0f}\u00a0min" if value >= 1.0 or value == 0.0 else "<1\u00a0min"


def title(chart: Chart) -> str:
    """What the chart is for, in one line."""
    return chart.subject.system.title


def complaint(chart: Chart) -> str:
    """What was said of the trouble."""
    subject, evidence = chart.subject, chart.evidence
    told = {a.finding: a.answer for round_ in evidence.rounds for a in round_.answers}
    said = [_finding(subject.knowledge.findings[f], a, known=True) for f, a in told.items()]
    said += [
        subject.knowledge.circumstances[c].title if held else f"Not: {_circumstance(subject, c)}"
        for c, held in evidence.circumstances.items()
    ]
    said += [subject.knowledge.readings[t.reading].title for r in evidence.rounds for t in r.taken]
    return "; ".join(filter(None, said)) or "No complaint told"


def site(chart: Chart) -> str:
    """What is known of the layout."""
    known = [_root(chart.subject, r, v) for r, v in chart.evidence.layout.items()]
    return "; ".join(known) or "not known; all that is usual is allowed for"


def costs(chart: Chart) -> list[str]:
    """What it takes on average to follow the chart, and to ask faultnet at every step."""
    live = chart.live
    told = [f"Following this chart: about {minutes(chart.expected)} on average."]
    if live is not None:
        less = "" if live.exact else " or less"
        told.append(f"With faultnet live at every step: about {minutes(live.expected)}{less}.")
    told.append(f"Repairs in order, without any check: {minutes(chart.repair_only)}.")
    return told


def answers(subject: Subject, joint: Sequence[dict[str, str]]) -> list[str]:
    """Return joint answers that lead to the same in words, what makes no difference left out.

    Where they are all combinations of some answers it is one text, else one for each.
    """
    kept = [dict(each) for each in joint]
    for name in joint[0]:
        rests = defaultdict(set)
        for each in kept:
            rests[_without(each, name)].add(each[name])
        if all(found == _possible(subject, name) for found in rests.values()):
            kept = [dict(rest) for rest in rests]
    if not kept[0]:
        return ["Whatever is found"]
    values = {name: list(dict.fromkeys(each[name] for each in kept)) for name in kept[0]}
    if prod(map(len, values.values())) == len(kept):
        return [_together(subject, values)]
    return [_together(subject, {name: [said] for name, said in each.items()}) for each in kept]


def _without(answers: dict[str, str], name: str) -> tuple[tuple[str, str], ...]:
    return tuple((other, said) for other, said in answers.items() if other != name)


def _possible(subject: Subject, name: str) -> set[str]:
    """All answers that there are to a finding, a layout or a circumstance."""
    if name in subject.roots:
        return set(subject.network.roots[subject.roots[name]].states)
    return set(subject.knowledge.findings[name].all_answers)


def _together(subject: Subject, values: dict[str, list[str]]) -> str:
    """Return answers in words: what is found; what is not goes unsaid."""
    told = []
    for name, said in values.items():
        found = [about(subject, name, each) for each in said]
        first = found[0].split(": ")[0] + ": "
        same = all(each.startswith(first) for each in found)
        rest = [each.removeprefix(first) for each in found[1:]] if same else found[1:]
        told.append(" or ".join([found[0] or "not", *(each or "not" for each in rest)]))
    told = [each for each in told if each != "not"]
    if not told:
        return "No" if len(values) == 1 else "None of these"
    return "; ".join(told)


def about(subject: Subject, name: str, said: str) -> str:
    """Return one answer in words; nothing where it is the normal one."""
    if name in subject.knowledge.findings and name not in subject.roots:
        return _finding(subject.knowledge.findings[name], said)
    return _root(subject, name, said)


def asked(subject: Subject, name: str, *, caller: bool) -> str:
    """Return what is asked about a finding, a layout or a circumstance."""
    entry = _entry(subject, name)
    return (entry.ask_caller if caller else "") or entry.ask


def named(subject: Subject, name: str) -> str:
    """Return the title of a finding, a layout or a circumstance."""
    return _entry(subject, name).title.removeprefix("Found: ")


def _entry(subject: Subject, name: str) -> Finding | Layout | Circumstance:
    knowledge = subject.knowledge
    return (
        knowledge.layouts.get(name) or knowledge.circumstances.get(name) or knowledge.findings[name]
    )


def setup(each: Transition) -> str:
    """Return what comes before a step."""
    if each.id.startswith("called:"):
        return f"call in somebody {each.id.removeprefix('called:')} ({minutes(each.minutes)})"
    if each.to == "off":
        return f"undo: {each.title}"
    return f"{each.title} ({minutes(each.minutes)})"


def state(work: Work) -> str:
    """Return who does it, how the power stands, and what is opened."""
    told = [WHO.get(work.who, work.who.capitalize()), POWER[work.power]]
    if work.opens != "nothing":
        told.append(f"opens the {work.opens}" + (", from outside" * (work.opens == "hatch")))
    return "; ".join(told)


def last(chart: Chart) -> str:
    """Return who takes over where nothing else is left."""
    specialist = chart.subject.system.specialist
    counted = minutes(specialist.minutes.value)
    if chart.who == "caller":
        return f"send a technician and tell the numbers of the boxes; counted as {counted}"
    return f"{specialist.title}; counted as {counted}"


def opening(end: End) -> str:
    """Return what to do where a branch ends."""
    return WHY.get(end.why, ASK)


def likeliest(chart: Chart, end: End) -> str:
    """Return the likeliest causes of an end."""
    causes = [f"{chart.subject.title(name)} {percent(p)}" for name, p in end.likeliest]
    return f"Likeliest: {'; '.join(causes)}." if causes else ""


def _finding(finding: Finding, said: str, *, known: bool = False) -> str:
    name = finding.title.removeprefix("Found: ")
    if said == CANNOT:
        return f"Cannot be taken: {name}"
    if said in {finding.normal, "no"}:
        return f"Not: {name}" if known else ""
    return name if said == "yes" else f"{name}: {said.replace('-', ' ')}"


def _root(subject: Subject, name: str, said: str) -> str:
    layout = subject.knowledge.layouts.get(name)
    if layout is None:
        return _circumstance(subject, name) if said == "yes" else ""
    value = next((v.title for v in layout.values if v.id == said), said)
    return f"{layout.title}: {value}"


def _circumstance(subject: Subject, name: str) -> str:
    return subject.knowledge.circumstances[name].title

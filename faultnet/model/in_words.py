"""What the files say, in words: numbers with their words, and where they hold."""

from faultnet.model.cause import Factor
from faultnet.model.condition import When
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number


def strengths_said(
    knowledge: Knowledge, finding: Finding | None, numbers: tuple[Number, ...], when: When
) -> str:
    """Return strengths in words and numbers, by answer where there are several."""
    several = finding is not None and len(numbers) > 1
    told = [
        f"{plain(finding.answers[k + 1])}: {share_said(number)}"
        if finding is not None and several
        else share_said(number)
        for k, number in enumerate(numbers)
    ]
    return "; ".join(told) + (f", only where {when_said(knowledge, when)}" if when else "")


def factor_said(knowledge: Knowledge, factor: Factor) -> str:
    """Return a factor on the odds, with the layout value it belongs to."""
    value = ""
    if factor.about in knowledge.layouts:
        value = f"{value_title(knowledge, factor.about, factor.value)}: "
    return f"{value}odds times {factor.factor.value:g}"


def when_said(knowledge: Knowledge, when: When) -> str:
    """Return a condition on the layout in words."""
    return "; ".join(
        f"{knowledge.layouts[layout].title}: "
        + " or ".join(value_title(knowledge, layout, value) for value in values)
        for layout, values in when.items()
    )


def value_title(knowledge: Knowledge, layout: str, value: str) -> str:
    """Return a value of a layout as it is called."""
    titles = {each.id: each.title for each in knowledge.layouts[layout].values}
    return titles.get(value, value)


def share_said(number: Number) -> str:
    """Return a chance with the word that it was written as."""
    return (
        f"{plain(number.word)}, {percent(number.value)}" if number.word else percent(number.value)
    )


def percent(share: float) -> str:
    """Return a share of 1 as per cent, to two figures where it is small."""
    return f"{share:.0%}" if share >= 0.1 or share == 0.0 else f"{share * 100.0:.2g}%"


def plain(word: str) -> str:
    """Return an id as words."""
    return word.replace("-", " ")

"""A reading of the shipped knowledge in one line for tests."""

from faultnet.advice.readings import outcomes


def weighed(subject, name, layout=None, **parts):
    """Return the chance of each answer; parts are in the reading's own units."""
    given = {part.replace("_", "-"): value for part, value in parts.items()}
    return outcomes(subject.knowledge.readings[name], subject.system, given, layout or {})

"""The file of a region, drafted from what closed cases propose for it."""

from collections.abc import Sequence

from faultnet.authoring.names import kebab
from faultnet.learning.regions.regions import LearntRegions, Regional

SECTIONS = {"how-common": "how-common", "minutes": "minutes", "circumstance": "circumstances"}
"""Kinds of proposed numbers to the keys of a region's file."""


def region_files(found: LearntRegions) -> dict[str, str]:
    """Return the file of each region that has numbers of its own, by the region.

    Where they come from is for the author to say; until then they are marked as judgement.
    """
    regions = dict.fromkeys(each.region for each in found.numbers)
    return {name: region_file(name, name, found.of(name), "judgement") for name in regions}


def region_file(region: str, title: str, numbers: Sequence[Regional], source: str) -> str:
    """Return the text of ``regions/REGION.yaml``, REGION in kebab-case, for one of the cases.

    ``source`` says where the numbers come from: an entry of sources.yaml.

    Beside each number stands what all share, the interval, and how many cases speak for it.
    """
    lines = [f"region: {kebab(region)}", f"title: {title}", f"from: {source}"]
    for kind, key in SECTIONS.items():
        of_kind = [each for each in numbers if each.proposed.kind == kind]
        if of_kind:
            lines += [f"{key}:", *map(_line, of_kind)]
    return "\n".join([*lines, ""])


def _line(each: Regional) -> str:
    proposed = each.proposed
    low, high = proposed.interval.low, proposed.interval.high
    return (
        f"  {proposed.of}: {proposed.value:.3g}  # elsewhere {each.shared:.3g}; "
        f"{low:.3g} to {high:.3g}, {proposed.speak_for:.3g} cases"
    )

"""The form of a region."""

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TEXT
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.node import Mapping
from faultnet.authoring.number import AMOUNT, HOW_COMMON, LIKELIHOOD
from faultnet.authoring.scope import Scope
from faultnet.model.region import Region

REGION = Form(
    Region,
    {
        "region": Key(NAME, attribute="id", says="The id of the region, as the file is called."),
        "title": Key(TEXT, says="What people read: the part of the country, or the firm."),
        "about": Key(TEXT, "", says="A few sentences on where it begins and ends."),
        "how-common": Key(
            MapOf(Id("cause"), HOW_COMMON), {}, says="How common causes are on a call here."
        ),
        "minutes": Key(
            MapOf(Id("check", "repair"), AMOUNT),
            {},
            says="Minutes of hands-on work that checks and repairs take here.",
        ),
        "circumstances": Key(
            MapOf(Id("circumstance"), LIKELIHOOD),
            {},
            says="How often they are so here, but in a system that has a number of its own.",
        ),
    },
)


def read_region(node: Mapping, stem: str, scope: Scope) -> Region | None:
    """Return a region; it is called as its file, ``stem``."""
    region = REGION.read(node, scope, origin=node.origin)
    if region and region.id and region.id != stem:
        message = f"The region is `{region.id[:40]}`, but the file is {stem}.yaml."
        place = node.entries["region"].node.origin
        scope.tell("id-not-file-name", place, message, "Give both the same name.")
    return region

"""`where`: the places that faultnet reads and writes."""

import os

import click

from faultnet import __version__
from faultnet.cli import options
from faultnet.cli.output import show, show_json
from faultnet.cli.places import data_folder, report_folder

NONE = {"cache": "nothing is kept", "region": "none: what all share"}
"""What is said where there is nothing."""

EXAMPLES = """\b
Example:
  faultnet where
"""


@click.command("where", epilog=EXAMPLES)
@options.as_json
def command(as_json: bool) -> int:
    """Show where knowledge, cache and data lie.

    FAULTNET_KNOWLEDGE, FAULTNET_CACHE and FAULTNET_DATA name other folders; with
    FAULTNET_CACHE set to nothing, nothing is kept between runs. FAULTNET_STORE names
    another file or server for sites and cases, FAULTNET_REGION the region whose numbers are used.
    """
    from faultnet.authoring.region import VARIABLE
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import cache_folder
    from faultnet.cli import kept_cases
    from faultnet.cli.imported import folder as networks

    try:
        store = kept_cases.shown()
    except kept_cases.CannotKeepError as error:
        store = str(error)
    places = {
        "knowledge": shipped_folder(),
        "cache": cache_folder(),
        "data": data_folder(),
        "store": store,
        "networks": networks(),
        "reports": report_folder(),
        "region": os.environ.get(VARIABLE) or None,
    }
    if as_json:
        named = {name: None if place is None else str(place) for name, place in places.items()}
        show_json({"version": __version__, **named})
    else:
        show(f"{name:<10} {place or NONE.get(name, '')}" for name, place in places.items())
    return 0

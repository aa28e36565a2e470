"""Options that several commands share."""

import functools
import inspect
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from faultnet.cli import complete
from faultnet.cli.asked import Asked

if TYPE_CHECKING:
    from faultnet.sharing.sharing import Sharing

Command = Callable[..., int]
"""What a command does; it returns its exit code."""

F = TypeVar("F", bound=Callable[..., Any])

FOLDER = click.Path(exists=True, file_okay=False, path_type=Path)
"""A folder that exists."""


def as_json(command: F) -> F:
    """Add --json."""
    return click.option("--json", "as_json", is_flag=True, help="Write the result as JSON.")(
        command
    )


def workers(command: F) -> F:
    """Add --workers; without it, as many as there are processors."""
    from faultnet.sharing.workers import processors

    return click.option(
        "--workers",
        type=click.IntRange(1, 256),
        default=processors,
        metavar="NUMBER",
        help="Processes at once; without it, one for each processor.",
    )(command)


def sharing(command: Command) -> Command:
    """Add --workers and --cluster; what they say is handed on as ``sharing``, a ``Sharing``."""
    cluster = click.option(
        "--cluster",
        metavar="ADDRESS",
        help="Share the work among the machines of this Dask scheduler, as 10.0.0.1:8786.",
    )
    return gathered(_sharing, "sharing", (workers, cluster), command)


def _sharing(workers: int, cluster: str | None) -> "Sharing":
    """Return who does the work; a cluster is asked at once, and left when the command ends."""
    from faultnet.sharing.sharing import Here

    if cluster is None:
        return Here(workers)
    from click.core import ParameterSource

    ctx = click.get_current_context()
    if ctx.get_parameter_source("workers") != ParameterSource.DEFAULT:
        reason = "`--workers` counts processes here, `--cluster` does the work elsewhere"
        raise click.UsageError(f"{reason}: give one of them.")
    from faultnet.cli.extra import needed

    with needed("cluster"):
        from faultnet.sharing.cluster import OnCluster

        return ctx.with_resource(OnCluster(cluster))


def day(_ctx: click.Context, _option: click.Parameter, value: str | None) -> str | None:
    """Return a day as it was typed; raise ``BadParameter`` where it is none."""
    from datetime import date

    if value is None:
        return None
    try:
        return date.fromisoformat(value).isoformat()
    except ValueError:
        raise click.BadParameter(f"`{value[:20]}` is no day; write it as 2026-09-30.") from None


since = click.option(
    "--since", callback=day, metavar="DAY", help="Only cases closed on this day or later."
)
"""The first day of the cases that are looked at."""


def knowledge(command: F) -> F:
    """Add --knowledge and --region; the region is set for as long as the command runs."""
    return _with((folder, region), command)


def folder(command: F) -> F:
    """Add --knowledge."""
    return click.option(
        "--knowledge",
        "folder",
        type=FOLDER,
        metavar="FOLDER",
        help="Use the knowledge of this folder instead of what came along.",
    )(command)


def region(command: F) -> F:
    """Add --region."""
    return click.option(
        "--region",
        expose_value=False,
        callback=_set_region,
        metavar="NAME",
        shell_complete=complete.regions,
        help="Use the numbers of this region; FAULTNET_REGION names one for good.",
    )(command)


def _set_region(ctx: click.Context, _: click.Parameter, name: str | None) -> None:
    """Set the region for this process and those it starts, until the command is over."""
    from faultnet.authoring.region import setting

    if name is not None:
        ctx.with_resource(setting(name))


def trucks(command: F) -> F:
    """Add --truck."""
    return click.option(
        "--truck",
        "files",
        multiple=True,
        type=click.Path(exists=True, dir_okay=False, path_type=Path),
        metavar="FILE",
        help="A file that says what is on the trucks now; without one, what usually is.",
    )(command)


def layout(command: F) -> F:
    """Add --layout."""
    return click.option(
        "-l",
        "--layout",
        "layout",
        multiple=True,
        metavar="LAYOUT=VALUE",
        shell_complete=complete.layouts,
        help="How the installation is laid out.",
    )(command)


def evidence(command: Callable[..., int]) -> Callable[..., int]:
    """Add SYSTEM and all that says what is known of the trouble; handed on as ``asked``."""
    return gathered(Asked, "asked", _EVIDENCE, command)


def gathered(
    kind: Callable[..., object],
    name: str,
    options: Sequence[Callable[[Command], Command]],
    command: Command,
) -> Command:
    """Add options; those that ``kind`` takes are handed on together, under one name."""
    fields = inspect.signature(kind).parameters

    @functools.wraps(command)
    def asking(**given: object) -> int:
        mine = {field: given.pop(field) for field in fields if field in given}
        return command(**{name: kind(**mine)}, **given)

    handed: Command = asking
    return _with(options, handed)


def site(command: Callable[..., int]) -> Callable[..., int]:
    """Add what the next step depends on besides the evidence; stands below ``evidence``."""
    return _with(_SITE, command)


def network(command: Callable[..., int]) -> Callable[..., int]:
    """Add what may be at fault in an imported network; stands below ``evidence``."""
    return _with(_NETWORK, command)


def network_looks(command: Callable[..., int]) -> Callable[..., int]:
    """Add what can be looked at in an imported network, and prices."""
    return _with(_LOOKS, command)


replace = click.option("--replace", is_flag=True, help="Write over what is there.")
"""Add --replace."""


def network_format(command: F) -> F:
    """Add --format."""
    return click.option(
        "--format",
        "form",
        type=click.Choice(["bif", "xmlbif", "uai", "net"]),
        help="The format, where the suffix of the file does not say it.",
    )(command)


def _with(options: Sequence[Callable[[F], F]], command: F) -> F:
    for option in reversed(options):
        command = option(command)
    return command


_EVIDENCE = (
    click.argument("system", shell_complete=complete.systems),
    click.option(
        "-f",
        "--finding",
        "answers",
        multiple=True,
        metavar="[ROUND:]FINDING=ANSWER",
        shell_complete=complete.answers,
        help="What was seen, or happened just before; yes and no always work.",
    ),
    layout,
    click.option(
        "-m",
        "--measured",
        "measured",
        multiple=True,
        metavar="[ROUND:]READING.PART=NUMBERUNIT",
        shell_complete=complete.readings,
        help="A number from an instrument, with its unit.",
    ),
    click.option(
        "--mended",
        "mended",
        multiple=True,
        metavar="[ROUND:]REPAIR",
        shell_complete=complete.repairs,
        help="A repair that was done; it ends the round named, or the one before the last.",
    ),
    click.option(
        "--by",
        "speaker",
        type=click.Choice(["caller", "technician"]),
        default="technician",
        show_default=True,
        help="Who gave the answers.",
    ),
    knowledge,
)

_NETWORK = (
    click.option(
        "--target",
        "targets",
        multiple=True,
        metavar="VARIABLE[=STATE]",
        shell_complete=complete.targets,
        help="Imported network: what may be at fault; a state, or all but the first.",
    ),
)

_LOOKS = (
    click.option(
        "--candidate",
        "candidates",
        multiple=True,
        metavar="VARIABLE",
        shell_complete=complete.variables,
        help="Imported network: a variable that can be looked at.",
    ),
    click.option(
        "--cost",
        "costs",
        multiple=True,
        metavar="VARIABLE=NUMBER",
        shell_complete=complete.costs,
        help="Imported network: the cost of looking at a variable, or of mending it.",
    ),
)

_SITE = (
    click.option(
        "--who",
        type=click.Choice(["caller", "technician", "qualified"]),
        default="technician",
        show_default=True,
        help="Who is there to do it.",
    ),
    click.option(
        "--made-safe",
        "made_safe",
        multiple=True,
        metavar="FINDING",
        shell_complete=complete.dangers,
        help="The danger of this finding has been dealt with.",
    ),
    click.option(
        "--set-up",
        "set_ups",
        multiple=True,
        metavar="SET-UP",
        shell_complete=complete.set_ups,
        help="A state of the site that is made at present.",
    ),
)

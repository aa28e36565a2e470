"""The table of commands: a command is imported when it is asked for, not before."""

from importlib import import_module
from keyword import iskeyword
from typing import Any

import click

COMMANDS: dict[str, str] = {
    "systems": "The systems that can be asked about, and what can be said of each.",
    "rank": "The causes, likeliest first.",
    "next": "The cheapest next step.",
    "why": "What moved a cause, and what would change the ranking.",
    "visit": "From the first question to the mended cause, guided.",
    "cases": "The cases and sites that are kept: list, show, hand over, close, purge.",
    "reckon": "The calculators: lift, tank, leak, wiring, heat, bleach.",
    "lint": "Every problem in the knowledge files.",
    "prove": "The cases beside the knowledge: what was expected, what came.",
    "import": "A network of an open format, checked and kept for rank and next.",
    "export": "A system as a network of an open format.",
    "where": "Where knowledge, cache and data lie.",
}
"""Command to what it does; it stands in the module of that name as ``command``."""


class Table(click.Group):
    """A group whose commands are listed from the table and imported one at a time."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 the base gives it
        """Return the names in the order of the table."""
        return list(COMMANDS)

    def get_command(
        self,
        ctx: click.Context,  # noqa: ARG002 the base gives it
        cmd_name: str,
    ) -> click.Command | None:
        """Import a command."""
        if cmd_name not in COMMANDS:
            return None
        # A module cannot be called after a word of the language.
        module = f"{cmd_name}_" if iskeyword(cmd_name) else cmd_name
        command: click.Command = import_module(f"faultnet.cli.{module}").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find a command; an unknown one is told with what may have been meant."""
        name = args[0]
        if name not in COMMANDS and not name.startswith("-") and not ctx.resilient_parsing:
            from faultnet.authoring.nearest import did_you_mean

            hint = did_you_mean(name, COMMANDS)
            raise click.UsageError(f"There is no command `{name}`. {hint}".rstrip(), ctx)
        return super().resolve_command(ctx, args)

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 the base gives it
        formatter: click.HelpFormatter,
    ) -> None:
        """List the commands from the table alone."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[Any]:
        """Complete names and options without importing any command."""
        from click.shell_completion import CompletionItem

        names = [
            CompletionItem(name, help=about)
            for name, about in COMMANDS.items()
            if name.startswith(incomplete)
        ]
        return [*names, *click.Command.shell_complete(self, ctx, incomplete)]

"""A group of words behind a command; what a word does is imported when it is asked for."""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click


class Words(click.Group, ABC):
    """A group that lists, completes and finds its words from a table alone.

    Who inherits says what the words are (``about``), how one is made (``made``), and what
    an unknown one is called.
    """

    kind = "command"
    """What a word is called where there is none such."""

    before = ""
    """What stands before an unknown word when it is told."""

    otherwise = ""
    """What to say of an unknown word where none is near."""

    @abstractmethod
    def about(self) -> Mapping[str, str]:
        """Return each word with what it does, in order."""

    @abstractmethod
    def made(self, name: str) -> click.Command:
        """Return the command of a word."""

    def list_commands(self, _ctx: click.Context) -> list[str]:
        """Return the words in order."""
        return list(self.about())

    def get_command(self, _ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of a word, or None where there is none."""
        return self.made(cmd_name) if cmd_name in self.about() else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find a word; an unknown one is told with what may have been meant."""
        name, known = args[0], self.about()
        if name not in known and not name.startswith("-") and not ctx.resilient_parsing:
            from faultnet.authoring.nearest import did_you_mean

            hint = did_you_mean(name, known) or self.otherwise
            told = f"There is no {self.kind} `{self.before}{name[:40]}`. {hint}"
            raise click.UsageError(told.rstrip(), ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, _ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the words from the table alone."""
        with formatter.section("Commands"):
            formatter.write_dl(list(self.about().items()))

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[Any]:
        """Complete words and options without importing what a word does."""
        from click.shell_completion import CompletionItem

        names = [
            CompletionItem(name, help=about)
            for name, about in self.about().items()
            if name.startswith(incomplete)
        ]
        return [*names, *click.Command.shell_complete(self, ctx, incomplete)]


class Group(Words):
    """A group whose commands stand in modules of ``faultnet.cli``, as ``NAME_command``."""

    modules: Mapping[str, tuple[str, str]]
    """Command to its module and what it does."""

    def about(self) -> Mapping[str, str]:
        """Return each command with what it does."""
        return {name: about for name, (_, about) in self.modules.items()}

    def made(self, name: str) -> click.Command:
        """Import a command."""
        module = import_module(f"faultnet.cli.{self.modules[name][0]}")
        command: click.Command = getattr(module, f"{name}_command")
        return command

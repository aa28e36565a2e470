"""The table of commands: a command is imported when it is asked for, not before."""

from collections.abc import Mapping
from importlib import import_module
from keyword import iskeyword

import click

from faultnet.cli.words import Words

COMMANDS: dict[str, str] = {
    "systems": "The systems that can be asked about, and what can be said of each.",
    "rank": "The causes, likeliest first.",
    "next": "The cheapest next step.",
    "why": "What moved a cause, and what would change the ranking.",
    "call": "On the phone: danger, questions, what to load, whom to send.",
    "visit": "From the first question to the mended cause, guided.",
    "cases": "The cases and sites that are kept: list, show, hand over, close, purge.",
    "report": "The service report of a case, for the customer or the office.",
    "reckon": "The calculators: lift, tank, leak, wiring, heat, bleach.",
    "serve": "The cases in a browser on this machine.",
    "pocket": "The page for a cellar without signal, as files.",
    "accounts": "Who may log in, tokens for programs, and what was done.",
    "draw": "The network as a picture: of a system, a part, a cause or a case.",
    "chart": "What to do about a trouble, answer by answer, on paper.",
    "handbook": "All that is known, to read and to print.",
    "lint": "Every problem in the knowledge files.",
    "add": "A new cause, finding or check: asked for, shown, written in place.",
    "schema": "What an editor needs to help with knowledge files.",
    "prove": "The cases beside the knowledge: what was expected, what came.",
    "compare": "Two versions of the knowledge: what differs in files and answers.",
    "margins": "How far each number may move before another cause comes first.",
    "measure": "How well the tool did on closed cases.",
    "learn": "What closed cases say of the numbers: shown, gone through, written.",
    "trial": "Policies tried on the same imagined or recorded calls.",
    "import": "A network of an open format, checked and kept for rank and next.",
    "export": "A system as a network of an open format.",
    "where": "Where knowledge, cache and data lie.",
}
"""Command to what it does; it stands in the module of that name as ``command``."""


class Table(Words):
    """The group of all commands."""

    def about(self) -> Mapping[str, str]:
        """Return each command with what it does."""
        return COMMANDS

    def made(self, name: str) -> click.Command:
        """Import a command."""
        # A module cannot be called after a word of the language.
        module = f"{name}_" if iskeyword(name) else name
        command: click.Command = import_module(f"faultnet.cli.{module}").command
        return command

"""`reckon`: the calculators, one sub-word each, built from what each of them asks."""

from collections.abc import Callable, Mapping
from typing import Any

import click

from faultnet.cli import options
from faultnet.cli.words import Words
from faultnet.reckon.ask import Ask
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.calculators import CALCULATORS, SUBJECTS, calculator

MINUS = "\u2212"
"""The minus sign of print, which starts no option."""

EXAMPLES = """\b
Examples (the numbers are invented):
  faultnet reckon water-column 23ft
  faultnet reckon suction 6m --altitude 1500m --water 12C
  faultnet reckon tank 44gal 30/50psi --precharge 20psi
  faultnet reckon leak 50psi 44psi 15min --drawdown 12gal

Every number has its unit, metric or US; fractions of an inch or hp are welcome (1-1/4in).
"""


OPEN: dict[str, Any] = {
    "invoke_without_command": True,
    "subcommand_metavar": "CALCULATOR [NUMBERS]...",
}


class Calculators(Words):
    """The group of calculators."""

    kind = "calculator"
    otherwise = "faultnet reckon lists them."

    def about(self) -> Mapping[str, str]:
        """Return each calculator with what it answers."""
        return {name: each.answers for name, each in CALCULATORS.items()}

    def made(self, name: str) -> click.Command:
        """Make the command of a calculator."""
        return _command(name)

    def format_commands(self, _ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the calculators by what the technician wants to know."""
        for subject, question in SUBJECTS.items():
            formatter.write(f"\n{question}\n")
            with formatter.indentation():
                formatter.write_dl([(name, each.answers) for name, each in _about(subject)])


class Numbers(click.Command):
    """A command whose arguments may be below nothing: ``-3ft`` is a number, not an option."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Parse the arguments, the minus of a number written so that it starts no option."""
        return super().parse_args(ctx, [_number(each) for each in args])


@click.group("reckon", cls=Calculators, epilog=EXAMPLES, **OPEN)
@options.as_json
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> int:
    """Reckon with the hydraulics and electrics of the trade.

    Each CALCULATOR tells its figures in US and metric units, the formula, its source, and
    what was taken for granted. `faultnet reckon CALCULATOR --help` shows what it asks.
    """
    ctx.obj = as_json
    if ctx.invoked_subcommand is None:
        if as_json:
            from faultnet.cli.output import show_json

            show_json({"calculators": [_listed(subject) for subject in SUBJECTS]})
        else:
            click.echo(ctx.get_help())
    return 0


def _about(subject: str) -> list[tuple[str, Any]]:
    return [(name, each) for name, each in CALCULATORS.items() if each.subject == subject]


def _listed(subject: str) -> dict[str, Any]:
    return {
        "subject": subject,
        "title": SUBJECTS[subject],
        "calculators": [
            {
                "id": name,
                "answers": each.answers,
                "asks": [
                    {
                        "name": ask.name,
                        "about": ask.about,
                        "units": list(ask.units),
                        "choices": list(ask.choices),
                        "default": ask.default or None,
                        "required": ask.required,
                    }
                    for ask in calculator(name).asks
                ],
            }
            for name, each in _about(subject)
        ],
    }


def _command(name: str) -> click.Command:
    made = calculator(name)
    example = f"\b\nExample (the numbers are invented):\n  faultnet reckon {name} {made.example}\n"
    asking = Numbers(
        name,
        params=[_parameter(ask) for ask in made.asks],
        callback=_callback(name, made),
        help=f"{CALCULATORS[name].answers}\n\n\b\n{_arguments(made)}",
        short_help=CALCULATORS[name].answers,
        epilog=example,
    )
    return options.as_json(asking)


def _arguments(made: Calculator) -> str:
    told = [ask for ask in made.asks if not ask.option]
    width = max((len(ask.name) for ask in told), default=0)
    return "\n".join(f"{ask.name.upper().ljust(width)}  {_help(ask)}" for ask in told)


def _help(ask: Ask) -> str:
    default = f" [default: {ask.default}]" if ask.default else ""
    return f"{ask.about}, {ask.written}.{default}"


def _parameter(ask: Ask) -> click.Parameter:
    if not ask.option:
        return click.Argument([ask.key], required=ask.required, metavar=ask.name.upper())
    kind = click.Choice(ask.choices, case_sensitive=False) if ask.choices else None
    return click.Option([f"--{ask.name}", ask.key], type=kind, metavar=ask.written, help=_told(ask))


def _told(ask: Ask) -> str:
    return f"{ask.about}.{f' [default: {ask.default}]' if ask.default else ''}"


def _callback(name: str, made: Calculator) -> Callable[..., int]:
    @click.pass_context
    def reckoning(ctx: click.Context, /, as_json: bool, **typed: str | None) -> int:
        from faultnet.cli.output import show, show_json
        from faultnet.cli.reckon_answer import shape, text
        from faultnet.reckon.calculator import reckon
        from faultnet.reckon.units import UnfitNumberError

        names = {ask.key: ask.name for ask in made.asks}
        given = {
            names[key]: told.replace(MINUS, "-") for key, told in typed.items() if told is not None
        }
        try:
            reckoned = reckon(made, given)
        except UnfitNumberError as error:
            raise click.UsageError(str(error), ctx) from error
        if as_json or ctx.obj:
            show_json(shape(name, reckoned))
        else:
            from faultnet.cli.screen import this_screen

            show(text(this_screen(), reckoned))
        return 0

    return reckoning


def _number(text: str) -> str:
    """Return a number below nothing with the minus sign of print."""
    below = len(text) > 1 and text[0] == "-" and (text[1].isdigit() or text[1] == ".")
    return f"{MINUS}{text[1:]}" if below else text

"""`schema`: what an editor needs to help with knowledge files."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.cli.screen import Screen

EXAMPLES = """\b
Examples:
  faultnet schema
  faultnet schema part
  faultnet schema --write my-knowledge/schema --knowledge my-knowledge
"""


@click.command("schema", epilog=EXAMPLES)
@click.argument("kind", required=False)
@click.option(
    "--write",
    "to",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="DIR",
    help="Write the schema of every kind, or of KIND, into this folder.",
)
@options.folder
@options.as_json
def command(kind: str | None, to: Path | None, folder: Path | None, as_json: bool) -> int:
    """Show the JSON Schema of a KIND of knowledge file; without one, what kinds there are.

    With it an editor says what each key is for, offers the words that can stand, and marks
    what cannot. The words for numbers are those of words.yaml in the folder of --knowledge, or
    of what came along. What ids there are, and what entries mean together, `lint` tells.
    """
    from faultnet.authoring.schema.kinds import KINDS, schema_of, text_of, words_of
    from faultnet.authoring.shipped import shipped_folder

    wanted = [_known(kind)] if kind else list(KINDS)
    words = words_of(folder or shipped_folder())
    if to is not None:
        written = _write(to, {each: text_of(each, words) for each in wanted})
        if as_json:
            show_json({"written": [str(path) for path in written]})
        else:
            show([f"{len(written)} written to {to}"])
    elif as_json:
        show_json({"schemas": {each: schema_of(each, words) for each in wanted}})
    elif kind:
        show([text_of(kind, words).rstrip()])
    else:
        from faultnet.cli.screen import this_screen

        show(_listed(this_screen()))
    return 0


def _known(kind: str) -> str:
    from faultnet.authoring.nearest import did_you_mean
    from faultnet.authoring.schema.kinds import KINDS

    if kind not in KINDS:
        hint = did_you_mean(kind, KINDS) or "`faultnet schema` lists them."
        raise click.UsageError(f"There is no kind of file `{kind[:40]}`. {hint}")
    return kind


def _write(folder: Path, texts: dict[str, str]) -> list[Path]:
    """Write the schemas, readable for everybody; raise ``CannotWriteError``."""
    from faultnet.cli.output import CannotWriteError

    try:
        folder.mkdir(parents=True, exist_ok=True)
        written = []
        for kind, text in texts.items():
            path = folder / f"{kind}.json"
            path.write_text(text, encoding="utf-8", newline="\n")
            written.append(path)
    except OSError as error:
        reason = error.strerror or "the disk says no"
        raise CannotWriteError(f"{folder} cannot be written to: {reason}.") from error
    return written


def _listed(screen: "Screen") -> list[str]:
    from faultnet.authoring.schema.kinds import KINDS

    width = max(map(len, KINDS)) + 2
    return [line for kind, holds in KINDS.items() for line in screen.wrap(holds, width, kind)]

"""The page on pages has the roles, options and figures that count."""

from faultnet.accounts import entrance, password, sessions, tries
from faultnet.accounts.role import MAY, RIGHTS, ROLES
from faultnet.accounts.trail import DEEDS
from faultnet.cli.serve import command
from faultnet.web.office import AWHILE
from faultnet.web.safe.body import LARGEST
from tests.docs.pages import ROOT, text_of

PAGE = text_of(ROOT / "docs" / "pages.md")


def test_the_table_of_roles_is_that_which_counts():
    rows = [f"| | {' | '.join(ROLES)} |"]
    for right, words in RIGHTS.items():
        rows.append(f"| {words} | {' | '.join(['no', 'yes'][right in MAY[r]] for r in ROLES)} |")
    for row in rows:
        assert row in PAGE


def test_every_option_of_serve_stands_there():
    for option in command.params:
        if option.name not in {"folder", "as_json"}:
            assert option.opts[0] in PAGE, option.opts


def test_the_figures_are_those_that_count():
    told = " ".join(PAGE.split())
    for words in (
        f"has {password.SHORTEST} characters or more",
        f"After {entrance.MOST_HERE} wrong ones in {tries.WINDOW / 60:.0f} minutes",
        f"for {sessions.IDLE / 3600:.0f} hours without a request",
        f"{sessions.LONGEST / 86400:.0f} days at most",
        f"of {LARGEST // 1024} kB at most",
    ):
        assert words in told
    assert ("once in ten minutes" in told) is (AWHILE == 600.0)


def test_the_trail_has_no_deed_that_nobody_does():
    """Each deed is written somewhere in the house, by its own words."""
    source = "\n".join(
        path.read_text("utf-8")
        for path in (ROOT / "faultnet").rglob("*.py")
        if path.name != "trail.py"
    )
    for deed in DEEDS:
        assert f'"{deed}"' in source, deed

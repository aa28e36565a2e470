"""Templates and what each of them may use."""

from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.templating import Jinja2Templates

from faultnet.desk.spoken import hours_said
from faultnet.handbook.teller import kind_of
from faultnet.model.in_words import percent, plain
from faultnet.report.words import name_of
from faultnet.web.wording import wording

TEMPLATES = Jinja2Templates(directory=Path(__file__).parent.parent / "templates")


def moment(at: str) -> str:
    """Return a time of an entry as it is shown: to the minute, UTC."""
    return f"{at[:10]} {at[11:16]} UTC"


def minutes(seconds: int) -> str:
    """Return what is left of a timer, as minutes and seconds."""
    return f"{seconds // 60}:{seconds % 60:02d}"


FILTERS = (percent, plain, moment, minutes, name_of, kind_of, hours_said)
TEMPLATES.env.filters |= {each.__name__: each for each in FILTERS}
TEMPLATES.env.globals["say"] = wording()
TEMPLATES.env.trim_blocks = TEMPLATES.env.lstrip_blocks = True


def page(request: Request, name: str, fields: dict[str, Any], status: int = 200) -> Response:
    """Return a page from its template; it knows who looks at it."""
    visitor = getattr(request.state, "visitor", None)
    who = {"visitor": visitor, "form_token": visitor.form_token if visitor else ""}
    return TEMPLATES.TemplateResponse(request, name, {**who, **fields}, status_code=status)


def trouble(request: Request, said: str, status: int) -> Response:
    """Return a page that says what is wrong, and where to go on."""
    return page(request, "trouble.html", {"said": said, "place": request.url.path}, status)

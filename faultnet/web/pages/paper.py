"""Templates and what each of them may use."""

from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.templating import Jinja2Templates

TEMPLATES = Jinja2Templates(directory=Path(__file__).parent.parent / "templates")


def page(request: Request, name: str, fields: dict[str, Any], status: int = 200) -> Response:
    """Return a page from its template."""
    return TEMPLATES.TemplateResponse(request, name, fields, status_code=status)


def trouble(request: Request, said: str, status: int) -> Response:
    """Return a page that says what is wrong, and where to go on."""
    return page(request, "trouble.html", {"said": said, "place": request.url.path}, status)

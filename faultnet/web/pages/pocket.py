"""The page for a cellar without signal: its files, as any file server would hand them out."""

import msgspec
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from faultnet.pocket.making.edition import HEADERS, NAME, File, type_of
from faultnet.pocket.making.pocket import Pocket
from faultnet.pocket.making.trouble import MakingError
from faultnet.web.pages.paper import trouble
from faultnet.web.wording import wording

FRESH = {**HEADERS, "cache-control": "no-cache"}
"""A browser may keep a file, but asks each time whether it is still the same."""


def pocket(request: Request) -> Response:
    """Return a file of the page; where it cannot be made, why."""
    try:
        made = request.app.state.office.cellar.pocket()  # it tells of nobody, and nobody may ask
    except MakingError as error:
        return trouble(request, wording()("trouble.pocket", error=f"{error} {error.mend}"), 503)
    if made is None:
        return trouble(request, wording()("trouble.no-pocket"), 404)
    path = request.path_params["path"] or "index.html"
    if path == NAME:
        listed = msgspec.json.encode(made.edition)
        return Response(listed, media_type=type_of(path), headers=FRESH)
    if path not in made.files:
        return trouble(request, wording()("trouble.nowhere"), 404)
    return _file(request, made, path)


def _file(request: Request, made: Pocket, path: str) -> Response:
    """Return a file in as few bytes as the browser takes, or that it has not changed."""
    listed = next((each for each in made.edition.files if each.path == path), File(path, 0, "", ""))
    headers = {**FRESH, "vary": "accept-encoding"}
    if listed.sha256:
        headers["etag"] = f'"{listed.sha256}"'
        if request.headers.get("if-none-match") == headers["etag"]:
            return Response(status_code=304, headers=headers)
    if listed.packed and "gzip" in request.headers.get("accept-encoding", ""):
        headers["content-encoding"] = "gzip"
        path = listed.packed.path
    return Response(made.files[path], media_type=type_of(listed.path), headers=headers)


def inside(request: Request) -> Response:
    """Lead into the folder: the addresses in it are relative."""
    return RedirectResponse(request.url_for("pocket", path=""), 308)


ROUTES = [
    Route("/pocket", inside),
    Route("/pocket/{path:path}", pocket, name="pocket"),
]

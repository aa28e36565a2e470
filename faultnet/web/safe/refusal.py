"""How a request is refused: a program gets a problem in JSON, a browser a text."""

from starlette.responses import PlainTextResponse, Response

from faultnet.web.api.problem import KINDS, PREFIX, RefusedError, answer_to

_MORE = {
    "no-log-in": ("header Authorization", "Send a token that is good, or log in."),
    "may-not": ("header Authorization", "Ask as somebody who may."),
    "other-log-in": ("header X-Form-Token", "Open the page again, or send a token."),
    "other-origin": ("header Origin", "Ask from a page of this server, or from a program."),
    "too-slow": ("body", "Send it again."),
    "too-long": ("body", "Send it in several parts."),
    "not-sent-as-json": ("header Content-Type", "Send it as Content-Type: application/json"),
    "other-host": ("header Host", "Ask for it under a name of its own."),
}
"""Where each of these stands in a request, and the mend."""


def is_program(path: str) -> bool:
    """Whether a place is one for programs."""
    return path.startswith(f"{PREFIX}/")


def refusal(path: str, kind: str, said: str) -> Response:
    """Return an answer that tells why; ``kind`` is one of those that the API tells of."""
    if not is_program(path):
        return PlainTextResponse(said, KINDS[kind].status)
    place, mend = _MORE[kind]
    return answer_to(RefusedError(kind, place, said, mend))

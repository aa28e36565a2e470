"""A call: what it asks for, what it gives, and how a request is read as one."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, TypeVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response

from faultnet.shapes.unfit import unfit
from faultnet.web.api.problem import PREFIX, RefusedError
from faultnet.web.office import Office

JSON = "application/json"
SCHEMA = f"What it should look like stands in {PREFIX}/openapi.json"

A = TypeVar("A", bound=msgspec.Struct)


@dataclass(frozen=True)
class Call:
    """One thing that programs can ask for.

    ``asks`` holds what is asked: of GET the parameters, those of the path included, of POST
    the body. ``run`` answers, and its docstring describes the call. ``gives`` has the shape
    of each media type, none for what is no JSON; ``refuses`` the kinds of refusal beside
    those that every call has. ``example`` is a body that works. One that
    ``thinks`` may take long to work out. One ``of_visitor`` is run with whoever asks instead.
    """

    method: Literal["GET", "POST"]
    path: str
    name: str
    asks: type[msgspec.Struct]
    run: Callable[[Office, Any], msgspec.Struct | Response]
    gives: Mapping[str, type[msgspec.Struct] | None]
    refuses: tuple[str, ...] = ()
    example: Mapping[str, Any] = field(default_factory=dict)
    thinks: bool = False
    of_visitor: bool = False

    def asked(self, request: Request, body: bytes) -> msgspec.Struct:
        """Return what a request asks for; raise ``RefusedError``."""
        if self.method == "GET":
            return _parameters(self.asks, request)
        if request.query_params:
            name = next(iter(request.query_params))
            raise RefusedError(
                "bad-parameter", f"query {name[:40]}", "None is taken here.", "Send it in the body."
            )
        _sent_as_json(request.headers.get("content-type", ""))
        return _decoded(self.asks, body)


def given(shape: msgspec.Struct) -> dict[str, Any]:
    """Return a parameter or body as plain values, under the names that it was sent with."""
    told: dict[str, Any] = msgspec.to_builtins(shape)
    return told


def _parameters(asks: type[A], request: Request) -> A:
    found: dict[str, str] = dict(request.path_params)
    for name, value in request.query_params.multi_items():
        if name in found:
            raise RefusedError(
                "bad-parameter", f"query {name[:40]}", "It is given twice.", "Leave one out."
            )
        found[name] = value
    for name, value in found.items():
        if "\0" in value:
            raise RefusedError(
                "bad-parameter", name, "It has a character that is no text.", "Leave it out."
            )
    try:
        return msgspec.convert(found, asks, strict=False)
    except msgspec.ValidationError as error:
        reason, place = unfit(error)
        place = f"query {place.removeprefix('$').removeprefix('.')}".rstrip()
        raise RefusedError("bad-parameter", place, reason, f"{SCHEMA}.") from None


def _sent_as_json(header: str) -> None:
    media, *options = (part.strip().casefold() for part in header.split(";"))
    if media != JSON or any(option not in {"", "charset=utf-8"} for option in options):
        mend = f"Send it as Content-Type: {JSON}"
        said = f"It is sent as `{header[:60]}`." if header else "It is not said what it is."
        raise RefusedError("not-sent-as-json", "header Content-Type", said, mend)


def _decoded(asks: type[A], body: bytes) -> A:
    try:
        return msgspec.json.decode(body, type=asks)
    except msgspec.ValidationError as error:
        reason, place = unfit(error)
        raise RefusedError("wrong-shape", place, reason, f"{SCHEMA}.") from None
    except (msgspec.DecodeError, UnicodeError) as error:
        raise RefusedError("not-json", "body", f"{error}.", "Send JSON in UTF-8.") from None


def place_of(body: object, names: Iterable[str]) -> str:
    """Return where a name stands in a body, each further name below the one before."""
    return _place(body, list(names), "$") or "$"


def _place(value: object, names: list[str], at: str) -> str:
    for place, key, below in _inside(value, at):
        here = names[0] in (key, below)
        if here and not names[1:]:
            return place
        found = _place(below, names[1:] if here else names, place)
        if found:
            return found
    return ""


def _inside(value: object, at: str) -> Iterable[tuple[str, str, object]]:
    """Yield place, key and value of what stands in an object or array."""
    if isinstance(value, dict):
        yield from ((f"{at}.{key}", key, below) for key, below in value.items())
    elif isinstance(value, list | tuple):
        yield from ((f"{at}[{number}]", "", below) for number, below in enumerate(value))

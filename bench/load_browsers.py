"""The clients of the load: what a browser does, what a program asks, and what they were told.

Every process of clients returns a ``Tally``; nothing here looks into the store.
"""

import asyncio
import random
import re
import time
from collections import Counter
from collections.abc import Awaitable, Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from typing import Any, TypeVar
from urllib.parse import urlsplit

import httpx

from faultnet.cases.entry import new_id, time_text

SYSTEM = "jet-pump-cistern"
API = "/api/v1"
PATIENCE = 120.0
"""Seconds after which an answer counts as lost."""

TURNS = 6
"""Turns that a browser answers in a case before it is closed."""

AGAIN = 0.2
"""The share of events that are sent twice, and of buttons that are pressed twice."""

_LAST = re.compile(r'name="last" value="([^"]+)"')
_KEY = re.compile(r'<button name="key" value="([^"]*)"')
_TOKEN = re.compile(r'name="form_token" value="([^"]*)"')
_LEADS_AWAY = ("q", "e", "p", "u")
"""Keys that stop, end, pause or undo; a case is closed by its own event."""

Body = dict[str, Any]
T = TypeVar("T")


@dataclass
class Tally:
    """What clients were told: seconds by kind of request, and what was acknowledged.

    ``sent`` are ids of entries that were acknowledged or shown, by case; ``replies`` counts the
    pressed buttons of a case that were said to be kept. ``wrong`` tells what must not be.
    """

    seconds: dict[str, list[float]] = field(default_factory=dict)
    statuses: Counter[int] = field(default_factory=Counter)
    sent: dict[str, set[str]] = field(default_factory=dict)
    replies: Counter[str] = field(default_factory=Counter)
    twice: int = 0
    wrong: list[str] = field(default_factory=list)

    def add(self, other: "Tally") -> None:
        """Take in what another process was told."""
        for kind, taken in other.seconds.items():
            self.seconds.setdefault(kind, []).extend(taken)
        for case, ids in other.sent.items():
            self.sent.setdefault(case, set()).update(ids)
        self.statuses += other.statuses
        self.replies += other.replies
        self.twice += other.twice
        self.wrong += other.wrong


@dataclass(frozen=True)
class Asked:
    """What a process of clients is to do, for ``seconds``.

    ``pause`` is how long a person looks at a page, on average; ``sessions`` are the secrets
    of who is logged in, ``token`` is that of a program.
    """

    address: str
    seconds: float
    clients: int
    seed: int
    token: str = ""
    sessions: tuple[str, ...] = ()
    pause: float = 0.0


def spread(work: Callable[[Asked], Tally], each: Iterable[Asked]) -> Tally:
    """Return what clients in processes of their own were told."""
    parts = list(each)
    total = Tally()
    with ProcessPoolExecutor(len(parts), mp_context=get_context("spawn")) as pool:
        for tally in pool.map(work, parts):
            total.add(tally)
    return total


def bare(asked: Asked) -> Tally:
    """Ask for the constant, one request after the other at each client."""
    return _hammered(asked, lambda client, _: client.call("bare", "GET", "/"))


def advice(asked: Asked) -> Tally:
    """Ask for advice on a handful of answers, other ones each time."""
    return _hammered(asked, lambda client, _: client.advise())


def writing(asked: Asked) -> Tally:
    """Send one event after the other, a new case every ten."""
    return _hammered(asked, _written)


def browsing(asked: Asked) -> Tally:
    """Work as people do: from the board to the closed case, looking at each page a while."""
    return asyncio.run(_all(asked, Client.visit))


def _hammered(asked: Asked, once: Callable[["Client", int], Awaitable[object]]) -> Tally:
    async def work(client: "Client") -> None:
        number = 0
        while time.monotonic() < client.until:
            await once(client, number)
            number += 1

    return asyncio.run(_all(asked, work))


async def _written(client: "Client", number: int) -> None:
    if number % 10 == 0:
        await client.open_by_program()
    else:
        await client.tell()


async def _all(asked: Asked, work: Callable[["Client"], Awaitable[None]]) -> Tally:
    tally = Tally()
    sayable = await _learned(asked) if asked.token else {}
    until = time.monotonic() + asked.seconds
    async with asyncio.TaskGroup() as group:
        for number in range(asked.clients):
            group.create_task(_one(asked, number, until, tally, sayable, work))
    return tally


async def _learned(asked: Asked) -> Body:
    """Return what can be said of the system."""
    headers = {"authorization": f"Bearer {asked.token}"}
    async with httpx.AsyncClient(base_url=asked.address, headers=headers, timeout=PATIENCE) as http:
        told: Body = (await http.get(f"{API}/systems/{SYSTEM}")).raise_for_status().json()
        return told


async def _one(
    asked: Asked,
    number: int,
    until: float,
    tally: Tally,
    sayable: Body,
    work: Callable[["Client"], Awaitable[None]],
) -> None:
    rng = random.Random(f"{asked.seed} {number}")
    session = asked.sessions[number % len(asked.sessions)] if asked.sessions else ""
    cookies = {"faultnet-session": session} if session else {}
    limits = httpx.Limits(max_connections=2, keepalive_expiry=4.0)  # below that of the server
    async with httpx.AsyncClient(
        base_url=asked.address, cookies=cookies, timeout=PATIENCE, limits=limits
    ) as http:
        author = f"load-{asked.seed}-{number}@bench"
        await work(Client(http, rng, until, tally, author, asked, sayable))


@dataclass
class Client:
    """One browser with a program beside it; what it learns on the way stands below."""

    http: httpx.AsyncClient
    rng: random.Random
    until: float
    tally: Tally
    author: str
    asked: Asked
    sayable: Body
    case: str = ""
    last: str = ""
    cursor: int = 0
    number: int = 0

    async def call(self, kind: str, method: str, path: str, **more: Any) -> httpx.Response | None:
        """Return the answer to a request, its seconds noted; None where none came."""
        start = time.perf_counter()
        try:
            answer = await self.http.request(method, path, **more)
        except httpx.HTTPError as error:
            self.tally.wrong.append(f"{kind}: no answer, {error!r}")
            return None
        self.tally.seconds.setdefault(kind, []).append(time.perf_counter() - start)
        self.tally.statuses[answer.status_code] += 1
        if answer.status_code >= 400:
            self.tally.wrong.append(f"{kind}: {answer.status_code} {answer.text[:200]}")
            return None
        return answer

    async def program(self, kind: str, method: str, path: str, **more: Any) -> Body:
        """Return what the API answers a program; nothing where it refuses."""
        bearer = {"authorization": f"Bearer {self.asked.token}"}
        answer = await self.call(kind, method, API + path, headers=bearer, **more)
        told: Body = answer.json() if answer else {}
        return told

    async def visit(self) -> None:
        """Work on one case after the other, and look a while at each page."""
        await self._look()
        while time.monotonic() < self.until:
            await self.call("board", "GET", "/")
            await self._look()
            await self._open()
            for turn in range(TURNS):
                if time.monotonic() > self.until:
                    return  # the case stays open, as on any evening
                await self._answer()
                await self._look()
                if turn % 2:
                    await self.tell()
                    await self._read()
            await self.advise()
            await self.call("report", "GET", f"/cases/{self.case}/report.html")
            await self._look()
            await self._send({"what": "ended", "how": "no-fault"})

    async def _look(self) -> None:
        if self.asked.pause:
            await asyncio.sleep(self.rng.uniform(0.0, 2.0 * self.asked.pause))

    async def _open(self) -> None:
        page = await self.call("new", "GET", "/new")
        form = {"system": SYSTEM, "speaker": "technician", **_hidden(page)}
        answer = await self.call("open", "POST", "/new", data=form)
        self.case = urlsplit(answer.headers["location"]).path.rpartition("/")[2] if answer else ""
        self.cursor = 0
        if self.case:
            self.tally.sent.setdefault(self.case, set())
            await self._read()

    async def _answer(self) -> None:
        """Read the turn that is due and press a button, now and then twice."""
        place = f"/cases/{self.case}"
        page = await self.call("page", "GET", place)
        last = _LAST.search(page.text) if page else None
        if page is None or last is None:
            return
        self.last = last[1]
        self.tally.sent[self.case].add(self.last)
        keys = [k for k in dict.fromkeys(_KEY.findall(page.text)) if k not in _LEADS_AWAY]
        if not keys:
            return
        form = {"last": self.last, "key": self.rng.choice(keys), **_hidden(page)}
        times = 2 if self.rng.random() < AGAIN else 1
        presses = (self.call("reply", "POST", f"{place}/reply", data=form) for _ in range(times))
        answers = [answer for answer in await asyncio.gather(*presses) if answer]
        led = [urlsplit(answer.headers["location"]) for answer in answers]
        kept = sum(at.path == place and not at.query for at in led)
        self.tally.replies[self.case] += kept
        self.tally.twice += times - 1
        if kept > 1:
            self.tally.wrong.append(f"reply: {self.case}: a button pressed twice was taken twice")

    async def _read(self) -> None:
        asked = {"log": self.case, "since": self.cursor}
        told = await self.program("events", "GET", "/events", params=asked)
        self.cursor = told.get("cursor", self.cursor)
        entries = [entry["id"] for entry in told.get("entries", ())]
        self.tally.sent[self.case].update(entries)
        self.last = entries[-1] if entries else self.last

    async def open_by_program(self) -> None:
        """Begin a case as a program does."""
        self.case, self.number, self.last = f"load-{new_id(time.time())}", 0, ""
        self.tally.sent[self.case] = set()
        await self._send({"what": "opened", "system": SYSTEM, "speaker": "technician"})

    async def tell(self) -> None:
        """Send an answer about a finding as an event."""
        finding = self.rng.choice(self.sayable["findings"])
        answer = self.rng.choice(finding["answers"])
        await self._send({"what": "told", "about": finding["id"], "answer": answer})

    async def _send(self, event: Body) -> None:
        """Send an event, now and then twice, as after an answer that was lost."""
        now = time.time()
        self.number += 1
        after = [self.last] if self.last else []
        entry: Body = {"id": new_id(now), "log": self.case, "author": self.author, "after": after}
        entry |= {"at": time_text(now), "number": self.number, "event": event}
        body = {"entries": [entry]}
        times = 2 if self.rng.random() < AGAIN else 1
        sent = (self.program("event", "POST", "/events", json=body) for _ in range(times))
        answers = [told for told in await asyncio.gather(*sent) if told]
        self.tally.twice += times - 1
        if answers:
            self.tally.sent[self.case].add(entry["id"])
            self.last = entry["id"]
        if sum(len(told["new"]) for told in answers) != 1:
            self.tally.wrong.append(f"event: {entry['id']} was new {answers} times")

    async def advise(self) -> None:
        """Ask for advice: the site is known, three to six findings are told."""
        some = self.rng.sample(self.sayable["findings"], self.rng.randint(3, 6))
        told = [{"finding": f["id"], "answer": self.rng.choice(f["answers"][:2])} for f in some]
        site = {each["id"]: self.rng.choice(each["values"]) for each in self.sayable["layout"]}
        body = {"system": SYSTEM, "answers": told, "layout": site}
        await self.program("advice", "POST", "/advice", json=body)


def _hidden(page: httpx.Response | None) -> dict[str, str]:
    found = _TOKEN.search(page.text) if page else None
    return {"form_token": found[1]} if found else {}

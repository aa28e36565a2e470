"""Closed cases to read and to write; invented."""

import psycopg
from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase, Confirmation, StepTaken
from faultnet.learning.reading.columns import COLUMNS, NESTED
from faultnet.model.evidence import Answer, Evidence, Round, Taken


def rich(name):
    """Return a case with something in every field."""
    rounds = (
        Round(
            (Answer("no-water", "yes", "caller"), Answer("hums", "no")),
            (Taken("hold-test", {"start": 50.0, "end": 44.5, "minutes": 15.0}),),
            ("replace-valve",),
        ),
        Round((Answer("no-water", "no"),), redraws=("hums",), spoiled=("drips",)),
    )
    return ClosedCase(
        id=name,
        system="small-pump",
        opened="2026-03-04T07:31:05.123Z",
        closed="2026-03-04T09:02:00.000Z",
        ending="mended",
        evidence=Evidence(rounds, {"source": "well"}, {"after-freeze": True}, (), ("tingle",)),
        confirmed=(Confirmation("valve-stuck", 0, "as hard as stone"),),
        steps=(
            StepTaken("look-at-valve", "check", 0, 5.0),
            StepTaken("replace-valve", "repair", 0, None),
        ),
        trips=2,
        parts=("valve",),
        unknown=("age",),
        knowledge="abc",
        region="Orquay Valley",
    )


def kept(url, rows, nested="jsonb", key="text"):
    """Keep rows in a table `tickets` of a server."""
    kinds = {**dict.fromkeys(NESTED, nested), "id": key, "trips": "integer"}
    columns = ", ".join(f'"{each}" {kinds.get(each, "text")}' for each in COLUMNS)
    with psycopg.connect(url) as connection:
        connection.execute(f"CREATE TABLE tickets ({columns})")
        marks = ", ".join(["%s"] * len(COLUMNS))
        with connection.cursor() as cursor:
            values = [tuple(row[each] for each in COLUMNS) for row in rows]
            cursor.executemany(f"INSERT INTO tickets VALUES ({marks})", values)  # noqa: S608 marks


def several(number):
    """Return so many cases, some of them with little to say."""
    plain = ClosedCase("", "small-pump", "2026-03-01T08:00:00.000Z", "", "referred", Evidence())
    return [
        rich(f"case-{k}") if k % 3 else replace(plain, id=f"case-{k}", trips=0)
        for k in range(number)
    ]

"""Evidence in one line for tests."""

from faultnet.model.evidence import Answer, Evidence, Round


def say(*, by="technician", layout=None, circumstances=None, made_safe=(), set_ups=(), **answers):
    given = tuple(Answer(k.replace("_", "-"), v, by) for k, v in answers.items())
    return Evidence(
        (Round(given),), layout or {}, circumstances or {}, tuple(set_ups), tuple(made_safe)
    )

"""Which authored number stands at which place of a network, and numbers put in their place."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal, TypeVar

import msgspec

from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.model.system import System
from faultnet.network.build import UNLISTED, Builder
from faultnet.network.network import Cause, Finding, Levels, Link, Network, Root

Kind = Literal["cause", "factor", "bring", "link", "rule", "leak", "layout", "circumstance"]
V = TypeVar("V")


class Place(msgspec.Struct, frozen=True):
    """A number of a network: of which variable, at which place of that, which state or level.

    ``of`` is the index of a cause (``cause``, ``factor``, ``bring``), a finding (``link``,
    ``rule``, ``leak``) or a root (``layout``, ``circumstance``). ``at`` is the place among
    its factors, brings, links or rules.
    """

    kind: Kind
    of: int
    at: int = 0
    level: int = 0


def places(knowledge: Knowledge, system: System) -> Iterator[tuple[Place, Number]]:
    """Yield every place of a system's network with the number that stands there."""
    builder = Builder(knowledge, system)
    unlisted = builder.cause_at[UNLISTED]
    yield Place("cause", unlisted), system.unlisted.how_common
    for cause in builder.authored():
        index = builder.cause_at[cause.id]
        yield Place("cause", index), cause.how_common
        for at, (_, often) in enumerate(builder.brings(cause)):
            yield Place("bring", index, at), often
        roots = [r for r in builder.members.roots if r in {f.about for f in cause.likelier_when}]
        for factor in cause.likelier_when:
            states = builder.states.get(factor.about, ())
            if factor.value in states:
                at, level = roots.index(factor.about), states.index(factor.value)
                yield Place("factor", index, at, level), factor.factor
    for name, index in builder.finding_at.items():
        finding = knowledge.findings[name]
        yield from _levels("leak", index, 0, finding.shows_anyway)
        for at, (_, shows) in enumerate(builder.shown(name)):
            yield from _levels("link", index, at, shows.strength)
        for at, rule in enumerate(builder.rules(finding)):
            yield from _levels("rule", index, at, rule.strength)
    yield from _priors(builder, system)


def _levels(
    kind: Kind, of: int, at: int, strength: tuple[Number, ...]
) -> Iterator[tuple[Place, Number]]:
    for level, number in enumerate(strength):
        yield Place(kind, of, at, level), number


def _priors(builder: Builder, system: System) -> Iterator[tuple[Place, Number]]:
    for layout, priors in system.layout.items():
        index = builder.root_at[layout]
        for state, value in enumerate(builder.states[layout]):
            yield Place("layout", index, 0, state), priors[value]
    for circumstance, prior in system.circumstances.items():
        yield Place("circumstance", builder.root_at[circumstance]), prior


def put(network: Network, values: Mapping[Place, float]) -> Network:
    """Return the network with numbers put in their places; layouts are brought to one again."""
    causes, findings, roots = list(network.causes), list(network.findings), list(network.roots)
    for place, value in values.items():
        if place.kind in {"cause", "factor", "bring"}:
            causes[place.of] = put_cause(causes[place.of], place, value)
        elif place.kind in {"link", "rule", "leak"}:
            findings[place.of] = _finding(findings[place.of], place, value)
        else:
            roots[place.of] = _root(roots[place.of], place, value)
    return msgspec.structs.replace(
        network,
        causes=tuple(causes),
        findings=tuple(findings),
        roots=tuple(_whole(root) for root in roots),
    )


def put_cause(cause: Cause, place: Place, value: float) -> Cause:
    """Return a cause with a number put in its place."""
    if place.kind == "cause":
        return msgspec.structs.replace(cause, probability=value)
    if place.kind == "bring":
        bring = msgspec.structs.replace(cause.brings[place.at], probability=value)
        return msgspec.structs.replace(cause, brings=_with(cause.brings, place.at, bring))
    root, factors = cause.factors[place.at]
    changed = (root, _with(factors, place.level, value))
    return msgspec.structs.replace(cause, factors=_with(cause.factors, place.at, changed))


def _finding(finding: Finding, place: Place, value: float) -> Finding:
    if place.kind == "leak":
        return msgspec.structs.replace(finding, leak=_with(finding.leak, place.level, value))
    if place.kind == "link":
        return msgspec.structs.replace(finding, links=_linked(finding.links, place, value))
    return msgspec.structs.replace(finding, follows=_linked(finding.follows, place, value))


def _linked(links: tuple[Link, ...], place: Place, value: float) -> tuple[Link, ...]:
    levels: Levels = _with(links[place.at].levels, place.level, value)
    return _with(links, place.at, msgspec.structs.replace(links[place.at], levels=levels))


def _root(root: Root, place: Place, value: float) -> Root:
    if place.kind == "circumstance":
        return msgspec.structs.replace(root, prior=(1.0 - value, value))
    return msgspec.structs.replace(root, prior=_with(root.prior, place.level, value))


def _whole(root: Root) -> Root:
    total = sum(root.prior)
    return msgspec.structs.replace(root, prior=tuple(p / total for p in root.prior))


def _with(values: Iterable[V], place: int, value: V) -> tuple[V, ...]:
    return tuple(value if k == place else each for k, each in enumerate(values))

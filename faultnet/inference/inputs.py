"""Everything a sweep reads besides its steps."""

from collections.abc import Callable

import msgspec

from faultnet.inference.gates import Gate
from faultnet.inference.scope import Scope
from faultnet.inference.tally import Tally


class Inputs(msgspec.Struct, eq=False):
    """What weights and tables a sweep takes.

    ``priors`` are the weights of the states of each root, ``likelihoods`` of the values of
    each draw. With ``alone`` no cause that was there from the start brings another one along.
    """

    sizes: dict[int, int]
    first_draw: int
    priors: list[list[float]]
    gates: list[Gate]
    likelihoods: list[list[float]]
    scope: Callable[[tuple[int, ...]], Scope]
    tally: Tally
    now: int
    alone: bool = False

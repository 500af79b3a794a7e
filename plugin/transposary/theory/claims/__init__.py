"""What an author claims about the notes, and whether it is true.

Each module of this package that has no leading underscore is one claim: it exports `CLAIM`, a
value with the three parts of the `ClaimKind` protocol. To add a claim, add its module; nothing
else lists them.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from transposary.glossary import Device
from transposary.problems import Problem, in_order
from transposary.theory.claims._kind import ClaimKind
from transposary.theory.strikes import Hearing


def _claim(module: str) -> ClaimKind:
    claim: ClaimKind = import_module(f"{__name__}.{module}").CLAIM
    return claim


CLAIMS: tuple[ClaimKind, ...] = tuple(
    _claim(module.name) for module in iter_modules(__path__) if not module.name.startswith("_")
)


def check_claims(device: Device) -> tuple[Problem, ...]:
    """Holds every claim of a device against its notes.

    Returns:
        One error for each claim that is unreadable or that the notes contradict, at the word
        where it first goes wrong, with the line that would be true.
    """
    hearing = Hearing(device.passage)
    return in_order(problem for claim in CLAIMS for problem in claim.check(device, hearing))

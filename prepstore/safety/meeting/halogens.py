"""Halogenated substances in a container that is not for them.

Common practice, no source: non-halogenated solvent is burnt as fuel and halogenated solvent is not,
so one pour of the second makes the whole container the dearer and more harmful kind. It is flagged
whatever its share.
"""

import re
from collections.abc import Iterable
from enum import StrEnum
from typing import Final

from prepstore.cell_types import fold
from prepstore.safety.meeting.chart import HALOGENATED_ORGANICS
from prepstore.safety.meeting.placing import Substance, placing_of


class Takes(StrEnum):
    """What a waste stream says, by its name, of halogenated substances."""

    HALOGENATED = "halogenated"
    NON_HALOGENATED = "non-halogenated"
    NOT_SAID = "not said"


_HALOGENATED: Final = r"(?:halog|chlorinat|brominat|fluorinat)\w*"
_BETWEEN: Final = r"[\s\-\u2010-\u2014\u2212]*"
_WITHOUT: Final = re.compile(
    rf"\b(?:non|not|no|un|without|free{_BETWEEN}(?:of|from)){_BETWEEN}{_HALOGENATED}"
    rf"|\b{_HALOGENATED}{_BETWEEN}free\b"
)
_WITH: Final = re.compile(_HALOGENATED)


def takes(stream: str) -> Takes:
    """Return what a stream says, by its name, of halogenated substances.

    A name that says both is one of a container for both.

    >>> [takes(one).value for one in ("Halogenated solvent", "non-halogenated", "aqueous acid")]
    ['halogenated', 'non-halogenated', 'not said']
    """
    name = fold(stream)
    if _WITH.search(_WITHOUT.sub(" ", name)):
        return Takes.HALOGENATED
    return Takes.NON_HALOGENATED if _WITHOUT.search(name) else Takes.NOT_SAID


def is_halogenated(substance: Substance) -> bool:
    """Return whether a substance is in group 17, by its own groups or by those shipped."""
    return HALOGENATED_ORGANICS in placing_of(substance).groups


def not_taken(stream: str, substances: Iterable[Substance]) -> tuple[str, ...]:
    """Return the names of halogenated substances that a non-halogenated stream is sent, sorted.

    None where the stream's name does not say that it is non-halogenated.
    """
    if takes(stream) is not Takes.NON_HALOGENATED:
        return ()
    return tuple(sorted({one.name for one in substances if is_halogenated(one)}, key=fold))

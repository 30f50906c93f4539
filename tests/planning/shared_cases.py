"""Small sets drawn once, over which all laws of a plan go; or drawn anew for each law.

A law is told over sets that are the same each time, drawn and planned once for all laws: that is
quick. With SEED set, as in `.ci/run`, hypothesis draws other sets for each law, and tells what it
found as the smallest set that shows it.
"""

import os
from collections.abc import Callable
from functools import cache

from hypothesis import HealthCheck, Phase, given, settings

from tests.planning.small_inventories import Case, cases

SHARED = 90
DRAWN_ANEW = 45
Law = Callable[[Case], None]

freely = settings(
    max_examples=DRAWN_ANEW,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@cache
def shared_cases() -> tuple[Case, ...]:
    """Return sets that are the same each time."""
    found: list[Case] = []

    @settings(freely, max_examples=SHARED, derandomize=True, database=None, phases=[Phase.generate])
    @given(cases())
    def drawn(case: Case) -> None:
        found.append(case)

    drawn()
    return tuple(found)


def law(holds: Law) -> Callable[[], None]:
    """Return the test of a law over many sets."""
    if os.environ.get("SEED"):
        drawn: Callable[[], None] = freely(given(cases())(holds))
        return drawn

    # Without the law's own signature, in which pytest would look for a fixture called `case`.
    def test() -> None:
        for case in shared_cases():
            try:
                holds(case)
            except Exception as error:
                error.add_note(f"of {case}")
                raise

    test.__doc__ = holds.__doc__
    return test

"""Hundreds of small cases in one test, which names each one that fails."""

from collections.abc import Callable, Iterable
from typing import Any

import pytest

Holds = Callable[..., None]


def every_case(
    names: str, cases: Iterable[Any], ids: Callable[[Any], object] = repr
) -> Callable[[Holds], Callable[[], None]]:
    """Return a test that tries every case, as `pytest.mark.parametrize` makes a test of each.

    To begin and end a test takes longer than hundreds of small cases do. They share no fixture.

    Args:
        names: Of the arguments, commas between.
        cases: What each case gives them: a value, or a tuple where there are several.
        ids: What a case is called.
    """
    given = list(cases)
    is_one = "," not in names

    def over_all(holds: Holds) -> Callable[[], None]:
        # Without the case's own signature, in which pytest would look for fixtures.
        def test() -> None:
            assert given, "there is no case"
            failed: list[BaseException] = []
            for case in given:
                try:
                    holds(**dict(zip(names.split(","), (case,) if is_one else case, strict=True)))
                except (Exception, pytest.fail.Exception) as error:
                    error.add_note(f"of {ids(case)}")
                    failed.append(error)
            if failed:
                message = f"{len(failed)} of {len(given)} cases: {holds.__name__}"
                raise BaseExceptionGroup(message, failed)

        test.__doc__ = holds.__doc__
        return test

    return over_all

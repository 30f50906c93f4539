from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from prepstore.planning.changes import Figures, changes_between

DAY = date(2027, 2, 1)


def _figures(**parts: dict[Any, Any]) -> Figures:
    names = ("students", "benches", "batches", "short", "packs", "containers")
    return Figures(first=DAY, last=DAY, **{**{name: {} for name in names}, **parts})


def test_equal_plans_differ_in_nothing() -> None:
    figures = _figures(benches={("Mon", "salt"): Decimal("1.5")}, packs={("P", "salt"): 2})
    assert changes_between(figures, figures).is_empty


def test_more_on_a_bench_is_the_difference() -> None:
    before = _figures(benches={("Mon", "salt"): Decimal(18)})
    now = _figures(benches={("Mon", "salt"): Decimal(24)})
    [change] = changes_between(before, now).benches
    assert change.difference == Decimal(6)


def test_what_is_new_was_nothing_and_what_is_gone_is_nothing() -> None:
    before = _figures(batches={("brine", DAY): Decimal(500)}, packs={("P1", "salt"): 2})
    now = _figures(batches={("buffer", DAY): Decimal(250)}, packs={})
    changes = changes_between(before, now)
    assert [(one.key[0], one.difference) for one in changes.batches] == [
        ("brine", Decimal(-500)),
        ("buffer", Decimal(250)),
    ]
    assert [one.difference for one in changes.packs] == [-2]


def test_what_json_rounds_is_no_change() -> None:
    exact = Decimal("64.1515285714285714285714285714")
    before = _figures(benches={("Mon", "salt"): Decimal(repr(float(exact)))})
    assert changes_between(before, _figures(benches={("Mon", "salt"): exact})).is_empty


COUNTS = st.dictionaries(st.text(), st.integers(0, 10**6))


@given(COUNTS, COUNTS)
def test_before_and_difference_make_now(before: dict[str, int], now: dict[str, int]) -> None:
    changes = changes_between(
        _figures(students=dict(before)), _figures(students=dict(now))
    ).students
    counts = {key: Decimal(count) for key, count in before.items() if count}
    for change in changes:
        counts[change.key] = counts.get(change.key, Decimal(0)) + change.difference
    assert {key: count for key, count in counts.items() if count} == {
        key: count for key, count in now.items() if count
    }

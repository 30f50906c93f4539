"""Laws over money and over days that are past, whatever happens to lots and in which order.

The environment variable LAWS_TIMES lets it go on longer.
"""

import os
from collections.abc import Callable, Set
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from prepstore.ledger.labels import began_again
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading
from prepstore.movements import What
from prepstore.problems import RefusedError
from prepstore.shelf.past import Lots
from tests.conftest import KeptIn
from tests.shelf.money_store import MoneyStore

TIMES = int(os.environ.get("LAWS_TIMES", "1"))
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
"""Without making a case smaller, which takes minutes where each step is a transaction."""

LABELS = st.sampled_from(("A1", "A2", "S1", "B1", "A1-1", "A2-1"))
AMOUNTS = st.integers(1, 900).map(str)
PRICES = st.one_of(
    st.just(()), st.decimals(0, 50, places=2, allow_nan=False).map(lambda x: (str(x),))
)
Step = Callable[[MoneyStore, str], object]
STEPS = st.one_of(
    st.builds(
        lambda item, amount, lot, price, containers: (
            lambda store, on: store.receive(item, amount, lot, *price, on=on, containers=containers)
        ),
        st.sampled_from(("acetone", "salt")),
        AMOUNTS.map(lambda x: f"{x} g" if int(x) % 2 else f"{x} mL"),
        LABELS,
        PRICES,
        st.integers(1, 3),
    ),
    st.builds(lambda lot, x: lambda store, on: store.use(lot, f"{x} mL", on), LABELS, AMOUNTS),
    st.builds(lambda lot, x: lambda store, on: store.use(lot, f"{x} g", on), LABELS, AMOUNTS),
    st.builds(lambda lot, x: lambda store, on: store.discard(lot, f"{x} g", on), LABELS, AMOUNTS),
    st.builds(lambda lot, x: lambda store, on: store.count(lot, f"{x} g", on), LABELS, AMOUNTS),
    st.builds(lambda lot: lambda store, on: store.open(lot, on), LABELS),
    st.builds(lambda x: lambda store, on: store.make("brine", f"{x} mL", "B1", on), AMOUNTS),
    st.builds(lambda lot, to: lambda store, on: store.relabel(lot, to, on), LABELS, LABELS),
    st.builds(
        lambda lot, place: lambda store, on: store.change(lot, "place", place, on),
        LABELS,
        st.sampled_from(("shelf 1", "shelf 2")),
    ),
    st.builds(lambda entry: lambda store, on: store.undo(entry, on), st.integers(1, 20)),
)


def _run(folder: str, place: Place, steps: list[Step]) -> tuple[MoneyStore, dict[str, Lots]]:
    """Let one thing happen after the other, three a day; return the lots at the end of each."""
    store = MoneyStore(Path(folder), place)
    for number, label in enumerate(("A1", "A2"), start=1):
        store.receive("acetone", "900 mL", label, f"{number}.01", on="02-01", containers=3)
    store.receive("salt", "1 kg", "S1", "7.77", on="02-01")
    days = {}
    for number, step in enumerate(steps):
        on = f"02-{2 + number // 3:02}"
        with suppress(RefusedError):
            step(store, on)
        days[on] = store.now()
    return store, days


@pytest.mark.slow
@given(steps=st.lists(STEPS, min_size=5, max_size=25))
@settings(max_examples=25 * TIMES, deadline=None, phases=PHASES)
def test_what_was_paid_is_what_is_left_used_discarded_and_lost(
    kept_in: KeptIn, steps: list[Step]
) -> None:
    with TemporaryDirectory() as folder:
        store, _ = _run(folder, kept_in(Path(folder)), steps)
        found, lots = store.priced(), store.now()
        bought = sum(Fraction(one.movement.paid or 0) for one in found.history)
        left = sum(
            found.prices.by_lot[row.key[0]].paid * Fraction(lots.balances[row.key[0]], 10**9)
            for row in lots.rows
        )
        making = {one.entry for one in found.history if one.movement.what is What.MADE}
        gone = sum(
            found.prices.by_movement[one.number].paid * Fraction(-one.movement.number)
            for one in found.history
            if one.movement.what in (What.USED, What.DISCARDED, What.COUNTED)
            and one.entry not in making
        )
        assert bought == left + gone


@pytest.mark.slow
@given(steps=st.lists(STEPS, min_size=5, max_size=25))
@settings(max_examples=25 * TIMES, deadline=None, phases=PHASES)
def test_a_list_of_a_day_that_is_past_shows_what_the_list_of_that_day_showed(
    kept_in: KeptIn, steps: list[Step]
) -> None:
    with TemporaryDirectory() as folder:
        store, days = _run(folder, kept_in(Path(folder)), steps)
        with reading(store.path) as connection:
            reused = began_again(connection).keys()
        for on, then in days.items():
            again = store.lots(on)
            assert _cells(again, reused) == _cells(then, reused), on
            assert _held(again) == _held(then), on


def _cells(lots: Lots, reused: Set[str]) -> dict[str, dict[str, str]]:
    """Return the cells of each lot; an amount may be said in other words after an undo.

    A label that was given to another lot keeps only what was in the lot before.
    """
    return {
        row.key[0]: {
            column: cell
            for column, cell in row.text.items()
            if column in ("lot", "item") or (row.key[0] not in reused and column != "amount")
        }
        for row in lots.rows
    }


def _held(lots: Lots) -> dict[str, int]:
    return {row.key[0]: lots.balances[row.key[0]] for row in lots.rows}

"""What happens to waste containers, in words."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from prepstore.amounts import Kind
from prepstore.containers import ContainerChange, ContainerWhat
from prepstore.report.container_list import change_in_words, container_lines, lacking_lines
from tests.shelf.test_pouring import stores

ML = 10**9


def change(what: str, ml: int = 0, **others: Any) -> ContainerChange:  # noqa: ANN401
    """Return a change of a container of solvent."""
    given = ContainerChange(
        stream="Solvent",
        what=ContainerWhat(what),
        unit=Kind.VOLUME,
        container="W1",
        billionths=ml * ML,
    )
    return replace(given, **others)


SALT: dict[str, Any] = {"item": "salt", "item_unit": Kind.MASS}


@pytest.mark.parametrize(
    ("of", "words"),
    [
        (change("filled", 1500, item="acetone", item_unit=Kind.VOLUME), "filled 1.5 L of acetone"),
        (change("filled", 20), "filled 20 mL"),
        (change("filled", item_billionths=5 * ML, **SALT), "filled 5 g of salt"),
        (change("measured", -20), "measured 20 mL less"),
        (change("measured", 20), "measured 20 mL more"),
        (change("measured"), "measured as expected"),
        (change("taken back", -5, item="acetone", item_unit=Kind.VOLUME),
         "taken back 5 mL of acetone"),
        (change("sealed", was="open", now="sealed"), "sealed"),
        (change("undone", -5), "undone -5 mL"),
        (change("undone", 5, item="acetone"), "undone +5 mL of acetone"),
        (change("undone", was="sealed", now="open"), "undone and open again"),
        (change("undone", was="open", now=""), "undone and not there again"),
        (change("counted", container="", empty=2), "counted 2 more empty"),
        (change("counted", container="", empty=-1), "counted 1 fewer empty"),
        (change("counted", container=""), "counted empty ones, as expected"),
        (change("collection called", container="", expected=date(2027, 3, 12)),
         "collection called for 2027-03-12"),
        (change("collection called", container=""), "collection called (no day was said)"),
        (change("undone", container="", expected=date(2027, 3, 12)),
         "undone the call of a collection for 2027-03-12"),
    ],
)  # fmt: skip
def test_a_change_in_words(of: ContainerChange, words: str) -> None:
    assert change_in_words(of) == words


def test_what_is_poured_in_together_stands_in_one_line_the_most_first() -> None:
    poured = [
        change("filled", ml, item=item, item_unit=Kind.VOLUME, item_billionths=ml * ML)
        for item, ml in (("a", 1), ("b", 40), ("c", 30), ("d", 20), ("e", 10), ("f", 2))
    ]
    assert list(container_lines([*poured, change("sealed")], {"W1": 100 * ML})) == [
        "W1 Solvent: filled 103 mL (40 mL of b, 30 mL of c, 20 mL of d, 10 mL of e, 2 more), "
        "203 mL in it",
        "W1 Solvent: sealed, 203 mL in it",
    ]


def test_what_is_undone_in_one_go_stands_by_its_sort() -> None:
    changes = [
        change("undone", -20, item="a", item_unit=Kind.VOLUME, item_billionths=-20 * ML),
        change("undone", -5, item="b", item_unit=Kind.VOLUME, item_billionths=-5 * ML),
        change("undone", was="open", now=""),
    ]
    assert list(container_lines(changes, {"W1": 25 * ML})) == [
        "W1 Solvent: undone -25 mL (20 mL of a, 5 mL of b), 0 mL in it",
        "W1 Solvent: undone and not there again, 0 mL in it",
    ]


def test_one_that_is_opened_and_a_count_of_empty_ones_say_no_level() -> None:
    changes = [change("opened", was="", now="open"), change("counted", container="", empty=1)]
    assert list(container_lines(changes, {})) == [
        "W1 Solvent: opened",
        "Solvent: counted 1 more empty",
    ]


def test_streams_of_one_call_have_a_line_each() -> None:
    call = change("collection called", container="")
    assert list(container_lines([call, replace(call, stream="Acid")], {})) == [
        "Solvent: collection called (no day was said)",
        "Acid: collection called (no day was said)",
    ]


def test_a_container_opened_where_none_was_left_is_told_once_where_the_number_is_known() -> None:
    lacking = change("opened", was="", now="open", empty=0)
    assert len(list(lacking_lines([lacking, lacking], stores(empty=0)))) == 1
    assert list(lacking_lines([replace(lacking, empty=-1)], stores(empty=1))) == []
    assert list(lacking_lines([lacking], stores(empty=None))) == []

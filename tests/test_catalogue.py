from dataclasses import replace
from decimal import Decimal

import pytest

from prepstore.catalogue import Catalogue, ReplacementCircleError
from prepstore.cell_types import Name, PositiveNumber, fold
from prepstore.chemistry.makeup import Held
from prepstore.facts import Replacement
from tests.builders import facts_from


def test_what_is_kept_is_an_item_or_a_solution() -> None:
    goods = facts_from(
        {"items": "item,kind,unit\nSalt,reagent,g", "solutions": "solution\nbrine"}
    ).goods
    assert [goods.kept(name) is not None for name in ("salt", "brine", "sugar")] == [
        True,
        True,
        False,
    ]
    assert goods.materials["salt"].name == "Salt"


def test_a_solution_is_broken_down_into_what_the_stores_keep() -> None:
    """1 mL of a solution of 58.44 g in a litre holds 0.05844 g."""
    goods = facts_from(
        {
            "items": "item,kind,unit\nSalt,reagent,g",
            "solutions": "solution\nbrine",
            "solution_parts": "solution,item,amount\nbrine,Salt,58.44 g/L",
        }
    ).goods
    assert goods.makeups.of("brine").parts == {Held("salt", is_dissolved=True): Decimal("0.05844")}
    assert goods.makeups is goods.makeups


def _catalogue(*pairs: tuple[str, str]) -> Catalogue:
    replacements = {
        fold(old): Replacement(
            item=Name(old), replaced_by=Name(new), factor=PositiveNumber(Decimal(1))
        )
        for old, new in pairs
    }
    return replace(facts_from({"items": "item,kind,unit"}).catalogue, replacements=replacements)


@pytest.mark.parametrize(
    ("pairs", "steps"),
    [
        ([], []),
        ([("a", "b")], ["b"]),
        ([("b", "c"), ("A", "B")], ["B", "c"]),
        ([("b", "c")], []),
    ],
)
def test_replacements_are_followed_to_their_end(
    pairs: list[tuple[str, str]], steps: list[str]
) -> None:
    chain = _catalogue(*pairs).replaced("a")
    assert [link.replaced_by for link in chain] == steps


@pytest.mark.parametrize(
    ("pairs", "names"),
    [
        ([("a", "A")], ("a", "A")),
        ([("a", "b"), ("b", "a")], ("a", "b", "a")),
        ([("a", "b"), ("b", "c"), ("c", "b")], ("a", "b", "c", "b")),
    ],
)
def test_a_circle_names_its_members(pairs: list[tuple[str, str]], names: tuple[str, ...]) -> None:
    with pytest.raises(ReplacementCircleError) as error:
        _catalogue(*pairs).replaced("a")
    assert error.value.names == names


def test_a_long_chain_is_no_circle() -> None:
    pairs = [(str(number), str(number + 1)) for number in range(5000)]
    assert len(_catalogue(*pairs).replaced("0")) == 5000


def test_what_is_used_is_the_end_of_the_chain_or_what_the_script_names() -> None:
    catalogue = _catalogue(("a", "b"), ("B", "C"))
    assert [catalogue.used_for(name) for name in ("A", "b", "x")] == ["C", "C", "x"]

"""What is in waste containers, solutions broken down.

Brine has 10 g of salt in 100 mL: the worked example of docs/explanation/what-is-in-the-waste.md.
"""

from collections.abc import Mapping
from random import Random

from prepstore.amounts import Kind
from prepstore.catalogue import Goods
from prepstore.containers import Content
from prepstore.planning.pours import content_of
from prepstore.shelf.container_contents import Contents
from prepstore.shelf.container_substances import Substances, ranges_of
from tests.builders import facts_from, figures, number
from tests.planning.a_wash import ITEMS
from tests.planning.shared_cases import law
from tests.planning.small_inventories import SOLUTIONS, UNIT, Case

TABLES = {
    "items": ITEMS + "\n    oil, solvent, mL, , , , ,",
    "solutions": """
        solution,     density
        brine,
        weak brine,
        weighed,      1.07
        mystery,
        emulsion,     0.95
        half known,
        known weight, 1.1
        creamy,       0.9""",
    "solution_parts": """
        solution,     item,          amount
        brine,        salt,          10 % w/v
        brine,        water,         to volume
        weak brine,   brine,         200 mL/L
        weak brine,   mystery,       100 mL/L
        weak brine,   water,         to volume
        weighed,      salt,          10 % w/v
        weighed,      water,         to volume
        emulsion,     oil,           300 mL/L
        emulsion,     water,         to volume
        half known,   salt,          10 % w/v
        half known,   water,         400 mL/L
        known weight, salt,          10 % w/v
        creamy,       oil,           300 mL/L
        creamy,       mystery,       to volume""",
    "practicals": "practical,title\nP,A",
}
GOODS = facts_from(TABLES).goods


def _poured(kind: Kind, amounts: Mapping[str, object], goods: Goods = GOODS) -> Contents:
    """Return so much of each thing (`_` for a space) in its own unit, as it is poured in."""
    parts = [
        content_of(goods.materials[name.replace("_", " ")], number(amount), kind)
        for name, amount in amounts.items()
        if name != "unknown"
    ]
    return Contents(tuple(parts), number(amounts.get("unknown", 0)))


def _within(kind: Kind, **amounts: object) -> tuple[dict[str, tuple[object, ...]], object]:
    poured = _poured(kind, amounts)
    inside = Substances(GOODS).within(poured, kind)
    assert inside.level == poured.level
    return {one.item: figures(one.amount, one.level) for one in inside.parts}, inside.unknown


def test_a_solution_is_what_it_is_made_of_and_what_is_dissolved_takes_up_no_room() -> None:
    assert _within(Kind.VOLUME, brine=100) == ({"water": (100, 100), "salt": (10, 0)}, 0)


def test_a_solution_of_a_solution_is_broken_down_further_and_added_to_the_rest() -> None:
    """100 mL of weak brine: 20 mL of brine, 10 mL of a mystery and 70 mL of water."""
    assert _within(Kind.VOLUME, weak_brine=100, brine=50, salt=3, ethyl_acetate=5, unknown=7) == (
        {
            "water": (140, 140),
            "mystery": (10, 10),
            "ethyl acetate": (5, 5),
            "salt": (10, 0),
        },
        7,
    )


def test_a_solution_of_which_nothing_is_known_stays_as_itself() -> None:
    assert _within(Kind.VOLUME, mystery=100) == ({"mystery": (100, 100)}, 0)


def test_what_no_part_of_a_solution_accounts_for_is_not_known() -> None:
    """40 of 100 mL are water; nobody knows the other 60."""
    assert _within(Kind.VOLUME, half_known=100) == ({"water": (40, 40), "salt": (10, 0)}, 60)


def test_by_mass_parts_share_the_mass_of_the_solution() -> None:
    """100 mL weigh 107 g by the density of the solution, and 110 g by its parts."""
    parts, unknown = _within(Kind.MASS, weighed=100)
    salt, water = parts["salt"], parts["water"]
    assert (salt[0], water[0], unknown) == (10, 100, 0)
    assert abs(number(salt[1]) - number(1070) / 110) < number("1e-8")
    assert abs(number(water[1]) - number(10700) / 110) < number("1e-8")


def test_the_one_part_that_cannot_be_weighed_has_what_the_others_leave() -> None:
    """100 mL weigh 95 g, of which 70 g are water: so the oil weighs 25 g."""
    assert _within(Kind.MASS, emulsion=100) == ({"water": (70, 70), "oil": (30, 25)}, 0)
    assert _within(Kind.MASS, known_weight=100) == ({"salt": (10, 10)}, 100)


def test_where_nobody_can_tell_how_the_level_is_shared_a_solution_stays_as_itself() -> None:
    """Of neither the oil nor the mystery is it known what it weighs."""
    assert _within(Kind.MASS, creamy=100) == ({"creamy": (100, 90)}, 0)
    assert _within(Kind.VOLUME, creamy=100) == ({"mystery": (70, 70), "oil": (30, 30)}, 0)


def test_what_adds_nothing_to_the_level_is_listed_all_the_same() -> None:
    assert _within(Kind.MASS, brine=100) == ({"water": (100, 0), "salt": (10, 0)}, 0)
    # What is not known of it would be lost.
    assert _within(Kind.MASS, half_known=100) == ({"half known": (100, 0)}, 0)


def test_what_the_tables_do_not_have_any_more_stays_as_itself() -> None:
    lost = Content("old", Kind.VOLUME, number(5), number(5))
    inside = Contents((lost,), number(0))
    assert Substances(GOODS).within(inside, Kind.VOLUME) == inside
    assert figures(*Substances(GOODS).mass_of(inside, Kind.VOLUME)) == (0, ["old"])


@law
def test_what_is_broken_down_adds_up_to_the_same_level(case: Case) -> None:
    goods, chance = case.department.goods, Random(repr(case.tables))
    of = {name: chance.randint(0, 500) for name in UNIT if name in goods.materials}
    for kind in (Kind.VOLUME, Kind.MASS):
        poured = _poured(kind, {**of, "unknown": 5}, goods)
        inside = Substances(goods).within(poured, kind)
        assert abs(inside.level - poured.level) < number("1e-12")
        assert inside.unknown >= 5
        assert all(one.level >= 0 and one.amount >= 0 for one in inside.parts)
        solutions = {one.item for one in inside.parts if one.item in SOLUTIONS}
        assert kind is Kind.MASS or not [one for one in solutions if goods.parts.get(one)]
        # Once broken down, there is nothing more to break down.
        assert Substances(goods).within(inside, kind) == inside


def _contents(unknown: int, **levels: int) -> Contents:
    parts = [
        Content(name, Kind.VOLUME, number(level), number(level)) for name, level in levels.items()
    ]
    return Contents(tuple(parts), number(unknown))


def test_a_share_lies_between_that_of_the_container_with_least_and_with_most() -> None:
    ranges = ranges_of([_contents(50, a=50), _contents(0, a=20, b=60), _contents(0)])
    assert [figures(one.item, one.least, one.greatest, one.unit) for one in ranges] == [
        ("b", 0, 75, None),
        ("", 0, 50, None),
        ("a", 25, 50, None),
    ]


def test_what_takes_up_no_room_has_its_amounts_instead_of_a_share() -> None:
    salt, glove = (
        Content(name, unit, number(amount), number(0))
        for name, unit, amount in (("salt", Kind.MASS, 4), ("glove", Kind.COUNT, 9))
    )
    ranges = ranges_of(
        [Contents((*_contents(0, a=50).parts, salt, glove), number(0)), _contents(8)]
    )
    assert [figures(one.item, one.least, one.greatest, one.unit) for one in ranges] == [
        ("", 0, 100, None),
        ("a", 0, 100, None),
        ("glove", 0, 9, Kind.COUNT),
        ("salt", 0, 4, Kind.MASS),
    ]


def test_the_mass_is_told_as_far_as_densities_are_known() -> None:
    """50 mL of ethyl acetate are 45 g; of 100 mL of brine 10 g are salt and 100 g water."""
    of = Substances(GOODS)
    inside = _poured(
        Kind.VOLUME, {"ethyl_acetate": 50, "oil": 10, "salt": 5, "glove": 2, "unknown": 3}
    )
    assert figures(*of.mass_of(inside, Kind.VOLUME)) == (50, ["oil", "glove", ""])
    assert figures(*of.mass_of(inside, Kind.MASS)) == (63, [])
    told = of.mass_of(_poured(Kind.VOLUME, {"brine": 100, "weighed": 100}), Kind.VOLUME)
    assert figures(*told) == (217, [])
    told = of.mass_of(_poured(Kind.VOLUME, {"weak_brine": 100, "half_known": 100}), Kind.VOLUME)
    assert figures(*told) == (142, ["mystery", "half known"])

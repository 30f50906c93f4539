"""What goes with the carrier of a waste collection."""

from dataclasses import replace

from prepstore.amounts import Kind
from prepstore.containers import ContainerState, Content, KeptContainer
from prepstore.report.consignment import (
    CONSIGNMENT_COLUMNS,
    ConsignedStream,
    consigned,
    consignment_lines,
    consignment_rows,
)
from prepstore.shelf.container_contents import Contents
from tests.builders import day, facts_from, figures, number

GOODS = facts_from(
    {
        "items": "item,kind,unit,density,hazards\nacetone,solvent,mL,0.79,H225 H319\n"
        "ether,solvent,mL,,H224 H225\nwater,solvent,mL,1,\nchromate,reagent,g,,H350\n"
        "salt,reagent,g,2,",
        "solutions": "solution,hazards\nyellow,H411\nbrine,",
        "solution_parts": "solution,item,amount\nyellow,chromate,5 % w/v\nyellow,water,to volume\n"
        "brine,salt,5 % w/v\nbrine,water,to volume",
        "practicals": "practical,title\nP,A",
        "waste_streams": "stream,measure,container,list_code,notes\n"
        "solvent,volume,5 L,14 06 03*,earth the can\nsolid,mass,,15 02 02*,\nacid,volume,,,",
    }
).goods


def _kept(label: str, stream: str, filled: object) -> KeptContainer:
    return KeptContainer(
        label=label,
        stream=stream,
        state=ContainerState.SEALED,
        filled=number(filled),
        opened_on=day("02-01"),
        sealed_on=day("02-05"),
    )


def _ml(item: str, level: int) -> Content:
    return Content(item, Kind.VOLUME, number(level), number(level))


KEPT = [_kept("W1", "solvent", 1000), _kept("W2", "solvent", 500), _kept("W3", "solid", 250)]
CONTENTS = {
    "W1": Contents((_ml("acetone", 1000),), number(0)),
    "W2": Contents((_ml("acetone", 100), _ml("ether", 398)), number(2)),
    "W3": Contents((), number(250)),
}


def streams() -> list[ConsignedStream]:
    """Return three containers of two streams."""
    return consigned(GOODS, KEPT, CONTENTS)


def test_containers_stand_by_stream_in_the_order_of_the_streams() -> None:
    assert [(of.stream.stream, [one.kept.label for one in of.containers]) for of in streams()] == [
        ("solvent", ["W1", "W2"]),
        ("solid", ["W3"]),
    ]
    assert figures(*(of.total for of in streams())) == (1500, 250)


def test_a_composition_gives_the_least_and_the_greatest_share() -> None:
    assert [of.composition for of in streams()] == [
        "% by volume: acetone 20–100; ether 0–80; not known below 1",
        "% by mass: not known 100",
    ]


def test_a_solution_is_told_by_its_substances_and_what_is_dissolved_by_its_amount() -> None:
    """100 mL of 5 % w/v have 5 g in them. Its H codes are those that it was poured in with."""
    kept = [_kept("W4", "solvent", 100), _kept("W5", "solvent", 200)]
    contents = {
        "W4": Contents((_ml("yellow", 100),), number(0)),
        "W5": Contents((_ml("yellow", 100), _ml("acetone", 100)), number(0)),
    }
    (of,) = consigned(GOODS, kept, contents)
    assert of.composition == (
        "% by volume: water 50–100; acetone 0–50. Beside these shares there are in a container: "
        "chromate 5 g"
    )
    assert of.hazards == ("H225", "H319", "H411")
    assert [figures(one.mass_g, one.lacking) for one in of.containers] == [(105, ()), (184, ())]
    kept[1] = _kept("W5", "solvent", 300)
    contents["W5"] = Contents((_ml("yellow", 300),), number(0))
    (of,) = consigned(GOODS, kept, contents)
    assert of.composition.endswith("chromate 5 g to 15 g")


def test_a_solid_that_is_poured_and_dissolved_stands_in_both_places() -> None:
    """By hand: 20 g of 2 g/mL are 10 of 110 mL, 9 %; 100 mL of 5 % w/v have 5 g dissolved."""
    poured = Content("salt", Kind.MASS, number(20), number(10))
    contents = {"W4": Contents((_ml("brine", 100), poured), number(0))}
    (of,) = consigned(GOODS, [_kept("W4", "solvent", 110)], contents)
    assert of.composition == (
        "% by volume: water 91; salt 9. Beside these shares there are in a container: salt 5 g"
    )


def test_a_mass_is_told_as_far_as_densities_are_known() -> None:
    masses = [[one.mass_in_words for one in of.containers] for of in streams()]
    assert masses == [["790 g", "more than 79 g"], ["250 g"]]
    nothing = {"W2": Contents((_ml("ether", 500),), number(0))}
    (only,) = consigned(GOODS, [KEPT[1]], nothing)
    assert only.containers[0].mass_in_words == "not known"


def test_the_codes_of_all_that_was_poured_in_stand_once() -> None:
    assert [of.hazards for of in streams()] == [("H224", "H225", "H319"), ()]


def test_a_solution_without_codes_has_those_of_what_it_is_made_of() -> None:
    goods = replace(GOODS, solutions={
        name: replace(one, hazards=None) for name, one in GOODS.solutions.items()
    })  # fmt: skip
    contents = {"W4": Contents((_ml("yellow", 100),), number(0))}
    kept = [_kept("W4", "solvent", 100)]
    assert consigned(GOODS, kept, contents)[0].hazards == ("H411",)
    assert consigned(goods, kept, contents)[0].hazards == ("H350",)


def test_rows_have_a_container_each() -> None:
    rows = consignment_rows(streams())
    assert set(rows[0]) == set(CONSIGNMENT_COLUMNS)
    assert [row["mass_lacks"] for row in rows] == ["", "ether; what is not known", ""]
    first = rows[0]
    assert (first["list_code"], first["mass_of_contents_g"], first["sealed_on"]) == (
        "14 06 03*", 790, "2027-02-05",
    )  # fmt: skip
    assert (first["hazards_of_contents"], first["notes"]) == ("H224 H225 H319", "earth the can")


def test_lines_say_how_many_and_how_much() -> None:
    assert list(consignment_lines(streams())) == [
        "solvent (14 06 03*): 2 containers, 1.5 L",
        "  W1: 1 L, contents 790 g",
        "  W2: 500 mL, contents more than 79 g",
        "solid (15 02 02*): 1 container, 250 g",
        "  W3: 250 g, contents 250 g",
    ]

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from prepstore.safety.meeting.chart import chart_pair
from prepstore.safety.meeting.meetings import (
    CONTENTS_UNKNOWN,
    Unchecked,
    hits_among,
    unchecked_among,
)
from prepstore.safety.meeting.placing import Substance, placing_of, shipped_placings
from tests.every_case import every_case
from tests.published.rows import Row, rows_of

WATER = Substance("water", "7732-18-5")
NITRIC_ACID = Substance("nitric acid", "7697-37-2")
PROPANONE = Substance("propanone", "67-64-1")
HYDROCHLORIC_ACID = Substance("hydrochloric acid", "7647-01-0")
BLEACH = Substance("sodium hypochlorite", "7681-52-9")
CHLOROFORM = Substance("chloroform", "67-66-3")
SODIUM_HYDROXIDE = Substance("sodium hydroxide", "1310-73-2")
PERMANGANATE = Substance("potassium permanganate", "7722-64-7")
ETHANOL = Substance("ethanol", "64-17-5")
SALT = Substance("sodium chloride", "7647-14-5")

PAIRS = rows_of("incompatible_pairs")
"""Source: lists of incompatible substances of others; each row of the table names its own."""


@every_case("row", PAIRS, ids=lambda row: f"{row['substance_a']} with {row['substance_b']}")
def test_what_others_publish_as_incompatible_is_a_hit_where_the_chart_has_it(row: Row) -> None:
    one = Substance(row["substance_a"], row["cas_a"])
    other = Substance(row["substance_b"], row["cas_b"])
    assert bool(hits_among([one, other])) == (row["in_chart"] == "yes")


def test_nearly_all_that_others_publish_is_in_the_chart() -> None:
    """What is not stands in docs/explanation/what-must-not-meet.md."""
    missing = [(row["substance_a"], row["substance_b"]) for row in PAIRS if row["in_chart"] == "no"]
    assert missing == [
        ("iodine", "ammonia"),
        ("sodium nitrite", "ammonium chloride"),
        ("potassium chlorate", "ammonium chloride"),
        ("sodium", "carbon dioxide"),
    ]


def test_nitric_acid_with_propanone_gets_hot_and_may_catch_fire() -> None:
    (hit,) = hits_among([PROPANONE, NITRIC_ACID])
    assert hit.substances == ("nitric acid", "propanone")
    assert hit.groups == hit.pair.groups == (2, 19)
    assert hit.codes == ("H", "F")
    assert not hit.unknown


def test_groups_stand_in_the_order_of_the_substances_and_the_pair_in_rising_order() -> None:
    acetone = Substance("Acetone", "67-64-1")
    (hit,) = hits_among([NITRIC_ACID, acetone])
    assert hit.substances == ("Acetone", "nitric acid")
    assert hit.groups == (19, 2)
    assert hit.pair.groups == (2, 19)


def test_hypochlorite_with_acid_is_a_hit_for_each_of_its_groups() -> None:
    hits = hits_among([HYDROCHLORIC_ACID, BLEACH])
    assert [(hit.pair.groups, hit.codes) for hit in hits] == [
        ((1, 10), ("H",)),
        ((1, 104), ("H", "GT")),
    ]


def test_chloroform_and_propanone_meet_only_through_a_base() -> None:
    assert hits_among([CHLOROFORM, PROPANONE]) == ()
    with_base = hits_among([CHLOROFORM, PROPANONE, SODIUM_HYDROXIDE])
    assert [(hit.substances, hit.codes) for hit in with_base] == [
        (("chloroform", "sodium hydroxide"), ("H", "GF")),
        (("propanone", "sodium hydroxide"), ("H",)),
    ]


def test_permanganate_with_ethanol_is_a_hit() -> None:
    (hit,) = hits_among([PERMANGANATE, ETHANOL])
    assert (hit.pair.groups, hit.codes) == ((4, 104), ("H", "F"))


def test_sodium_with_water_is_a_hit_of_both_its_groups() -> None:
    hits = hits_among([Substance("sodium", "7440-23-5"), WATER])
    assert [(hit.groups, hit.codes) for hit in hits] == [
        ((21, 106), ("H", "GF")),
        ((107, 106), ("X",)),
    ]


def test_a_blank_that_the_chart_leaves_doubtful_is_unknown_and_a_hit() -> None:
    hits = hits_among([PERMANGANATE, WATER])
    assert [(hit.pair.groups, hit.codes, hit.unknown) for hit in hits] == [
        ((24, 106), ("S",), False),
        ((104, 106), (), True),
    ]


def test_what_has_no_group_is_unchecked_and_no_hit() -> None:
    tap = Substance("tap water")
    assert hits_among([SALT, tap, NITRIC_ACID]) == ()
    assert [one.substance for one in unchecked_among([tap, NITRIC_ACID, SALT])] == [
        "sodium chloride",
        "tap water",
    ]


def test_an_open_container_of_unknown_composition_is_one_row() -> None:
    assert Unchecked("unknown", "what the open container holds is not known") == CONTENTS_UNKNOWN


def test_two_items_of_one_cas_number_are_one_substance() -> None:
    """Its groups 3 and 4 would meet, acid with alcohol."""
    bottles = [Substance("citric acid", "77-92-9"), Substance("citric acid, pure", "77-92-9")]
    assert chart_pair(3, 4) is not None
    assert hits_among(bottles) == ()
    assert len(hits_among([*bottles, ETHANOL])) == 2


def test_items_without_a_cas_number_are_not_one_substance() -> None:
    acid, alcohol = Substance("acid mix", own=(2,)), Substance("alcohol mix", own=(4,))
    assert len(hits_among([acid, alcohol])) == 1


def test_a_substance_does_not_meet_itself() -> None:
    assert hits_among([Substance("acid alcohol", own=(3, 4))]) == ()


def test_hits_are_in_order_of_names_whatever_their_case() -> None:
    acetone, toluene = Substance("acetone", "67-64-1"), Substance("Toluene", "108-88-3")
    hits = hits_among([Substance("Nitric acid", "7697-37-2"), toluene, acetone])
    assert [hit.substances for hit in hits] == [
        ("acetone", "Nitric acid"),
        ("Nitric acid", "Toluene"),
    ]


def test_two_substances_that_both_have_both_groups_are_one_hit() -> None:
    hits = hits_among([Substance("citric acid", "77-92-9"), Substance("tartaric acid", "87-69-4")])
    assert [(hit.groups, hit.pair.groups) for hit in hits] == [((3, 4), (3, 4))]


def test_a_substance_named_twice_counts_once() -> None:
    assert hits_among([NITRIC_ACID, PROPANONE, Substance(" Propanone ", "67-64-1")]) == hits_among(
        [NITRIC_ACID, Substance(" Propanone ", "67-64-1")]
    )


def test_a_department_takes_a_hit_away_or_adds_one_by_its_own_groups() -> None:
    foil = Substance("magnesium", "7439-95-4", own=(23,))
    assert hits_among([foil, WATER]) == ()
    assert hits_among([Substance("magnesium", "7439-95-4"), WATER])
    concentrated = Substance("sulfuric acid", "7664-93-9", own=(2, 107))
    assert ("X",) in [hit.codes for hit in hits_among([concentrated, WATER])]


SHIPPED = [Substance(row.substance, row.cas) for row in shipped_placings().values()]
SOME = st.lists(st.sampled_from(SHIPPED), max_size=8, unique=True)


@given(st.permutations(range(8)), SOME)
def test_the_order_of_substances_changes_nothing(order: list[int], some: list[Substance]) -> None:
    mixed = [some[place] for place in order if place < len(some)]
    assert hits_among(mixed) == hits_among(some)
    assert unchecked_among(mixed) == unchecked_among(some)


@given(SOME, st.sampled_from(SHIPPED))
def test_adding_a_substance_takes_no_hit_away(some: list[Substance], more: Substance) -> None:
    assert set(hits_among(some)) <= set(hits_among([*some, more]))


@given(SOME)
def test_hits_are_those_of_looking_up_every_two_substances(some: list[Substance]) -> None:
    """Worked out the long way: each two substances, each two of their groups."""
    expected = {
        (frozenset((one.name, other.name)), pair.groups)
        for one, other in combinations(some, 2)
        for group in placing_of(one).groups
        for another in placing_of(other).groups
        if (pair := chart_pair(group, another))
    }
    hits = hits_among(some)
    assert {(frozenset(hit.substances), hit.pair.groups) for hit in hits} == expected
    assert len(hits) == len(expected)


@given(SOME)
def test_each_hit_names_a_group_of_each_of_its_substances(some: list[Substance]) -> None:
    groups = {one.name: placing_of(one).groups for one in some}
    for hit in hits_among(some):
        for name, group in zip(hit.substances, hit.groups, strict=True):
            assert group in groups[name]


@given(SOME)
def test_each_substance_has_groups_or_is_unchecked(some: list[Substance]) -> None:
    without = {one.name for one in some if not placing_of(one).groups}
    assert {one.substance for one in unchecked_among(some)} == without

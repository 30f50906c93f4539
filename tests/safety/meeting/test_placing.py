import csv
import re
from pathlib import Path

import pytest

from prepstore.safety.meeting.chart import chart_pair
from prepstore.safety.meeting.placing import Placing, Substance, placing_of, shipped_placings
from prepstore.tables.substance_cells import cas as read_cas
from tests.every_case import every_case
from tests.published.rows import Row, rows_of

SAMPLE = Path(__file__).parents[3] / "sample_inventory" / "items.csv"
HYDROCHLORIC_ACID, WATER = 1, 106


def test_what_the_department_says_stands_in_place_of_what_is_shipped() -> None:
    sheet = Substance("zinc sheet", "7440-66-6", own=(23, 24))
    assert placing_of(sheet) == Placing((23, 24), "as its column group says")
    assert placing_of(Substance("zinc", "7440-66-6")).groups == (22, 24)


def test_what_has_no_group_says_why() -> None:
    assert placing_of(Substance("spinach")).because == (
        "it has no CAS number, and its column group is blank"
    )
    assert placing_of(Substance("ethanal oxime", "107-29-9")).because == (
        "no group is known for its CAS number, and its column group is blank"
    )
    salt = placing_of(Substance("salt", "7647-14-5"))
    assert salt.groups == ()
    assert salt.because.startswith("EPA-600/2-80-076 has no group for it: a salt")


def test_a_shipped_group_says_why() -> None:
    assert placing_of(Substance("ethanol 96 %", "64-17-5")) == Placing(
        (4,), "by its structure or kind: a primary, secondary or tertiary alcohol"
    )


def test_every_shipped_row_has_a_cas_number_with_its_check_digit_and_a_reason() -> None:
    """Source: the check digit of a CAS Registry Number, CAS (cas.org)."""
    for row in shipped_placings().values():
        assert read_cas(row.cas) == row.cas
        assert row.reason
        assert row.source.startswith("EPA-600/2-80-076")


def test_what_has_no_group_is_said_to_have_none_in_the_chart() -> None:
    for row in shipped_placings().values():
        assert (not row.groups) == (row.source == "EPA-600/2-80-076 has no group for it")


def test_no_substance_stands_twice() -> None:
    names = [row.substance for row in shipped_placings().values()]
    assert len(set(names)) == len(names)


def _may_meet(groups: tuple[int, ...], other: int) -> bool:
    return other in groups or any(chart_pair(one, other) for one in groups)


MUST_BE_AMONG = {
    "oxidising": {2, 104},
    "organic peroxide": {30},
    "explosive": {102},
}
"""What a class of the Regulation says must be said by one of these groups too."""


@every_case(
    "row", rows_of("annex_vi_reactivity"), ids=lambda row: f"{row['substance']}, {row['class']}"
)
def test_groups_agree_with_the_classes_of_annex_vi(row: Row) -> None:
    """Source: Regulation (EC) No 1272/2008, Annex VI, the entry that each row names."""
    groups = placing_of(Substance(row["substance"], row["cas"])).groups
    if row["says"] in MUST_BE_AMONG:
        assert MUST_BE_AMONG[row["says"]] & set(groups)
    elif row["says"] == "toxic gas with acid":
        assert _may_meet(groups, HYDROCHLORIC_ACID)
    else:
        assert row["says"] == "reacts with water"
        assert _may_meet(groups, WATER)


def test_every_substance_of_the_sample_inventory_with_a_cas_number_is_shipped() -> None:
    with SAMPLE.open(encoding="utf-8-sig", newline="") as lines:
        numbers = {row["cas"] for row in csv.DictReader(lines) if row["cas"]}
    assert numbers
    assert numbers <= set(shipped_placings())


EXPLOSIVES = [
    ("dinitrophenol, dry or with less than 15 % of water: UN 0076", "51-28-5"),
    ("trinitrophenol, dry or with less than 30 % of water: UN 0154", "88-89-1"),
    ("nitrocellulose, dry or with less than 25 % of water or alcohol: UN 0340", "9004-70-0"),
    ("dibenzoyl peroxide, more than 52 %: UN 3102, with explosive as its second hazard", "94-36-0"),
]


@pytest.mark.parametrize(("entry", "cas"), EXPLOSIVES)
def test_what_is_carried_as_an_explosive_is_among_explosives(entry: str, cas: str) -> None:
    """Source: United Nations, Recommendations on the Transport of Dangerous Goods, Model
    Regulations, dangerous goods list and 2.5.3.2.4; from memory."""
    assert 102 in placing_of(Substance(entry, cas)).groups


OF_ONE_SALT = [
    ("497-19-8", "6132-02-1"),
    ("7758-98-7", "7758-99-8"),
    ("7646-79-9", "7791-13-1"),
    ("7487-88-9", "10034-99-8"),
    ("144-62-7", "6153-56-6"),
    ("3251-23-8", "10031-43-3"),
]


@pytest.mark.parametrize(("anhydrous", "hydrate"), OF_ONE_SALT)
def test_a_hydrate_has_the_groups_of_its_anhydrous_form(anhydrous: str, hydrate: str) -> None:
    one, other = (placing_of(Substance("it", cas)).groups for cas in (anhydrous, hydrate))
    assert one == other


NAMED_FOR_THEIR_GROUP = [
    (r"(?<!thi)ol(-d\d)?$", {4, 31}, {"polyvinyl alcohol"}),
    (r"(?<!b)one(-d\d)?$", {19, 6}, {"limestone", "ozone"}),
    (r"(an|en)al$|aldehyde", {5}, set()),
    (r"\bacid\b", {1, 2, 3}, {"trichloroisocyanuric acid", "picric acid", "tannic acid"}),
    (r"amine\b|aniline|amino", {7}, {"chloramine-T", "hydroxylamine", "hydroxylamine sulfate",
                                    "hydroxylamine hydrochloride"}),
    (r"amide|\burea\b", {6}, {"sulfanilamide"}),
    (r"nitrile", {26}, set()),
    (r"\bether\b", {14}, {"petroleum ether"}),
    (r"(chloro|bromo|iodo)[a-z]", {17}, {
        "chlorotrimethylsilane", "trichloroisocyanuric acid", "sodium dichloroisocyanurate",
        "sodium dichloroisocyanurate dihydrate", "chlorosulfonic acid",
    }),
    (r"yl chloride$", {17}, {"thionyl chloride", "sulfuryl chloride", "polyvinyl chloride"}),
    (r"(\b|di)nitro(?!gen|prusside|cellulose)", {27}, set()),
    (r"hydroxide|(?<!methyl )(?<!propylene )carbonate", {10}, set()),
    (r"peroxide", {30, 104}, set()),
    (r"\b(per|hypo)?(nitr|chlor|brom|iod)(ate|ite)\b|persulfate|permanganate|chromate", {104},
     set()),
    (r"copper|zinc|lead|nickel|cobalt|manganese|mangan|chromium|chromate|mercury|silver|barium"
     r"|cadmium|arsenic|antimony|vanad|molybd|strontium", {24}, {"barium sulfate"}),
    (r"\bfluoride|hydrofluor|trifluoride|fluoroboric", {15}, set()),
    (r"sulfide\b", {33, 20}, set()),
    (r"thiol|sulfanyl", {20}, set()),
    (r"\b(thio)?cyan(ide|ate)|cyanoferrate|cyanoboro", {11}, set()),
    (r"isocyanate\b", {18}, set()),
    (r"hydrazine", {8}, set()),
    (r"^(hydrazine|hydroxylamine)", {105}, set()),
    (r"acrylate", {13}, set()),
    (r"acrylate|acrylamide", {103}, set()),
]  # fmt: skip
"""What a name says, a group that then must be among those shipped, and names that mean another."""


@pytest.mark.parametrize(("pattern", "groups", "others"), NAMED_FOR_THEIR_GROUP)
def test_groups_agree_with_what_systematic_names_say(
    pattern: str, groups: set[int], others: set[str]
) -> None:
    """Source: endings and prefixes of IUPAC, Nomenclature of Organic Chemistry (2013), and of
    Inorganic Chemistry (2005)."""
    named = [row for row in shipped_placings().values() if re.search(pattern, row.substance)]
    assert {row.substance for row in named if not groups & set(row.groups)} == others
    assert len(named) > len(others)

"""The list that the tool reminds by, held to the published one."""

import pytest

from prepstore.cell_types import fold
from prepstore.safety.peroxide_formers import published_former, published_formers
from tests.published.rows import rows_of


def test_every_substance_has_the_class_and_the_months_of_the_published_list() -> None:
    """Source: Cornell University EHS, Appendix J, named in each row of the table."""
    published = {
        fold(row["substance"]): (
            row["class"],
            int(row["months_after_opening"]),
            int(row["months_unopened"]),
        )
        for row in rows_of("peroxide_formers")
    }
    ours = {
        name: (one.listed_as, one.months_opened, one.months_unopened)
        for name, one in published_formers().items()
    }
    assert ours == published


def test_what_keeps_only_while_it_is_inhibited_says_so() -> None:
    """Source: as above; the list gives 24 hours for what is uninhibited of its class C."""
    noted = {fold(row["substance"]) for row in rows_of("peroxide_formers") if row["note"]}
    assert {name for name, one in published_formers().items() if one.note} == noted


@pytest.mark.parametrize(
    ("name", "substance"),
    [
        ("Diethyl Ether", "diethyl ether"),
        ("diethyl ether, anhydrous", "diethyl ether"),
        ("1,4-dioxane", "1,4-dioxane"),
        ("2-methylpropan-2-ol", None),
        ("acetal resin", None),
    ],
)
def test_an_item_is_found_by_its_name(name: str, substance: str | None) -> None:
    found = published_former(name)
    assert (found.substance if found else None) == substance

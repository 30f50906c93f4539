"""How a batch is made, in words.

Acid into water and most of the solvent first are common practice, no source; the statements of
hazard codes are those of Regulation (EC) No 1272/2008, Annex III.
"""

import pytest

from prepstore.planning.batches import Batch
from prepstore.planning.plan import Plan
from prepstore.report.making_words import hazards_in_words, instructions_in_words
from tests.report.workbook.a_week import TABLES, a_week

ACID = "hydrochloric acid 2 mol/L"
WASH = "hydrogencarbonate wash"


def how(name: str, **tables: str) -> str:
    return instructions_in_words(*of_batch(name, **tables))


def of_batch(name: str, **tables: str) -> tuple[Plan, Batch]:
    plan = a_week(**tables)
    return plan, next(one for one in plan.batches if one.solution.solution == name)


def without_instructions() -> str:
    return TABLES["solutions"].replace("Acid into water.", "").replace("Stir into cold water.", "")


def test_written_instructions_stand_as_they_are() -> None:
    assert how(ACID) == "Acid into water."


def test_a_share_in_braces_is_that_share_of_the_batch() -> None:
    written = TABLES["solutions"].replace("Stir into cold water.", "Stir into {80 %} of water.")
    assert how(WASH, solutions=written) == "Stir into 400 mL of water."


def test_a_share_is_of_one_making_where_a_batch_has_several() -> None:
    written = TABLES["solutions"].replace("Stir into cold water.", "Stir into { 12.5% } of water.")
    written = written.replace("100 mL,500 mL", "100 mL,250 mL")
    assert how(WASH, solutions=written) == "Stir into 25 mL of water."


@pytest.mark.parametrize("text", ["{eighty} of it", "{80} of it", "80 % of it", "{8.0.1 %}"])
def test_other_braces_are_left_as_they_are(text: str) -> None:
    written = TABLES["solutions"].replace("Stir into cold water.", text)
    assert how(WASH, solutions=written) == text


def test_where_nothing_is_written_most_of_the_solvent_comes_first() -> None:
    assert how(WASH, solutions=without_instructions()) == (
        "Most of the deionised water first (about 300 mL), then sodium hydrogencarbonate into it, "
        "stirring. At room temperature make up to the mark with deionised water."
    )


def test_where_nothing_is_written_acid_goes_into_water_and_cools_before_the_mark() -> None:
    said = how(ACID, solutions=without_instructions())
    assert "Most of the deionised water first (about 150 mL), then hydrochloric acid" in said
    assert "Acid into water, slowly; never water into acid." in said
    assert said.endswith("cool it, and only then make up to the mark.")


def test_a_solution_without_a_solvent_to_the_mark_has_no_usual_order() -> None:
    parts = TABLES["solution_parts"].replace("hydrogencarbonate wash,deionised water,to volume", "")
    assert how(WASH, solutions=without_instructions(), solution_parts=parts) == ""


def test_the_hazards_of_what_it_is_made_from_stand_each_once() -> None:
    words = hazards_in_words(*of_batch(ACID))
    assert words.startswith("hydrochloric acid, concentrated: H290 May be corrosive to metals; H3")
    assert words.count("H314") == words.count("hydrochloric acid") == 1
    assert hazards_in_words(*of_batch(WASH)) == ""

"""The sample is as large and as varied as the client asked, and without what he did not want."""

from collections import Counter

import pytest

from prepstore.cell_types import fold
from tests.journeys.sample import SAMPLE, unchanged

SAMPLE_NOW = unchanged("2027-W10")


@pytest.mark.parametrize(
    ("table", "least"),
    [
        ("practicals", 12),
        ("items", 90),
        ("solutions", 20),
        ("stock", 130),
        ("packs", 120),
        ("suppliers", 4),
        ("waste_streams", 8),
    ],
)
def test_a_table_has_at_least_so_many_rows(table: str, least: int) -> None:
    names = {row.key for row in SAMPLE_NOW.rows[table]}
    assert len(names) >= least


def test_the_sample_is_without_problems() -> None:
    assert SAMPLE_NOW.problems == ()


def test_the_week_has_at_least_sixteen_sessions() -> None:
    assert len(SAMPLE_NOW.json["sessions"]) >= 16


def test_practicals_are_of_organic_inorganic_analytical_and_physical_chemistry() -> None:
    kinds = Counter(row.text["practical"].split("-")[0] for row in SAMPLE_NOW.rows["practicals"])
    assert set(kinds) == {"ORG", "INO", "ANA", "PHY"}
    assert min(kinds.values()) >= 3


def test_each_kind_of_practical_is_held_in_the_week() -> None:
    kinds = {row["practical"].split("-")[0] for row in SAMPLE_NOW.json["sessions"]}
    assert kinds == {"ORG", "INO", "ANA", "PHY"}


def test_some_solutions_are_made_from_others_and_one_of_those_from_another() -> None:
    solutions = {fold(row.text["solution"]) for row in SAMPLE_NOW.rows["solutions"]}
    made_from = {
        (fold(row.text["solution"]), fold(row.text["item"]))
        for row in SAMPLE_NOW.rows["solution_parts"]
        if fold(row.text["item"]) in solutions
    }
    assert len({solution for solution, _ in made_from}) >= 5
    assert {solution for solution, _ in made_from} & {made for _, made in made_from}


def test_every_practical_has_lines_and_every_solution_parts() -> None:
    lines = {fold(row.text["practical"]) for row in SAMPLE_NOW.rows["practical_lines"]}
    parts = {fold(row.text["solution"]) for row in SAMPLE_NOW.rows["solution_parts"]}
    assert {row.key[0] for row in SAMPLE_NOW.rows["practicals"]} == lines
    assert {row.key[0] for row in SAMPLE_NOW.rows["solutions"]} == parts


def test_most_sessions_are_in_good_order() -> None:
    states = Counter(row["state"] for row in SAMPLE_NOW.json["sessions"])
    assert set(states) == {"covered", "make up", "order", "late"}
    assert states["covered"] + states["make up"] > states["order"] + states["late"]


@pytest.mark.parametrize(
    "words",
    ["practical seven", "practical 7", "ester", "aspirin", "salicyl", "acetic anhydride", "acetyl"],
)
def test_nothing_speaks_of_the_practical_that_is_left_out(words: str) -> None:
    """No ester of a phenol is made: none is named, nor what such a practical would take."""
    files = [*SAMPLE.glob("*.csv"), SAMPLE / "README.md"]
    speaking = [file.name for file in files if words in file.read_text("utf-8").casefold()]
    assert not speaking

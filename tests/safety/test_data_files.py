from importlib.resources import files

import pytest

from prepstore.safety.data_files import rows_of

FILES = sorted(file.name for file in files("prepstore.safety").iterdir() if ".csv" in file.name)


@pytest.mark.parametrize("name", FILES)
def test_every_row_says_where_it_comes_from(name: str) -> None:
    rows = rows_of(name)
    assert rows
    assert list(rows[0])[-1] == "source"
    assert all(row["source"] for row in rows)
    assert all(None not in row for row in rows), "a row is longer than the heading"


def test_the_files_are_those_that_the_room_reads() -> None:
    assert FILES == [
        "harmonised_classes.csv", "hazard_classes.csv", "hazard_statements.csv", "hydrates.csv",
        "label_elements.csv", "label_sizes.csv", "peroxide_formers.csv",
        "precautionary_choice.csv", "precautionary_statements.csv", "small_packages.csv",
        "usual_cautions.csv",
    ]  # fmt: skip

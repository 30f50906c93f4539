"""The worked example by session, as JSON, as rows of a CSV and as lines."""

from prepstore.report.waste_by_session import sent_cells, sent_lines, sent_rows
from tests.planning.a_wash import a_wash


def test_json_has_a_row_a_session_and_stream() -> None:
    rows = list(sent_rows(a_wash()))
    assert [(row["session"], row["left_of"], row["stream"]) for row in rows] == [
        ("S", None, "solvent"), ("S", None, "aqueous"), ("S", None, "solid"),
        (None, "brine", "aqueous"),
    ]  # fmt: skip
    assert rows[-1] == {
        "date": "2027-02-01",
        "session": None,
        "left_of": "brine",
        "stream": "aqueous",
        "unit": "mL",
        "expected": 40,
        "allow_for": 28,
        "unknown_mL": {"expected": 0, "allow_for": 0},
        "unknown": [],
        "not_in_amount": [],
        "composition": [
            {
                "substance": "water",
                "mL": {"expected": 40, "allow_for": 28},
                "g": {"expected": 40, "allow_for": 28},
                "held_back": False,
                "not_known": [],
            },
            {
                "substance": "salt",
                "mL": {"expected": 0, "allow_for": 0},
                "g": {"expected": 4, "allow_for": 2.8},
                "held_back": False,
                "not_known": [],
            },
        ],
    }


def test_a_csv_has_a_row_a_substance_and_one_for_what_is_not_known() -> None:
    rows = [row for row in sent_cells(a_wash()) if row["stream"] == "solid"]
    assert [
        (row["substance"], row["held_back"], row["mL_expected"], row["g_allow_for"]) for row in rows
    ] == [("drying agent", False, 0, 11), ("ethyl acetate", True, 4.6, 4.77)]
    (unknown,) = (
        row
        for row in sent_cells(a_wash("brine, 30 mL, aqueous,", solution_parts=""))
        if row["session"]
    )
    assert (unknown["substance"], unknown["mL_expected"], unknown["mL_allow_for"]) == ("", 60, 72)
    assert unknown["g_expected"] == 0


def test_lines_tell_what_is_in_it_what_is_held_back_and_what_is_not_measured() -> None:
    text = "\n".join(sent_lines(a_wash()))
    assert "Mon 1 Feb  S              aqueous  60 mL     72 mL      water 60 mL; salt 6 g" in text
    assert "Mon 1 Feb  left of brine  aqueous  40 mL     28 mL      water 40 mL; salt 4 g" in text
    assert "drying agent 10 g; ethyl acetate 4.6 mL, held back  filter paper" in text
    plan = a_wash("brine, 30 mL, aqueous,", solution_parts="")
    assert "60 mL not known of brine" in "\n".join(sent_lines(plan))
    assert list(sent_lines(a_wash("water, 1 mL, kept,")))[-1] == "  nothing"

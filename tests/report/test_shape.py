import pytest

from prepstore.report.shape import Listed, One, Row, Shape, mistake_in

NUMBER = One("a number", lambda value: isinstance(value, int))
FLASK = Row({"size": NUMBER, "made": Listed(NUMBER), "from": One("text, or null", bool)})


@pytest.mark.parametrize(
    ("value", "shape", "said"),
    [
        (5, NUMBER, None),
        ("five", NUMBER, ': found "five", expected a number'),
        ("Kj\u00f8l", NUMBER, ': found "Kj\u00f8l", expected a number'),
        ([], Listed(FLASK), None),
        (None, Listed(FLASK), ": found null, expected a list in [ ]"),
        ([{"size": 1, "made": [2, 3], "from": "x", "beside": {}}], Listed(FLASK), None),
        ([{"size": 1, "made": [2, {}]}], Listed(FLASK),
         ", row 1, made, entry 2: found {}, expected a number"),
        ([[1]], Listed(FLASK), ", row 1: found […], expected a row in { }"),
        ({"size": 1, "from": "x"}, FLASK, ": 'made' is missing"),
    ],
)  # fmt: skip
def test_a_mistake_says_where_what_is_found_and_what_is_expected(
    value: object, shape: Shape, said: str | None
) -> None:
    mistake = mistake_in(value, shape)
    assert (None if mistake is None else str(mistake)) == said


def test_one_key_may_need_another() -> None:
    shape = Row({"short": NUMBER, "at": One("anything", lambda _: True)}, with_it=("short", "at"))
    assert mistake_in({"short": 0, "at": None}, shape) is None
    assert mistake_in({"short": 2, "at": "noon"}, shape) is None
    assert str(mistake_in({"short": 2, "at": None}, shape)) == (
        ", at: found null, and 'short' is not 0"
    )

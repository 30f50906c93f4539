import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from prepstore.planning.changes import changes_between
from prepstore.planning.plan import Plan
from prepstore.report.earlier_plan import read_earlier_plan
from prepstore.report.errors import ReportError
from prepstore.report.plan_json import plan_json
from prepstore.report.plan_papers import papers_of

Place = list[str | int]
Read = Callable[[str | bytes], str]

REMEDY = "Give a file that prepstore plan --json wrote."
WHOLE = "a whole number of 0 or more, below 10^18"
NUMBER = "a number of 0 or more, below 10^18"
DATE = "a date like 2027-02-03"
TYPED_DATE = f"{DATE}, in the years 1900 to 2999"


@pytest.fixture
def sentence(tmp_path: Path) -> Read:
    """Return what is said of an earlier plan's file, without its name and the remedy."""

    def read(content: str | bytes) -> str:
        file = tmp_path / "plan.json"
        file.write_bytes(content.encode() if isinstance(content, str) else content)
        with pytest.raises(ReportError) as refused:
            read_earlier_plan(file)
        said = str(refused.value)
        assert said.startswith(str(file))
        assert said.endswith(f" {REMEDY}")
        return said.removeprefix(str(file)).removesuffix(f" {REMEDY}")

    return read


@pytest.fixture(scope="module")
def sample_json(sample_plan: Plan) -> str:
    """A plan's JSON."""
    return plan_json(sample_plan)


@pytest.fixture
def rows(sample_json: str) -> dict[str, Any]:
    """A plan's JSON, to be spoilt."""
    spoilt: dict[str, Any] = json.loads(sample_json)
    return spoilt


def _at(rows: Any, place: Sequence[str | int]) -> Any:  # noqa: ANN401 - a value of JSON
    """Return what stands at a place of JSON."""
    for step in place:
        rows = rows[step]
    return rows


def test_a_plan_read_back_differs_in_nothing_from_itself(sample_plan: Plan, tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan_json(sample_plan), encoding="utf-8")
    earlier, now = read_earlier_plan(file), papers_of(sample_plan)
    assert changes_between(earlier, now, sample_plan) == ()


def test_a_plan_with_a_byte_order_mark_is_read(sample_plan: Plan, tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan_json(sample_plan), encoding="utf-8-sig")
    assert read_earlier_plan(file) == papers_of(sample_plan)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "latin-1"])
def test_a_plan_in_another_encoding_is_said_to_be_so(
    encoding: str, sample_plan: Plan, sentence: Read
) -> None:
    content = plan_json(sample_plan).replace("North", "Nörth").encode(encoding, "replace")
    assert sentence(content) == " is not UTF-8 text, as JSON must be."


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", " is not JSON."),
        ("not json", " is not JSON."),
        ("[" * 100_000, " is not JSON."),
        ("[]", ": found [], expected a row in { }."),
        ('{"contract": 3}', ", contract: found 3, expected 2, the contract of this version."),
        ('{"contract": 2}', ": 'period' is missing."),
        ('{"contract": 2, "period": {"from": 1}}',
         f", period, from: found 1, expected {TYPED_DATE}."),
    ],
)  # fmt: skip
def test_what_is_no_plan_is_a_sentence(text: str, said: str, sentence: Read) -> None:
    assert sentence(text) == said


_WRONG: list[tuple[Place, object, str, str]] = [
    (["sessions", 2, "students"], -5, "sessions, row 3, students: found -5", WHOLE),
    (["sessions", 2, "students"], True, "sessions, row 3, students: found true", WHOLE),
    (["sessions", 2, "students"], 2.5, "sessions, row 3, students: found 2.5", WHOLE),
    (["sessions", 2, "students"], "30", 'sessions, row 3, students: found "30"', WHOLE),
    (["sessions", 0, "sets"], 10**30, "sessions, row 1, sets: found 1" + "0" * 30, WHOLE),
    (["sessions", 0, "session"], None, "sessions, row 1, session: found null", "text"),
    (["sessions", 0, "session"], " ", 'sessions, row 1, session: found " "', "text"),
    (["sessions", 0, "room"], "\x1b[2J", 'sessions, row 1, room: found "\\u001b[2J"',
     "text, or null"),
    (["sessions", 0, "practical"], "\ud800", 'sessions, row 1, practical: found "\\ud800"', "text"),
    (["sessions", 0, "state"], "asleep", 'sessions, row 1, state: found "asleep"',
     "one of done, late, order, make up, covered"),
    (["sessions", 0, "date"], "2027-02-30",
     'sessions, row 1, date: found "2027-02-30"', TYPED_DATE),
    (["sessions", 0, "prepare_by"], "20270305",
     'sessions, row 1, prepare_by: found "20270305"', DATE),
    (["sessions", 0, "start"], "9 o'clock", "sessions, row 1, start: found \"9 o'clock\"",
     "a time like 09:30, or null"),
    (["sessions"], {}, "sessions: found {}", "a list in [ ]"),
    (["sessions", 1], None, "sessions, row 2: found null", "a row in { }"),
    (["sessions", 1], [1], "sessions, row 2: found […]", "a row in { }"),
    (["today"], 20270303, "today: found 20270303", TYPED_DATE),
    (["today"], "0001-01-01", 'today: found "0001-01-01"', TYPED_DATE),
    (["period"], "2027-W10", 'period: found "2027-W10"', "a row in { }"),
    (["making_up", 0, "volume_mL"], "plenty",
     'making_up, row 1, volume_mL: found "plenty"', NUMBER),
    (["making_up", 0, "volume_mL"], float("nan"), "making_up, row 1, volume_mL: found NaN", NUMBER),
    (["making_up", 0, "volume_mL"], float("-inf"), "making_up, row 1, volume_mL: found -Infinity",
     NUMBER),
    (["making_up", 0, "volume_mL"], 1e308, "making_up, row 1, volume_mL: found 1E+308", NUMBER),
    (["making_up", 0, "volume_mL"], 1e-300, "making_up, row 1, volume_mL: found 1E-300", NUMBER),
    (["making_up", 0, "parts", 0, "amount"], -1, "making_up, row 1, parts, row 1, amount: found -1",
     NUMBER),
    (["making_up", 0, "parts", 0, "lots"], "L1", 'making_up, row 1, parts, row 1, lots: found "L1"',
     "a list in [ ]"),
    (["needs", 3, "by_session", 0, "lots"], ["L1", 2],
     "needs, row 4, by_session, row 1, lots, entry 2: found 2", "text"),
    (["stock", 0, "unit"], "pint", 'stock, row 1, unit: found "pint"', "one of g, mL, each"),
    (["orders", 0, "late"], 1, "orders, row 1, late: found 1", "true or false"),
    (["orders", 0, "order_by"], "soon", 'orders, row 1, order_by: found "soon"',
     f"{DATE}, or null"),
    (["waste", 0, "full_on"], ["x" * 99],
     f'waste, row 1, full_on, entry 1: found "{"x" * 38}…', DATE),
    (["apparatus", 0, "at"], "2027-03-08", 'apparatus, row 1, at: found "2027-03-08"',
     "a moment like 2027-02-03T09:30, or null"),
]  # fmt: skip


@pytest.mark.parametrize(("place", "value", "found", "expected"), _WRONG)
def test_nonsense_is_refused_with_its_place_and_what_is_expected(
    *,
    place: Place,
    value: object,
    found: str,
    expected: str,
    rows: dict[str, Any],
    sentence: Read,
) -> None:
    _at(rows, place[:-1])[place[-1]] = value
    assert sentence(json.dumps(rows)) == f", {found}, expected {expected}."


@pytest.mark.parametrize(
    "number", ["9" * 5000, "1e99999999999999999999", "-1e99999999999999999999"]
)
def test_numbers_beyond_all_numbers_are_refused(
    number: str, sample_plan: Plan, sentence: Read
) -> None:
    text = json.dumps(json.loads(plan_json(sample_plan)) | {"today": "2027-03-03"})
    spoilt = text.replace('"makings": 1', f'"makings": {number}', 1)
    assert spoilt != text
    assert f"makings: found {number[:6]}" in sentence(spoilt) or "Infinity" in sentence(spoilt)


def test_apparatus_that_is_short_is_so_from_a_moment_on(
    rows: dict[str, Any], sentence: Read
) -> None:
    rows["apparatus"][0] |= {"short": 2, "at": None}
    assert sentence(json.dumps(rows)) == (
        ", apparatus, row 1, at: found null, and 'short' is not 0."
    )


READ: dict[tuple[str | int, ...], str] = {
    (): "contract period today sessions needs making_up setting_out stock orders deliveries waste "
    "apparatus warnings",
    ("period",): "from to",
    ("sessions", 0): "session practical date start end room students sets state prepare_by",
    ("needs", 0): "item unit by_session",
    ("needs", 0, "by_session", 0): "session amount lots",
    ("making_up", 0): "solution make_on volume_mL makings parts",
    ("making_up", 0, "parts", 0): "item amount lots",
    ("setting_out", 0): "session item containers fill",
    ("stock", 0): "item unit short",
    ("orders", 0): "pack item packs needed_by order_by late for_spare",
    ("deliveries", 0): "pack item reference packs due taken",
    ("waste", 0): "stream containers full_on",
    ("apparatus", 0): "item short at",
    ("warnings", 0): "code about message",
}
"""The keys of an earlier plan that are read, by where they stand."""


@pytest.mark.parametrize(
    ("place", "key"), [(place, key) for place, keys in READ.items() for key in keys.split()]
)
def test_a_key_that_is_missing_is_named_with_its_place(
    place: tuple[str | int, ...], key: str, rows: dict[str, Any], sentence: Read
) -> None:
    del _at(rows, place)[key]
    where = "".join(f", {one}" if isinstance(one, str) else ", row 1" for one in place)
    assert sentence(json.dumps(rows)) == f"{where}: '{key}' is missing."


def test_no_other_keys_are_read(sample_plan: Plan, rows: dict[str, Any], tmp_path: Path) -> None:
    for place, keys in READ.items():
        for holder in _rows_beside(rows, place):
            for key in holder.keys() - set(keys.split()):
                holder[key] = float("nan")
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(rows))
    assert read_earlier_plan(file) == papers_of(sample_plan)


def _rows_beside(rows: object, place: Sequence[str | int]) -> list[Any]:
    """Return all rows of JSON that stand in the same lists as the one at a place."""
    found: list[Any] = [rows]
    for step in place:
        if isinstance(step, int):
            found = [one for inner in found for one in inner]
        else:
            found = [one[step] for one in found]
    return found


def test_a_file_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(ReportError, match="cannot be read"):
        read_earlier_plan(tmp_path / "none.json")


def test_a_folder_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(ReportError) as refused:
        read_earlier_plan(tmp_path)
    assert str(refused.value) == f"{tmp_path} is a folder, not a file. {REMEDY}"

import re
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest

from prepstore.amounts import Amount, Kind
from prepstore.planning.warned import Part, Warned
from prepstore.report.warning_sentences import SENTENCES, warning_in_words
from tests.builders import day

ROOT = Path(__file__).parents[2]


def _said(code: str, **parts: Part) -> str:
    return warning_in_words(Warned(code, "it", parts))


def test_each_code_that_a_plan_yields_has_a_sentence_and_no_sentence_is_left_over() -> None:
    places = (
        "planning/warnings.py", "planning/meeting_warnings.py", "planning/order_warnings.py",
        "planning/collection_warnings.py", "report/left_out.py",
    )  # fmt: skip
    yielded = "".join((ROOT / "prepstore" / place).read_text("utf-8") for place in places)
    codes = set(re.findall(r'Warned\(\s*"([a-z-]+)"|return "([a-z-]+)"', yielded))
    assert {one or other for one, other in codes} == set(SENTENCES)


def test_each_code_has_its_heading_in_the_reference() -> None:
    text = (ROOT / "docs" / "reference" / "warnings.md").read_text(encoding="utf-8")
    assert re.findall(r"^### (.+)$", text, re.MULTILINE) == list(SENTENCES)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (day("03-08"), "Mon 8 Mar 2027"),
        (datetime(2027, 3, 8, 9, 5), "Mon 8 Mar 2027, 09:05"),  # noqa: DTZ001 - a timetable's
        (Amount(Decimal("1500.0000000001"), Kind.MASS), "1500 g"),
        (Amount(Decimal("635.9899757"), Kind.VOLUME), "636 mL"),
        (Amount(Decimal("12345.6"), Kind.VOLUME), "12346 mL"),
        (Amount(Decimal("0.00123456"), Kind.MASS), "0.001235 g"),
        (Amount(Decimal(0), Kind.MASS), "0 g"),
        (Decimal("45.5"), "45.50"),
        (("Mon am", "Tue pm"), "Mon am, Tue pm"),
        (3, "3"),
    ],
)
def test_parts_are_said_as_people_say_them(part: Part, words: str) -> None:
    assert _said("room-taken-twice", other=part, room="Lab", day="x").startswith(
        f"It overlaps with {words} in Lab"
    )


def test_an_overdue_delivery_has_its_reference_where_there_is_one() -> None:
    of_order = _said("delivery-overdue", packs=2, pack="P1", reference="PO 7", due=day("02-01"))
    assert of_order.startswith("2 x P1 (PO 7) was due on Mon 1 Feb 2027")
    bare = _said("delivery-overdue", packs=2, pack="P1", reference=None, due=day("02-01"))
    assert bare.startswith("2 x P1 was due")


def test_a_lot_for_a_peroxide_test_is_opened_or_received_and_tested_or_not() -> None:
    days = {"due": day("02-01"), "used": day("02-03")}
    opened = {"opened": day("01-04"), "received": day("01-02"), "tested": None}
    assert "(opened Mon 4 Jan 2027) must be" in _said(
        "peroxide-test-due", lot="L", **opened, **days
    )
    sealed = {"opened": None, "received": day("01-02"), "tested": day("01-03")}
    told = _said("peroxide-test-due", lot="L", **sealed, **days)
    assert "(received Sat 2 Jan 2027, last tested Sun 3 Jan 2027) must be" in told


@pytest.mark.parametrize(("there", "words"), [(1, "there is only 1"), (2, "there are only 2")])
def test_containers_that_are_there_are_counted(there: int, words: str) -> None:
    assert words in _said("waste-containers-short", wanted=3, in_hand=there)

"""Tables 3.4.5 to 3.9.4 and 5.1 of Annex I: one ingredient, one limit."""

from datetime import date
from decimal import Decimal

import pytest

from prepstore.safety.classes.given import Mixture, PhysicalForm
from tests.safety.classes.made import mixed, own, part, reasons, row

GENERIC = [
    ("Resp. Sens. 1", "H334", "1"), ("Resp. Sens. 1A", "H334", "0.1"),
    ("Resp. Sens. 1B", "H334", "1"), ("Skin Sens. 1", "H317", "1"),
    ("Skin Sens. 1A", "H317", "0.1"), ("Skin Sens. 1B", "H317", "1"),
    ("Muta. 1A", "H340", "0.1"), ("Muta. 1B", "H340", "0.1"), ("Muta. 2", "H341", "1"),
    ("Carc. 1A", "H350", "0.1"), ("Carc. 1B", "H350", "0.1"), ("Carc. 2", "H351", "1"),
    ("Repr. 1A", "H360", "0.3"), ("Repr. 1B", "H360", "0.3"), ("Repr. 2", "H361", "3"),
    ("Lact.", "H362", "0.3"), ("Ozone 1", "H420", "0.1"), ("STOT SE 1", "H370", "10"),
    ("STOT SE 2", "H371", "10"), ("STOT RE 1", "H372", "10"), ("STOT RE 2", "H373", "10"),
    ("ED HH 1", "EUH380", "0.1"), ("ED HH 2", "EUH381", "1"), ("ED ENV 1", "EUH430", "0.1"),
    ("ED ENV 2", "EUH431", "1"), ("PBT", "EUH440", "0.1"), ("vPvB", "EUH441", "0.1"),
    ("PMT", "EUH450", "0.1"), ("vPvM", "EUH451", "0.1"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "code", "limit"), GENERIC)
def test_a_class_holds_from_its_generic_limit(name: str, code: str, limit: str) -> None:
    just_below = str(Decimal(limit) - Decimal("0.0001"))
    assert name in mixed(own("one", limit, row(name, code))).classes
    assert name not in mixed(own("one", just_below, row(name, code))).classes


@pytest.mark.parametrize(("name", "code", "limit"), GENERIC)
def test_a_specific_limit_stands_in_its_place(name: str, code: str, limit: str) -> None:
    higher = str(Decimal(limit) * 2)
    assert name not in mixed(own("one", limit, row(name, code, higher))).classes
    assert name in mixed(own("one", higher, row(name, code, higher))).classes


def test_two_below_the_limit_are_not_added_up() -> None:
    parts = [own(name, "0.09", row("Carc. 1B", "H350")) for name in "ab"]
    assert mixed(*parts).classes == ()


@pytest.mark.parametrize(
    ("name", "h_code", "second", "second_code"),
    [("STOT SE 1", "H370", "STOT SE 2", "H371"), ("STOT RE 1", "H372", "STOT RE 2", "H373")],
)
def test_the_first_category_gives_the_second_from_1_percent(
    name: str, h_code: str, second: str, second_code: str
) -> None:
    first = row(name, h_code)
    assert mixed(own("one", "1", first)).h_codes == (second_code,)
    assert mixed(own("one", "9.9999", first)).classes == (second,)
    assert mixed(own("one", "0.9999", first)).classes == ()
    own_band = row(second, second_code, "3", "10")
    assert mixed(own("one", "2.9999", first, own_band)).classes == ()


def test_the_most_severe_of_a_kind_stands_alone() -> None:
    parts = (own("a", "2", row("Carc. 2", "H351")), own("b", "1", row("Carc. 1B", "H350")))
    assert mixed(*parts).classes == ("Carc. 1B",)
    parts = (
        own("a", "2", row("Skin Sens. 1B", "H317")),
        own("b", "2", row("Skin Sens. 1", "H317")),
    )
    assert mixed(*parts).classes == ("Skin Sens. 1",)


@pytest.mark.parametrize(
    ("codes", "expected"),
    [
        (("Repr. 1B H360F", "Repr. 1B H360D"), "H360FD"),
        (("Repr. 1B H360D", "Repr. 2 H361f"), "H360Df"),
        (("Repr. 1B H360F", "Repr. 2 H361d"), "H360Fd"),
        (("Repr. 1B H360FD", "Repr. 2 H361d"), "H360FD"),
        (("Repr. 2 H361f", "Repr. 2 H361d"), "H361fd"),
        (("Repr. 1B H360", "Repr. 1B H360D"), "H360"),
    ],
)
def test_statements_for_reproduction_are_told_as_one(codes: tuple[str, str], expected: str) -> None:
    """The combinations that Annex VI, Table 1.2 has."""
    parts = [own(f"{at}", "5", row(*text.rsplit(" ", 1))) for at, text in enumerate(codes)]
    assert mixed(*parts).h_codes == (expected,)


def test_cancer_by_any_route_takes_in_cancer_by_breathing() -> None:
    parts = (own("a", "1", row("Carc. 1B", "H350")), own("b", "1", row("Carc. 1B", "H350i")))
    assert mixed(*parts).h_codes == ("H350",)
    assert mixed(parts[1]).h_codes == ("H350i",)


BORIC, BORAX = "10043-35-3", "1303-96-4"


def test_boron_compounds_are_added_up_by_note_11() -> None:
    parts = (part(BORIC, "0.2", "boric acid"), part(BORAX, "0.1", "borax"))
    result = mixed(*parts)
    assert (result.classes, result.h_codes) == (("Repr. 1B",), ("H360FD",))
    assert "note 11" in reasons(result, "Repr. 1B")
    assert mixed(*parts, on=date(2025, 1, 31)).classes == ()
    assert mixed(parts[0], part(BORAX, "0.0999")).classes == ()


def test_note_11_goes_by_the_number_alone_whatever_rows_an_item_has() -> None:
    renamed = own("house acid", "0.3", row("Eye Irrit. 2", "H319"), cas=BORIC)
    assert mixed(renamed).classes == ("Repr. 1B",)
    toluene_like = own("other", "5", row("Repr. 2", "H361d"))
    assert mixed(renamed, toluene_like).classes == ("Repr. 1B",)
    first = own("first", "5", row("Repr. 1A", "H360Df"))
    assert mixed(renamed, first).classes == ("Repr. 1A",)
    assert mixed(renamed, first).h_codes == ("H360FD",)


def test_a_gas_that_makes_breathing_allergic_counts_from_a_fifth_of_a_percent() -> None:
    gas = Mixture(physical_form=PhysicalForm.GAS)
    allergen = own("one", "0.2", row("Resp. Sens. 1", "H334"))
    assert mixed(allergen, mixture=gas).classes == ("Resp. Sens. 1",)
    assert mixed(allergen).classes == ()

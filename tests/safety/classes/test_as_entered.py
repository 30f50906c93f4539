import pytest

from prepstore.safety.classes.as_entered import classes_of_statements
from prepstore.safety.classes.label import pictograms, signal_word


@pytest.mark.parametrize(
    ("codes", "signs", "word"),
    [
        ("H225 H319 H336", "GHS02 GHS07", "Danger"),  # propanone, Annex VI 606-001-00-8
        ("H290 H314 H335", "GHS05 GHS07", "Danger"),  # hydrochloric acid, as suppliers label it
        ("H302 H318 H410", "GHS05 GHS07 GHS09", "Danger"),  # copper sulfate, before 2026
        ("H301 H311 H331 H370 H225", "GHS02 GHS06 GHS08", "Danger"),  # methanol, 603-001-00-X
        ("H272 H302", "GHS03 GHS07", "Danger"),
        ("H228", "GHS02", "Danger"),
        ("H280", "GHS04", "Warning"),
        ("H360FD", "GHS08", "Danger"),
        ("H361fd", "GHS08", "Warning"),
        ("H300+H310", "GHS06", "Danger"),
        ("H412", "", None),
        ("H999", "", None),
        ("", "", None),
    ],
)
def test_statements_have_the_label_elements_of_their_classes(
    codes: str, signs: str, word: str | None
) -> None:
    """Regulation (EC) No 1272/2008, Annex I and Annex VI, Table 3 (pictograms as printed there)."""
    classes = classes_of_statements(codes.split())
    assert (" ".join(pictograms(classes)), signal_word(classes)) == (signs, word)


def test_the_stricter_class_stands_where_a_statement_has_several() -> None:
    assert classes_of_statements(["H272"]) == ("Ox. Liq. 2",)

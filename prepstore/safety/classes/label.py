"""What a label shows for classes: signal word and pictograms.

Source:
    Regulation (EC) No 1272/2008, Annex I, the tables of label elements; Article 20(3) (Danger
    stands without Warning) and Article 26 (precedence of pictograms).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from prepstore.safety.data_files import rows_of

_SKULL, _CORROSION, _EXCLAMATION, _HEALTH = "GHS06", "GHS05", "GHS07", "GHS08"
_SKIN_AND_EYE: Final = ("Skin Irrit. 2", "Eye Irrit. 2")


@dataclass(frozen=True, slots=True)
class Elements:
    """The signal word and pictograms of one class, before precedence."""

    signal_word: str
    pictograms: tuple[str, ...]


@cache
def label_elements() -> Mapping[str, Elements]:
    """Return the label elements by class; one that is not here has neither."""
    return {
        row["hazard_class"]: Elements(row["signal_word"], tuple(row["pictograms"].split()))
        for row in rows_of("label_elements.csv")
    }


def signal_word(classes: Iterable[str]) -> str | None:
    """Return `Danger`, `Warning` or None for classes.

    >>> signal_word(["Skin Irrit. 2", "Carc. 1B"])
    'Danger'
    """
    words = {label_elements()[one].signal_word for one in classes if one in label_elements()}
    return next((word for word in ("Danger", "Warning") if word in words), None)


def pictograms(classes: Iterable[str]) -> tuple[str, ...]:
    """Return the pictograms of classes, sorted, after the precedence of Article 26.

    Those that Article 26(1)(a) and (e) make optional (GHS02 and GHS03 beside GHS01, GHS04 beside
    GHS02 or GHS06) are shown, as Annex VI shows them.

    >>> pictograms(["Skin Corr. 1B", "Eye Irrit. 2", "Aquatic Acute 1"])
    ('GHS05', 'GHS09')
    """
    shown = set(classes)
    wanted = {one: label_elements()[one].pictograms for one in shown if one in label_elements()}
    every = {sign for signs in wanted.values() for sign in signs}
    return tuple(
        sorted(
            {
                sign
                for one, signs in wanted.items()
                for sign in signs
                if sign != _EXCLAMATION or not _is_covered(one, shown, every)
            }
        )
    )


def _is_covered(one: str, shown: set[str], every: set[str]) -> bool:
    """Return whether another pictogram takes the place of the exclamation mark of a class."""
    if _SKULL in every:
        return True  # Article 26(1)(b)
    if one in _SKIN_AND_EYE and _CORROSION in every:
        return True  # Article 26(1)(c)
    breathed = any(name.startswith("Resp. Sens.") for name in shown)
    if breathed and (one in _SKIN_AND_EYE or one.startswith("Skin Sens.")):
        return True  # Article 26(1)(d)
    # Article 26(2): one hazard class shows the pictogram of its most severe category.
    return one == "STOT SE 3" and bool(shown & {"STOT SE 1", "STOT SE 2"})


_COVERED_BY: Final = {"H400": "H410", "H318": "H314"}


def shown_statements(h_codes: Iterable[str]) -> tuple[str, ...]:
    """Return hazard statements, sorted, without one that another takes in (Article 27).

    >>> shown_statements(["H410", "H400", "H302"])
    ('H302', 'H410')
    """
    codes = set(h_codes)
    return tuple(sorted(code for code in codes if _COVERED_BY.get(code) not in codes))

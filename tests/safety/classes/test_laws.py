"""Laws of classification: diluting, splitting, and the order of the parts."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from prepstore.safety.classes.classified import Classified, classified
from prepstore.safety.classes.entries import harmonised_entries
from prepstore.safety.classes.given import Ingredient, Mixture
from tests.safety.classes.made import TODAY

# Glutaral is left out: its STOT SE 3 ends at 5 %, where it is corrosive (Annex VI, 605-022-00-X).
CAS = sorted(set(harmonised_entries().by_cas) - {"111-30-8"})
LADDERS = (
    ("Skin Irrit. 2", "Skin Corr. 1"), ("Eye Irrit. 2", "Eye Dam. 1", "Skin Corr. 1"),
    ("Muta. 2", "Muta. 1"), ("Carc. 2", "Carc. 1"), ("Repr. 2", "Repr. 1"), ("Lact.",),
    ("STOT SE 2", "STOT SE 1"), ("STOT SE 3",), ("STOT RE 2", "STOT RE 1"), ("Asp. Tox. 1",),
    ("Skin Sens. 1",), ("Resp. Sens. 1",), ("Aquatic Acute 1",), ("Ozone 1",),
    ("Aquatic Chronic 4", "Aquatic Chronic 3", "Aquatic Chronic 2", "Aquatic Chronic 1"),
    ("Acute Tox. 4", "Acute Tox. 3", "Acute Tox. 2", "Acute Tox. 1"),
    ("Ox. Liq. 3", "Ox. Liq. 2", "Ox. Liq. 1"),
)  # fmt: skip
KNOWN = Mixture(viscosity=Decimal(1))

parts = st.lists(
    st.tuples(st.sampled_from(CAS), st.decimals("0.001", "24", places=3)), min_size=1, max_size=4
)


def _classes(shares: list[tuple[str, Decimal]]) -> Classified:
    mixture = [Ingredient(cas, percent, cas) for cas, percent in shares]
    return classified(mixture, KNOWN, TODAY, harmonised_entries())


def _height(result: Classified, ladder: tuple[str, ...]) -> int:
    """Return how far up a ladder a mixture stands; 0: not on it."""
    steps = [
        step
        for step, name in enumerate(ladder, start=1)
        if any(one.startswith(name) for one in result.classes)
    ]
    return max(steps, default=0)


@given(parts, st.decimals("0.05", "0.999", places=3))
@settings(max_examples=150)
def test_diluting_makes_no_class_more_severe(
    shares: list[tuple[str, Decimal]], factor: Decimal
) -> None:
    before = _classes(shares)
    after = _classes([(cas, percent * factor) for cas, percent in shares])
    for ladder in LADDERS:
        assert _height(after, ladder) <= _height(before, ladder), ladder


@given(parts, st.decimals("0.01", "0.99", places=2))
@settings(max_examples=100)
def test_splitting_a_part_over_two_bottles_changes_nothing(
    shares: list[tuple[str, Decimal]], share: Decimal
) -> None:
    (cas, percent), *others = shares
    split = [(cas, percent * share), (cas, percent * (1 - share)), *others]
    assert _classes(split) == _classes(shares)


@given(parts.flatmap(lambda shares: st.tuples(st.just(shares), st.permutations(shares))))
@settings(max_examples=100)
def test_the_order_of_the_parts_changes_nothing(
    both: tuple[list[tuple[str, Decimal]], list[tuple[str, Decimal]]],
) -> None:
    shares, shuffled = both
    assert _classes(shuffled) == _classes(shares)


@given(parts)
@settings(max_examples=100)
def test_each_class_has_a_reason_and_each_reason_is_of_a_class_or_a_statement(
    shares: list[tuple[str, Decimal]],
) -> None:
    result = _classes(shares)
    told = {one.hazard_class for one in result.because}
    assert told == set(result.classes) | set(result.euh)

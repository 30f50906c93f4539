from prepstore.planning.classified_solutions import SolutionClasses
from prepstore.report.class_words import classes_traced
from prepstore.safety.classes.entries import harmonised_entries
from tests.builders import plan_of
from tests.report.labels.test_label_contents import TABLES


def _traced(item: str) -> list[str]:
    plan = plan_of(**TABLES)
    return list(classes_traced(plan, item, SolutionClasses(plan.catalogue, harmonised_entries())))


def test_a_class_says_its_rule_and_the_shares_it_was_used_on() -> None:
    """By hand: 50 g of NaOH in 1050 g; Skin Corr. 1B from 2 % (Annex VI, 011-002-00-6)."""
    blank, heading, shares, because = _traced("Lye")
    assert blank == ""
    assert heading.startswith("Hazards as made on Tue 2 Feb 2027, calculated by Regulation (EC)")
    assert shares == "  by mass: water 95.24 %; alkali 4.762 %"
    assert because.startswith("  Skin Corr. 1B: Annex I, Table 3.2.3")


def test_what_is_not_made_up_has_none() -> None:
    assert _traced("brine") == _traced("spirit") == []


def test_what_is_open_says_why() -> None:
    plan = plan_of(**TABLES | {"stock": "lot,item,amount\nW,water,9 L"})
    classes = SolutionClasses(plan.catalogue, harmonised_entries())
    lines = list(classes_traced(plan, "brine", classes))
    assert lines[3] == "  no class"
    assert lines[4].startswith("  not decided, no entry in force (salt): Nothing holds for it on")

"""Classes of solutions, from tables to the label; limits are those of Annex VI, by the act."""

from datetime import date
from decimal import Decimal

from prepstore.cell_types import fold
from prepstore.planning.classified_solutions import ClassifiedSolution, SolutionClasses
from prepstore.safety.classes.entries import harmonised_entries
from tests.builders import facts_from

TABLES = {
    "items": """
        item,         kind,       unit, cas,        formula,     strength, density, acid_or_base
        acid,         reagent,    mL,   7647-01-0,  HCl,         37 % w/w, 1.18,    strong acid 1
        alkali,       reagent,    g,    1310-73-2,  NaOH,        ,         ,        strong base 1
        blue salt,    reagent,    g,    7758-99-8,  CuSO4·5H2O,  ,         ,
        own,          reagent,    g,    ,           ,            ,         ,
        heavy,        solvent,    mL,   75-09-2,    CH2Cl2,      ,         ,
        water,        solvent,    mL,   7732-18-5,  H2O,         ,         1,""",
    "solutions": """
        solution,      density, pH, flash_point, viscosity
        acid 10,       ,        ,   ,
        acid 9,        ,        ,   ,
        alkali 2,      1,       ,   ,
        alkali 0.1,    1,       13, ,
        measured,      1,       7,  ,
        blue,          1,       ,   ,
        own mixture,   1,       7,  ,
        odd,           ,        ,   ,""",
    "solution_parts": """
        solution,    item,      amount
        acid 10,     acid,      {acid}
        acid 10,     water,     to volume
        acid 9,      acid,      100 mL/L
        acid 9,      water,     to volume
        alkali 2,    alkali,    20 g/L
        alkali 2,    water,     to volume
        alkali 0.1,  alkali,    4 g/L
        alkali 0.1,  water,     to volume
        measured,    alkali,    4 g/L
        measured,    water,     to volume
        blue,        blue salt, 100 g/L
        blue,        water,     to volume
        own mixture, own,       40 g/L
        own mixture, water,     to volume
        odd,         heavy,     100 mL/L
        odd,         water,     to volume""",
    "hazard_limits": """
        item, class,        h_code, from, below, m_factor, ate, form, in_force,   source
        own,  Skin Corr. 1, H314,   5 %,  ,      ,         ,    ,     2026-01-01, own test
        own,  Skin Irrit. 2,H315,   1,    5,     ,         ,    ,     2026-01-01, own test
        own,  Skin Irrit. 2,H315,   4.1 %, ,     ,         ,    ,     2028-01-01, own test""",
}


def solution(name: str, on: str = "2027-02-03", acid: str = "240 mL/L") -> ClassifiedSolution:
    tables = {table: text.format(acid=acid) for table, text in TABLES.items()}
    goods = facts_from(tables).catalogue
    classes = SolutionClasses(goods, harmonised_entries())
    found = classes.of(fold(name), date.fromisoformat(on))
    assert classes.of(fold(name), date.fromisoformat(on)) is found
    return found


def test_a_concentrated_acid_counts_with_the_substance_in_it() -> None:
    """By hand: 240 mL of acid are 283.2 g with 104.784 g of HCl; 760 g of water: 10.044 %.

    Annex VI, 017-002-01-X: Skin Irrit. 2, Eye Irrit. 2 and STOT SE 3 from 10 %.
    """
    found = solution("acid 10")
    assert round(found.percent["acid"], 3) == Decimal("10.044")
    assert list(found.percent) == ["water", "acid"]
    assert found.classified.classes == ("Eye Irrit. 2", "STOT SE 3", "Skin Irrit. 2")
    assert found.classified.signal_word == "Warning"
    assert solution("acid 9").classified.classes == ()


def test_an_acid_or_base_without_a_ph_leaves_it_open() -> None:
    """By hand: 2 % of NaOH; Annex VI, 011-002-00-6: Skin Corr. 1B from 2 %."""
    assert "Skin Corr. 1B" in solution("alkali 2").classified.classes
    open_of = [(one.what, one.item) for one in solution("acid 9").classified.undecided]
    assert ("extreme pH", "acid") in open_of
    thin = solution("alkali 0.1").classified
    assert thin.classes == ()
    assert "extreme pH" in [one.what for one in thin.undecided]
    assert solution("measured").classified.undecided == ()


def test_a_hydrate_goes_by_the_salt_without_its_water() -> None:
    """By hand: 10 % of CuSO4·5H2O are 6.39 % of CuSO4 (159.61 of 249.68 g/mol).

    Regulation (EU) 2024/2564, ATP 21: copper sulfate has Eye Dam. 1, which is from 3 % on.
    """
    found = solution("blue")
    assert found.percent["blue salt"] == 10
    assert "Eye Dam. 1" in found.classified.classes
    assert not any(one.what == "no entry in force" for one in found.classified.undecided)


def test_the_department_s_own_limits_hold_from_their_day() -> None:
    # Table 3.3.3: Skin Corr. 1 counts for the eyes from 3 % on, whatever its limit for skin.
    assert solution("own mixture").classified.classes == ("Eye Dam. 1", "Skin Irrit. 2")
    later = solution("own mixture", "2028-01-01").classified
    assert later.classes == ()  # 4 % is below the limit that holds then
    before = solution("own mixture", "2025-12-31").classified
    assert [(one.what, one.item) for one in before.undecided] == [("no entry in force", "own")]


def test_a_liquid_without_a_density_is_named() -> None:
    found = solution("odd")
    (named,) = [one for one in found.classified.undecided if one.item == "heavy"]
    assert "has no density" in named.why
    assert found.percent == {"water": Decimal(90), "heavy": Decimal(10)}


def test_the_limit_itself_is_where_it_begins() -> None:
    """By hand: x mL of acid in a litre are 0.4366 x g of 1000 + 0.18 x g: 10 % at 238.89 mL."""
    assert "Skin Irrit. 2" not in solution("acid 10", acid="238.8 mL/L").classified.classes
    assert "Skin Irrit. 2" in solution("acid 10", acid="238.9 mL/L").classified.classes

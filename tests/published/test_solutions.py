"""Solutions and dilutions against textbooks, commercial acids, and buffer tables.

Sources stand in the last column of solution_examples.csv, concentrates.csv, stock_solutions.csv and
buffers.csv, or in the docstring of a test.
"""

from decimal import Decimal

import periodictable
import pytest

from prepstore.amounts import Kind
from prepstore.chemistry.conversions import Material, in_unit, turned
from prepstore.chemistry.formulae import molar_mass
from prepstore.chemistry.routes import Route
from prepstore.chemistry.solutions import Ingredient, amount_for, amounts_for
from prepstore.tables.units import read_amount, read_concentration
from tests.builders import material, number, part
from tests.published.rows import Row, half_a_unit, in_figures, rows_of


def _item(row: Row, **cells: str) -> Material:
    named = {
        "formula": row.get("formula", ""),
        "unit": row.get("unit", "g"),
        "strength": row.get("strength", ""),
        "density": row.get("density_g_per_mL", ""),
        **cells,
    }
    return material(**{name: text for name, text in named.items() if text})


def _taken(of: Material, wanted: str, volume_ml: object, density: str = "") -> Decimal:
    known = number(density) if density else None
    everything = (part(of, wanted),)
    return amounts_for(everything, number(volume_ml), known)[0]


EXAMPLES = rows_of("solution_examples")


@pytest.mark.parametrize("row", EXAMPLES, ids=[f"{r['wanted']} {r['formula']}" for r in EXAMPLES])
def test_a_textbook_solution_takes_what_the_book_says(row: Row) -> None:
    """To half a unit in the last figure of the answer that the book prints, and no further."""
    of = _item(row)
    ours = _taken(of, row["wanted"], row["volume_mL"], row["solution_density_g_per_mL"])
    book = in_unit(of, read_amount(row["takes"]))
    assert ours == pytest.approx(book, rel=half_a_unit(row[row["published"]]))


def test_a_book_with_another_molar_mass_of_cobalt_chloride_differs_by_just_that() -> None:
    """6.52 g in 75.0 mL is 0.674 mol/L with the 128.9 g/mol that the book prints.

    Source:
        OpenStax, Chemistry 2e, 2019, Example 3.16, check. 128.9 is a misprint or an older table:
        CoCl2 is 129.839 by IUPAC 2021, and the same mass then 0.670 mol/L.
    """
    cobalt_chloride = material(formula="CoCl2")
    ours = _taken(cobalt_chloride, "0.674 mol/L", "75.0")
    assert ours == pytest.approx(
        number("6.52") * number("129.839") / number("128.9"), rel=half_a_unit("0.674")
    )
    assert ours != pytest.approx(number("6.52"), rel=half_a_unit("0.674"))
    assert _taken(cobalt_chloride, "0.670 mol/L", "75.0") == pytest.approx(
        number("6.52"), rel=half_a_unit("6.52")
    )


def test_glucose_in_mmol_per_litre_and_in_mg_per_decilitre_is_the_same_solution() -> None:
    """Source: OpenStax, Chemistry 2e, 2019, Ch. 3 exercise 75: 5.3 mmol/L is 95 mg/dL."""
    glucose = material(formula="C6H12O6")
    by_moles, by_mass = (_taken(glucose, text, 1000) for text in ("5.3 mmol/L", "95 mg/dL"))
    assert by_moles == pytest.approx(by_mass, rel=half_a_unit("95"))


@pytest.mark.parametrize("as_", ["Cu", "CuSO4"])
def test_copper_weighed_as_its_pentahydrate_is_more_by_the_ratio_of_molar_masses(as_: str) -> None:
    """150.0 ppm takes 0.1500 g of the metal; of the pentahydrate, M(CuSO4·5H2O) / M(Cu) as much.

    Source:
        Harvey, Analytical Chemistry 2.1, Example 2.5.1 (b), for the metal; molar masses of
        periodictable (pypi.org/project/periodictable) for the ratio.
    """
    bottle = material(formula="CuSO4·5H2O")
    mass = {
        name: periodictable.formula(name.replace("·", "+")).mass
        for name in ("Cu", "CuSO4", "CuSO4·5H2O")
    }
    (ours,) = amounts_for((part(bottle, "150.0 ppm", as_=as_),), number(1000), None)
    assert float(ours) == pytest.approx(0.1500 * mass["CuSO4·5H2O"] / mass[as_], rel=3e-5)


CONCENTRATES = rows_of("concentrates")


@pytest.mark.parametrize("row", CONCENTRATES, ids=[row["name"] for row in CONCENTRATES])
def test_a_mole_of_a_commercial_acid_or_base_is_in_the_published_volume(row: Row) -> None:
    """To 0.5 %: the table truncates (11.65 mol/L of hydrochloric acid stands as 11.6)."""
    ours = 1000 / in_unit(_item(row, unit="mL"), read_amount("1 mol"))
    assert number(row["least_mol_per_L"]) * number("0.995") <= ours
    assert ours <= number(row["most_mol_per_L"]) * number("1.005")


STOCKS = rows_of("stock_solutions")
SLIPS = {"71.64", "9.073"}
"""Printed masses that do not follow from what is printed beside them; each has its own test."""


@pytest.mark.parametrize(
    "row",
    [row for row in STOCKS if row["grams_per_litre"] not in SLIPS],
    ids=lambda row: f"{row['concentration']} {row['formula']}",
)
def test_a_litre_of_stock_solution_takes_the_printed_mass(row: Row) -> None:
    """Where the page prints an older molar mass, its figure is first brought to ours."""
    ours = _taken(_item(row), row["concentration"], 1000)
    printed = number(row["grams_per_litre"])
    if row["printed_molar_mass"]:
        printed *= molar_mass(row["formula"]) / number(row["printed_molar_mass"])
    assert ours == pytest.approx(printed, rel=half_a_unit(row["grams_per_litre"]))


def _stock_printed(grams_per_litre: str) -> Row:
    return next(row for row in STOCKS if row["grams_per_litre"] == grams_per_litre)


def test_a_page_multiplies_its_own_molar_mass_wrongly_in_the_last_place() -> None:
    """0.2 mol/L × 358.14 g/mol is 71.63 g/L, and the page prints 71.64 beside 358.14."""
    row = _stock_printed("71.64")
    ours = _taken(_item(row), row["concentration"], 1000)
    assert in_figures(ours, 4) == in_figures(number(row["printed_molar_mass"]) / 5, 4)
    assert in_figures(ours, 4) == number("71.63")


def test_a_page_prints_a_mass_between_its_two_readings_of_m_15() -> None:
    """M/15 is printed as 0.0667 mol/L, which is a little more; 9.073 g/L lies between the two."""
    row = _stock_printed("9.073")
    fifteenth, printed = (
        _taken(_item(row), text, 1000) for text in (row["concentration"], "0.0667 mol/L")
    )
    assert in_figures(fifteenth, 4) == number("9.072")
    assert in_figures(printed, 4) == number("9.077")
    assert fifteenth < number(row["grams_per_litre"]) < printed


@pytest.mark.parametrize(
    ("volumes", "percent", "molar"), [("10 vol", "3.03", "0.89"), ("10 vol", "3.03", "0.893")]
)
def test_ten_volume_peroxide_is_about_three_per_cent(
    volumes: str, percent: str, molar: str
) -> None:
    """Source: chemzipper.com/2018/10/volume-strength-of-h2o2aq.html, 22.4 L/mol.

    The page cuts 3.036 % w/v to 3.03, so that figure is held to one in its last place.
    """
    peroxide = material(unit="mL", formula="H2O2", strength=volumes)
    of_mass = _taken(peroxide, f"{percent} % w/v", 1000)
    of_moles = _taken(peroxide, f"{molar} mol/L", 1000)
    assert of_mass == pytest.approx(number(1000), rel=2 * half_a_unit(percent))
    assert of_moles == pytest.approx(number(1000), rel=half_a_unit(molar))


@pytest.mark.parametrize(("label", "volumes"), [("6 % w/v", "20 vol"), ("3 % w/v", "10 vol")])
def test_the_label_equivalence_of_peroxide_is_nominal(label: str, volumes: str) -> None:
    """6 % is sold as 20 volumes and is 19.8 by 22.4 L/mol: between one and two per cent apart.

    Source: safety data sheet of medicinal grades, msdssafe.com/enmsds-17720.html.
    """
    peroxide = material(unit="mL", formula="H2O2", strength=volumes)
    apart = abs(_taken(peroxide, label, 1000) / 1000 - 1)
    assert number("0.01") < apart < number("0.02")


BUFFERS = rows_of("buffers")
MISPRINT = "19.5"
"""A page prints 81.5 + 19.5 mL + water 100 for 200 mL; the table of 1992 doubled gives 18.5."""

SOUND = [row for row in BUFFERS if row["base_form_mL"] != MISPRINT]


def _molar(stock: str) -> Decimal:
    words = stock.replace("(", " ").split()
    return number(next(word for word in words if word[0].isdigit()))


def _stock(row: Row, form: str) -> Material:
    return material(unit="mL", formula="NaCl", strength=f"{_molar(row[form])} mol/L")


@pytest.mark.parametrize("row", SOUND, ids=[f"{r['buffer']} {r['pH']}" for r in SOUND])
def test_a_buffer_of_two_stock_solutions_and_water_to_volume_takes_its_table(row: Row) -> None:
    """The finished concentrations are worked out here, c V(stock) / V; water is what is left."""
    wanted = []
    for form in ("acid_form", "base_form"):
        finished = _molar(row[form]) * number(row[f"{form}_mL"]) / number(row["volume_mL"])
        wanted.append(part(_stock(row, form), f"{finished:.9f} mol/L"))
    water = part(material("water", unit="mL"), "to volume")
    ours = amounts_for((*wanted, water), number(row["volume_mL"]), None)
    table = [number(row[column]) for column in ("acid_form_mL", "base_form_mL", "water_mL")]
    assert list(ours) == pytest.approx(table, abs=number("1e-5"))


@pytest.mark.parametrize("row", SOUND, ids=[f"{r['buffer']} {r['pH']}" for r in SOUND])
def test_a_buffer_by_parts_takes_its_table(row: Row) -> None:
    columns = [name for name in ("acid_form_mL", "base_form_mL", "water_mL") if row[name] != "0"]
    parts = tuple(part(material(unit="mL"), f"{row[name]} parts") for name in columns)
    ours = amounts_for(parts, number(row["volume_mL"]), None)
    assert list(ours) == pytest.approx([number(row[name]) for name in columns])


def test_the_misprint_of_a_buffer_chart_shows_as_water_that_is_missing() -> None:
    row = next(row for row in BUFFERS if row["base_form_mL"] == MISPRINT)
    older = next(r for r in BUFFERS if r["pH"] == row["pH"] and r["volume_mL"] == "100")
    water = part(material("water", unit="mL"), "to volume")

    def left_for_water(base_form_ml: Decimal) -> Decimal:
        per_litre = [1000 * ml / 200 for ml in (number(row["acid_form_mL"]), base_form_ml)]
        stocks = [part(material(unit="mL"), f"{ml} mL/L") for ml in per_litre]
        return amounts_for((*stocks, water), number(200), None)[2]

    assert left_for_water(number(row["base_form_mL"])) == number(row["water_mL"]) - 1
    assert left_for_water(2 * number(older["base_form_mL"])) == number(row["water_mL"])


DENSITIES = rows_of("densities")


@pytest.mark.parametrize("row", DENSITIES, ids=[row["name"] for row in DENSITIES])
def test_a_hundred_grams_of_a_solvent_that_sinks_are_less_than_a_hundred_millilitres(
    row: Row,
) -> None:
    """A denser liquid is the lower layer on water. See the last column: some have no source."""
    volume = turned(_item(row, unit="mL"), Route(number(100)), Kind.MASS).number
    assert (volume < 100) is (row["on_water"] == "sinks")


def test_seventy_per_cent_ethanol_from_ninety_six_is_seventy_over_ninety_six_of_the_volume() -> (
    None
):
    """V = V(finished) × 70 / 96, contraction left out: 729 mL a litre.

    Source:
        Common practice of dilution tables by volume before the contraction is corrected for; no
        source. The ratio is the definition of % v/v.
    """
    ethanol = Ingredient(material(unit="mL", strength="96 % v/v"), read_concentration("70 % v/v"))
    ours = amount_for(ethanol, number(1000), density=None, all_parts=number(0)).number
    assert ours == pytest.approx(number("729.1666667"), rel=number("1e-9"))

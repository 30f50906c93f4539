import pytest

from prepstore.chemistry.water import is_water
from prepstore.facts import Item
from tests.builders import facts_from


def _item(name: str, cas: str = "", formula: str = "") -> Item:
    table = f"item,kind,unit,cas,formula\n{name},solvent,mL,{cas},{formula}"
    (found,) = facts_from({"items": table}).catalogue.items.values()
    return found


@pytest.mark.parametrize(
    ("name", "cas", "formula", "found"),
    [
        ("solvent A", "7732-18-5", "", True),
        ("solvent A", "", "H2O", True),
        ("heavy water", "", "D2O", False),
        ("water", "", "H2O2", False),
        ("Deionised Water", "", "", True),
        ("water", "", "", True),
        ("water", "67-64-1", "", False),
        ("lime water", "", "", False),
        ("waterglass", "", "", False),
    ],
)
def test_water_is_known_by_its_number_its_formula_or_its_name_alone(
    name: str, cas: str, formula: str, found: object
) -> None:
    assert is_water(_item(name, cas, formula)) is found

"""The page of a session, from a small department that reacts."""

from prepstore.planning.classified_solutions import SolutionClasses
from prepstore.planning.plan import Plan
from prepstore.report.session_cautions import CautionsPart, session_cautions
from prepstore.safety.classes.entries import harmonised_entries
from tests.planning.a_waste_room import TABLES, a_waste_room, planned_with


def _parts(session: str, **tables: str) -> dict[str, CautionsPart]:
    return _parts_of(a_waste_room(**tables), session)


def _parts_of(plan: Plan, session: str) -> dict[str, CautionsPart]:
    (work,) = (one for one in plan.works if one.session.session == session)
    classes = SolutionClasses(plan.catalogue, harmonised_entries())
    found = session_cautions(plan, work, classes)
    assert all(part.paragraphs for part in found)
    return {part.heading: part for part in found}


def test_the_page_begins_with_the_session_and_what_it_is_not() -> None:
    head, *_ = _parts("S2").values()
    assert head.heading == "S2 · Q Washing · Tue 2 Feb 2027 · 4 students, 4 groups"
    assert "not a risk assessment" in head.paragraphs[0]


def test_gas_with_what_the_container_holds_is_told_to_those_who_pour() -> None:
    """20 mL of acid beside all that the week sends; 0.4 mol of NaHCO3 give 9.6 L."""
    plan = planned_with("acid waste", "acid")
    washing = _parts_of(plan, "S2")["Waste containers to stand by"].paragraphs
    assert washing[-1] == (
        "in acid waste, with what is in its open container up to 9.6 L of carbon dioxide: let it "
        "off before a funnel or a bottle is closed."
    )
    drying = _parts_of(plan, "S3")["Waste containers to stand by"].paragraphs
    assert "carbon dioxide" not in drying[-1]


def test_items_have_what_is_entered_and_solutions_what_is_calculated() -> None:
    """By hand: thin acid has 4.29 % of HCl, below the 10 % of 017-002-01-X; its pH is open."""
    found = _parts("S2")["On the benches"].paragraphs
    assert found == (
        "thin acid: no class is calculated (calculated; not decided: extreme pH)",
        "bicarb: no hazard codes are entered; see the safety data sheet",
    )


def test_what_has_a_statement_stands_first_those_with_the_same_together() -> None:
    items = "\n".join(
        line.replace(f"{name},", f"{name},{codes},", 1)
        for line in TABLES["items"].strip().splitlines()
        for name, codes in [
            next(
                (
                    (name, codes)
                    for name, codes in (
                        ("item", "hazards"), ("propanone", "H225"), ("chloroform", "H351"),
                        ("powder", "H225"),
                    )
                    if line.strip().startswith(f"{name},")
                ),
                (line.strip().split(",")[0], ""),
            )
        ]
    )  # fmt: skip
    found = _parts("S3", items=items)["On the benches"].paragraphs
    assert found[0] == "powder / propanone: H225 Highly flammable liquid and vapour"
    assert found[1].startswith("chloroform: H351")


def test_what_must_not_meet_on_the_benches_is_named_and_what_was_not_checked() -> None:
    lines = TABLES["practical_lines"] + "\n        R, group, nitric, 1 mL, 0 %, acid waste,"
    found = _parts("S3", practical_lines=lines)["Must not meet on the benches"].paragraphs
    assert found[0].startswith("chloroform with nitric: it gets hot; it may catch fire; a toxic")
    assert "; nitric with propanone: it gets hot; it may catch fire. Keep" in found[0]
    assert found[0].endswith("bring them together only as the script says.")
    assert found[1] == "Not checked, which does not mean safe: powder."
    own = _parts("S2")["Must not meet on the benches"].paragraphs
    assert not any("acid with water" in text for text in own)


def test_gas_waste_and_cautions_have_their_parts() -> None:
    washing = _parts("S2")
    assert washing["Gas"].paragraphs[0].startswith("up to 9.6 L of carbon dioxide, 2.4 L a group")
    waste = washing["Waste containers to stand by"].paragraphs
    assert waste[0] == "acid waste"
    assert waste[1].startswith("in acid waste, ")
    assert "Gas" not in _parts("S3")
    noted = TABLES["practicals"].replace("title", "title,notes").replace("Washing", "Washing,Vent")
    said = _parts(
        "S2", practicals=noted.replace("Oxidising", "Oxidising,").replace("Drying", "Drying,")
    )
    assert said["The script says"].paragraphs == ("Vent",)

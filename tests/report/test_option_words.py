from prepstore.report.option_words import options_in_words
from tests.builders import plan_of
from tests.planning.test_options import BLANK, TABLES, to_dilute


def test_each_option_is_a_sentence_with_its_figures() -> None:
    cells = {**BLANK, "held": "B,salt,15 g,reserved,"}
    tables = {name: text.format(**cells) for name, text in TABLES.items()}
    plan = plan_of(today="2027-01-28", **tables)
    late = next(one for one in plan.sessions if one.work.session.session == "S2")
    assert list(options_in_words(plan, late)) == [
        "salt: 15 g is held back in B (reserved), if it may be used",
        "salt: what is there is enough for 2 of 4 sets, without spare",
        "move it to Wed 10 Feb 2027: all of it can be there, Lab is free then",
    ]


def test_what_could_be_diluted_is_named_with_what_from() -> None:
    plan = to_dilute()
    words = list(options_in_words(plan, plan.sessions[0]))
    assert words[0] == "weak: dilute 200 mL of strong, which is left over, for what is short"

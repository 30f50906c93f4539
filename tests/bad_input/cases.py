"""One mistake a case: what is changed in the small set, and where and how it must be told."""

from dataclasses import dataclass, field

from tests.bad_input.small_set import BASE, with_cell, with_change


@dataclass(frozen=True, slots=True)
class Case:
    """A set with a mistake; `words` all stand in the sentence, and `value` is quoted in it."""

    name: str
    texts: dict[str, str | bytes] = field(repr=False)
    table: str
    row: int
    column: str
    words: tuple[str, ...]


def _cell(table: str, row: int, column: str, text: str, *words: str) -> Case:
    """Return a case of one wrong cell."""
    shown = text if len(text) < 40 else f"{text[:20]}…"
    texts: dict[str, str | bytes] = {**with_cell(table, row, column, text)}
    return Case(f"{table} {row} {column} {shown!r}", texts, table, row, column, words)


def _blank(table: str, row: int, column: str) -> Case:
    return _cell(table, row, column, "", f"{column} is blank", "must be given", "For example")


def _text(
    name: str, change: tuple[str, str, str], place: tuple[str, int, str], *words: str
) -> Case:
    """Return a case of one text changed in one table."""
    texts: dict[str, str | bytes] = {**with_change(*change)}
    return Case(name, texts, *place, words)


def _file(name: str, table: str, content: str | bytes, row: int, *words: str) -> Case:
    """Return a case of a whole file replaced."""
    return Case(name, {**BASE, table: content}, table, row, "", words)


_AMOUNT = "25 mL"

AMOUNTS = [
    _cell("practical_lines", 2, "amount", text, *words)
    for text, *words in [
        ("1,5 mL", "'1,5 mL'", "comma", "1.5 mL"),
        ("1 000 mL", "'1 000 mL'", "space", "1000 mL"),
        ("1\u00a0000 mL", "space", "1000 mL"),
        ("1\u202f000 mL", "space", "1000 mL"),
        ("1,000 mL", "comma"),
        ("1.000,5 mL", "comma"),
        ("3 pcs", "'pcs'", "neither a unit", "Expected one of"),
        ("5 ML", "'ML'", "Did you mean mL?"),
        ("5 N", "'N'", "neither a unit"),
        ("5 mols", "Did you mean"),
        ("2 pinch", "'pinch'"),
        ("25", "has no unit", _AMOUNT),
        ("-25 mL", "negative", "0 or more"),
        ("−25 mL", "negative"),
        ("nan mL", "not a number", _AMOUNT),
        ("inf mL", "not a number"),
        ("NaN", "not a number"),
        ("1E3 mL", "'E3 mL'"),
        ("1e3 mL", "'e3 mL'"),
        ("mL", "not a number"),
        ("25 25 mL", "space"),
        ("3 x mL", "'x mL'"),
        ("x 15 mL", "not a number"),
        ("3 y 15 mL", "'y 15 mL'"),
        ("20 mL +", "not a number"),
        ("+ 20 mL", "not a number"),
        ("20 mL ++ 5 mL", "not a number"),
        ("20 mL - 5 mL", "'mL - 5 mL'"),
        ("½ mL", "not a number"),
        ("٢٥ mL", "not a number"),
        ("２５ mL", "not a number"),
        ("25. mL", "not a number"),
        ("2.5.1 mL", "not a number"),
        ("(25 mL)", "not a number"),
        ("~25 mL", "not a number"),
        ("25 g/L", "'g/L'"),
        ("25 %", "not a number"),
        ("9999999999999 mL", "more than any store"),
        ("9" * 30_000 + " mL", "more than any store"),
        ("999999999 x 999999999 mL", "more than any store"),
        ("600 kmol", "more mL than any store", "Check the number"),
        ("6 each", "kept in mL"),
        ("5 kg + 1 each", "no density"),
    ]
]

CONCENTRATIONS = [
    _cell("solution_parts", 2, "amount", "2", "not a concentration", "0.1 mol/L"),
    _cell("solution_parts", 2, "amount", "0 mol/L", "is too small"),
    _cell("solution_parts", 2, "amount", "-2 mol/L", "negative"),
    _cell("solution_parts", 2, "amount", "2,5 mol/L", "comma"),
    _cell("solution_parts", 2, "amount", "2 mol", "not a concentration"),
    _cell("solution_parts", 2, "amount", "2 N", "not a concentration"),
    _cell("solution_parts", 2, "amount", "2 mol/kg", "not a concentration"),
    _cell("solution_parts", 2, "amount", "g/100 mL", "not a concentration"),
    _cell("solution_parts", 2, "amount", "120 % w/w", "more than 100 %"),
    _cell("solution_parts", 2, "amount", "5 %", "per cent of what", "5 % w/w, 5 % w/v or 5 % v/v?"),
    _cell("solution_parts", 2, "amount", "1000 mL/L and more", "not a concentration"),
    _cell("solution_parts", 2, "amount", "0.00000000000000000001 mol/L", "is too small"),
    _cell("solution_parts", 2, "amount", "9999999999999 mol/L", "more than any store"),
    _cell("solution_parts", 6, "amount", "5 % w/w", "no density"),
    _cell("solution_parts", 6, "amount", "5 % v/v", "no density"),
    _cell("solution_parts", 3, "amount", "2 mol/L", "no strength"),
]

TOO_STRONG = [
    _text(
        f"{strong} from what is weaker",
        ("solution_parts", written, written.replace(weak, strong)),
        ("solution_parts", row, "amount"),
        "'to volume' cannot be worked out",
        "more than the volume",
    )
    for written, weak, strong, row in [
        ("hydrochloric acid,2 mol/L", "2 mol/L", "30 mol/L", 3),
        ("acid 2 mol/L,0.1 mol/L", "0.1 mol/L", "3 mol/L", 5),
    ]
]

WORDS = [
    _cell("items", 2, "kind", "reagnt", "'reagnt'", "Did you mean reagent?"),
    _cell("items", 2, "kind", "chemical", "not a word for this column"),
    _cell("items", 2, "unit", "kg", "Did you mean g?"),
    _cell("items", 4, "supply", "made", "Expected one of"),
    _cell("practical_lines", 2, "per", "groups", "Did you mean group?"),
    _cell("practical_lines", 4, "optional", "maybe", "neither yes nor no"),
    _cell("practical_lines", 4, "optional", "x", "neither yes nor no"),
    _cell("stock", 2, "state", "usabel", "Did you mean usable?"),
    _cell("waste_streams", 2, "measure", "litres", "Expected one of: mass, volume"),
    _cell("items", 7, "unit", "g", "apparatus is counted", "Use each"),
]

NUMBERS = [
    _cell("items", 3, "density", "0", "is too small", "above 0"),
    _cell("items", 3, "density", "1,18", "comma", "1.18"),
    _cell("items", 3, "density", "-1", "not a number of 0 or more"),
    _cell("items", 3, "density", "1e400", "not a number"),
    _cell("items", 3, "density", "1.18 g/mL", "not a number"),
    _cell("items", 3, "density", "99999999999", "more than can be meant"),
    _cell("items", 3, "density", "0.000000000001", "is too small"),
    _cell("items", 7, "turnaround", "999999999999", "more than can be meant"),
    _cell("items", 8, "minutes_per_use", "0", "is too small"),
    _cell("items", 3, "opened_life", "180.5", "whole number"),
    _cell("items", 3, "opened_life", "-1", "whole number"),
    _cell("timetable", 2, "students", "24.0", "whole number"),
    _cell("timetable", 2, "students", "2E+1", "whole number"),
    _cell("timetable", 2, "students", "-3", "whole number", "24"),
    _cell("timetable", 2, "students", "a dozen", "whole number"),
    _cell("timetable", 2, "students", "1 000", "whole number"),
    _cell("timetable", 2, "students", "٢٤", "whole number"),
    _cell("timetable", 2, "students", "9" * 5000, "whole number"),
    _cell("timetable", 2, "group_size", "0", "is too small"),
    _cell("practicals", 2, "group_size", "0", "is too small"),
    _cell("stock", 2, "containers", "0", "is too small"),
    _cell("practical_lines", 2, "shared_by", "0", "is too small"),
    _cell("practical_lines", 6, "within", "0", "is too small"),
    _cell("suppliers", 2, "lead_days", "three", "whole number"),
    _cell("suppliers", 2, "delivery_charge", "€8.50", "not a number"),
    _cell("packs", 2, "price", "-12", "not a number"),
    _cell("packs", 2, "price", "12,40", "comma"),
    _cell("packs", 2, "size", "0 kg", "is too small"),
    _cell("packs", 2, "size", "0.000000000001 g", "is too small"),
    _cell("solutions", 2, "step", "0 mL", "is too small"),
    _cell("solutions", 2, "largest_batch", "0 L", "is too small"),
    _cell("replacements", 2, "factor", "0", "is too small"),
    _cell("replacements", 2, "factor", "1:2", "not a number"),
    _cell("on_order", 2, "packs", "two", "whole number"),
    _cell("on_order", 2, "packs", "1.5", "whole number"),
    _cell("practical_lines", 2, "spare", "15", "no % sign"),
    _cell("practical_lines", 2, "spare", "150 %", "more than 100 %"),
    _cell("practical_lines", 2, "spare", "-5 %", "not a percentage"),
    _cell("practical_lines", 2, "spare", "5,5 %", "not a percentage"),
    _cell("waste_streams", 2, "fill_limit", "0 %", "is too small"),
    _cell("waste_streams", 2, "fill_limit", "80", "no % sign"),
    _cell("settings", 2, "value", "ten", "not a percentage"),
]

DATES = [
    _cell("timetable", 2, "date", "2027-02-30", "does not exist"),
    _cell("timetable", 2, "date", "2027-13-01", "does not exist"),
    _cell("timetable", 2, "date", "01.02.2027", "not a date", "2027-02-03"),
    _cell("timetable", 2, "date", "1/2/2027", "not a date"),
    _cell("timetable", 2, "date", "2027-2-1", "not a date"),
    _cell("timetable", 2, "date", "20270201", "not a date"),
    _cell("timetable", 2, "date", "2027-W05-1", "not a date"),
    _cell("timetable", 2, "date", "٢٠٢٧-٠٢-٠١", "not a date"),
    _cell("timetable", 2, "date", "0001-01-01", "years"),
    _cell("timetable", 2, "date", "9999-12-31", "years"),
    _cell("timetable", 2, "start", "9 am", "not a time", "09:30"),
    _cell("timetable", 2, "start", "24:00", "not a time"),
    _cell("timetable", 2, "start", "09:60", "not a time"),
    _cell("timetable", 2, "start", "0.375", "not a time"),
    _cell("timetable", 2, "start", "9.00", "not a time"),
    _cell("timetable", 2, "end", "09:00", "not after the start"),
    _cell("timetable", 2, "end", "08:00", "not after the start", "09:00"),
    _cell("stock", 3, "expiry", "June 2028", "not a date"),
    _cell("stock", 3, "opened", "2026-02-29", "does not exist"),
    _cell("stock", 2, "opened", "2027-01-01", "3 containers", "lot of its own"),
    _cell("stock", 4, "expiry", "", "expiry is blank", "365 days"),
    _cell("on_order", 2, "due", "soon", "not a date"),
    _cell("settings", 4, "value", "Mon-Fry", "days of the week", "Mon-Fri"),
    _cell("settings", 4, "value", "Monday", "days of the week"),
    _cell("settings", 5, "value", "2027-03-32", "does not exist"),
]

CHEMISTRY = [
    _cell("items", 2, "cas", "7647-14-4", "check digit", "5"),
    _cell("items", 2, "cas", "7647145", "not a CAS"),
    _cell("items", 2, "cas", "٧٦٤٧-14-5", "not a CAS"),
    _cell("items", 2, "formula", "Nacl", "not a formula"),
    _cell("items", 2, "formula", "NaXx", "Xx"),
    _cell("items", 2, "formula", "Na(Cl", "bracket"),
    _cell("items", 2, "formula", "NaCl)", "bracket"),
    _cell("items", 2, "formula", "(Na]Cl", "bracket"),
    _cell("items", 2, "formula", "NaCl·", "empty"),
    _cell("items", 2, "formula", "H0O", "not a formula"),
    _cell("items", 2, "formula", "(" * 10_000 + "Na" + ")" * 9_999, "not closed"),
    _cell("items", 2, "formula", "Na(" * 8_000, "not closed"),
    _cell("items", 3, "strength", "37 %", "per cent of what", "37 % w/w"),
    _cell("items", 3, "strength", "4 parts", "how strong"),
    _cell("items", 3, "strength", "to volume", "how strong"),
    _cell("items", 3, "strength", "137 % w/w", "more than 100 %"),
    _cell("items", 3, "hazards", "H29", "'H29'", "not an H code"),
    _cell("items", 3, "hazards", "flammable", "not an H code", "H225"),
    _cell("items", 2, "measures", "scoop", "without a size", "scoop = 2 g"),
    _cell("items", 2, "measures", "scoop = 2 g; g = 1 g", "has one already"),
    _cell("items", 2, "measures", "scoop = 2 g; Scoop = 3 g", "has one already"),
    _cell("items", 2, "measures", "scoop = 2 cup", "'cup'"),
    _cell("items", 2, "measures", "scoop = 0 g", "is too small"),
    _cell("solution_parts", 8, "as", "Xx", "not a formula"),
    _cell("waste_streams", 2, "list_code", "14 06 2", "European List"),
    _cell("waste_streams", 2, "list_code", "21 06 02", "European List"),
]

BETWEEN_TABLES = [
    _cell("practical_lines", 3, "item", "buret", "Did you mean burette?"),
    _cell("practical_lines", 7, "item", "Filter papers", "Did you mean filter paper?"),
    _cell("stock", 2, "item", "salt", "not a known item or solution"),
    _cell("packs", 2, "item", "salt solvtion", "Did you mean salt solution?"),
    _cell("price_breaks", 2, "pack", "H-11", "Did you mean H-1?"),
    _cell("price_breaks", 2, "from", "1", "above 1"),
    _cell("price_breaks", 2, "price", "-3", "price"),
    _cell("storage_limits", 2, "most", "20 each", "not a mass or a volume"),
    _cell("storage_limits", 2, "most", "0 L", "too small"),
    _cell("items", 2, "most_held", "5 L", "no density"),
    _cell("items", 2, "group", "2; 35", "'35'", "not a group of the EPA's chart", "1 to 34"),
    _cell("items", 2, "group", "acid", "not a group"),
    _cell("items", 9, "retention", "2 g", "not a volume"),
    _cell("items", 9, "retention", "0 mL", "too small"),
    _cell("items", 3, "acid_or_base", "strong acid", "no number above 0", "strong acid 1"),
    _cell("items", 3, "acid_or_base", "carbonate 2", "a number, which is known", "Write carbonate"),
    _cell("items", 3, "acid_or_base", "strong asid 1", "Did you mean strong acid 1?"),
    _cell("solutions", 2, "to", "aquous", "not a waste stream", "Did you mean aqueous?"),
    _cell("solutions", 2, "pH", "acid", "not a number"),
    _cell("solutions", 2, "pH", "70", "is no pH", "between -2 and 16"),
    _cell("solutions", 2, "flash_point", "-300", "is no temperature"),
    _cell("solutions", 2, "viscosity", "0", "too small"),
    _cell("practical_lines", 7, "holds_back", "watr", "Did you mean water?"),
    _cell("practical_lines", 7, "holds_back", "water", "not used in ORG-01"),
    _cell("practical_lines", 7, "holds_back", "filter paper", "no liquid"),
    _cell("practical_lines", 7, "holds_back", "spectrometer", "no liquid"),
    _cell("practical_lines", 4, "holds_back", "sodium chloride", "no liquid"),
    _cell("hazard_limits", 2, "item", "hydrocloric acid", "Did you mean hydrochloric acid?"),
    _cell("hazard_limits", 2, "class", "Skin Cor. 1B", "Did you mean Skin Corr. 1B?"),
    _cell("hazard_limits", 2, "h_code", "EUH031", "does not go with the class Skin Corr. 1B"),
    _cell("hazard_limits", 2, "h_code", "H999", "no such H code"),
    _cell("hazard_limits", 2, "h_code", "H314 H318", "several codes"),
    _cell("hazard_limits", 2, "from", "a few", "not a percentage", "Write it like"),
    _cell("hazard_limits", 2, "from", "250 %", "more than 100 %"),
    _cell("hazard_limits", 3, "below", "10 %", "is not more than 10 %"),
    _cell("hazard_limits", 3, "below", "5", "is not more than 10 %"),
    _cell("hazard_limits", 2, "m_factor", "0", "too small"),
    _cell("hazard_limits", 2, "ate", "-5", "not a number of 0 or more"),
    _cell("hazard_limits", 2, "ate", "0", "too small", "above 0"),
    _cell("hazard_limits", 2, "form", "vapor", "Did you mean vapour?"),
    _cell("hazard_limits", 2, "in_force", "2026-02-30", "does not exist"),
    _cell("packs", 2, "supplier", "Harbor", "Did you mean Harbour?"),
    _cell("on_order", 3, "pack", "Q-11", "Did you mean Q-1?"),
    _cell("timetable", 2, "practical", "ANA-02", "not a known practical", "Did you mean ANA-01?"),
    _cell("timetable", 3, "practical", "ORG-02", "not a known practical"),
    _cell("replacements", 2, "replaced_by", "ethyl acetat", "Did you mean ethyl acetate?"),
    _cell("solution_parts", 6, "item", "sodium chlorid", "Did you mean sodium chloride?"),
    _cell("timetable", 2, "leave_out", "repeet", "Did you mean repeat?"),
    _cell("timetable", 2, "leave_out", "titration", "no optional line in ANA-01"),
    _cell("timetable", 3, "leave_out", "spectrum; extraction", "'extraction'"),
    _cell("practical_lines", 2, "to", "aquous", "not a waste stream", "Did you mean aqueous?"),
    _cell("replacements", 2, "to", "sewer", "not a waste stream"),
    _cell("practical_lines", 3, "to", "aqueous", "apparatus comes back"),
    _cell("practical_lines", 2, "to", "aqueous 90 %; air 5 %", "add up to 95 %", "100 %"),
    _cell("practical_lines", 2, "to", "aqueous 33.3 %; air 33.3 %; drain 33.3 %", "99.9 %"),
    _cell("practical_lines", 2, "to", "aqueous 90 %; air", "without a percentage"),
    _cell("practical_lines", 2, "to", "aqueous 90; air 10", "without a percentage"),
    _cell("practical_lines", 2, "to", "aqueous 50 %; Aqueous 50 %", "names a place twice"),
    _cell("practical_lines", 2, "to", "aqueous 110 %; air -10 %", "without a percentage"),
    _text(
        "a solution with the name of an item",
        ("solutions", "salt solution,,,,,,,,,\n", "salt solution,,,,,,,,,\nBurette,,,,,,,,,\n"),
        ("solutions", 5, "solution"),
        "name of an item as well",
    ),
    _cell("items", 2, "restock_to", "400 g", "less than the minimum of 500 g"),
    _cell("solutions", 2, "restock_to", "0.5 L", "less than the minimum of 1 L"),
    _cell("items", 2, "minimum", "500 mL", "no density"),
    _cell("items", 9, "minimum", "500 g", "kept in each"),
    _cell("waste_streams", 2, "container", "5 kg", "not a volume", "mL"),
    _cell("waste_streams", 5, "part_full", "2 L", "not a mass"),
    _cell("waste_streams", 4, "container", "2 scoop", "not a volume"),
    _cell("replacements", 2, "factor", "", "factor is blank", "CH2Cl2 is not C4H8O2"),
    _cell("replacements", 2, "to", "", "to is blank", "must be given"),
    _cell("practical_lines", 4, "amount", "2 scoops and", "'scoops and'"),
    _cell("practical_lines", 4, "amount", "2 spoon", "Did you mean scoop?"),
    _cell("settings", 2, "setting", "spare reagents", "Did you mean spare reagent?"),
    _cell("settings", 3, "setting", "prep_led", "Did you mean prep_lead?"),
    _text(
        "a stream that has the name of a known end",
        ("waste_streams", "solids,mass", "Drain,mass"),
        ("waste_streams", 5, "stream"),
        "meaning of its own",
    ),
    _text(
        "a solution made from itself",
        ("solution_parts", "acid 2 mol/L,water,to", "acid 2 mol/L,ACID 2 mol/L,to"),
        ("solution_parts", 3, "item"),
        "circle",
        "cannot be made from itself",
    ),
    _text(
        "two solutions made from one another",
        ("solution_parts", "acid 2 mol/L,hydrochloric acid,2", "acid 2 mol/L,acid 0.1 mol/L,2"),
        ("solution_parts", 2, "item"),
        "circle",
    ),
    _text(
        "a second part that fills to the mark",
        (
            "solution_parts",
            "salt solution,sodium chloride,5 % w/v",
            "salt solution,hydrochloric acid,to volume",
        ),
        ("solution_parts", 7, "amount"),
        "is twice",
    ),
    _text(
        "a replacement by itself",
        ("replacements", "ethyl acetate,1.2", "Dichloromethane,1.2"),
        ("replacements", 2, "replaced_by"),
        "circle",
    ),
    _text(
        "two items that replace one another",
        ("replacements", "less hazardous\n", "x\nethyl acetate,dichloromethane,1,air,y\n"),
        ("replacements", 2, "replaced_by"),
        "circle",
        "ethyl acetate is replaced by dichloromethane",
    ),
    _text(
        "a circle that another replacement leads into",
        (
            "replacements",
            "less hazardous\n",
            "x\nethyl acetate,dichloromethane,1,air,y\nwater,ethyl acetate,1,air,z\n",
        ),
        ("replacements", 2, "replaced_by"),
        "circle",
    ),
]


def _twice(
    table: str, old: str, new: str, *, row: int, column: str, words: tuple[str, ...] = ()
) -> Case:
    """Return a case of a row behind another of the same name."""
    name = f"{table}: {new.strip()!r} is twice"
    place = (table, row, column)
    return _text(name, (table, old, old + new), place, "is twice", *words)


TWICE = [
    _twice(
        "items",
        "burette,apparatus,each,,,,,,,,,,,60,,,,\n",
        "BURETTE,apparatus,each,,,,,,,,,,,,,,,\n",
        row=8,
        column="item",
        words=("Row 7",),
    ),
    _twice(
        "items",
        "filter paper,consumable,each,,,,,,,,,,,,,,,\n",
        "  filter paper  ,consumable,each,,,,,,,,,,,,,,,\n",
        row=10,
        column="item",
    ),
    _twice(
        "solutions",
        "salt solution,,,,,,,,,\n",
        "Salt Solution,,,,,,,,,\n",
        row=5,
        column="solution",
    ),
    _twice(
        "solution_parts",
        "salt solution,water,to volume,\n",
        "salt solution,Water,1 mL/L,\n",
        row=8,
        column="item",
    ),
    _twice("practicals", "ORG-01,Extraction,3,\n", "org-01,Again,,\n", row=4, column="practical"),
    _twice(
        "timetable",
        "Tue am,ORG-01,2027-02-02,09:00,12:00,Lab 1,12,,,spectrum\n",
        "Tue am,ORG-01,2027-02-05,,,,1,,,\n",
        row=4,
        column="session",
    ),
    _twice(
        "stock",
        "L4,burette,20 each,,,,,\n",
        "l4,burette,2 each,,,,,\n",
        row=6,
        column="lot",
        words=("'L4'",),
    ),
    _twice("suppliers", "Quay,5,,\n", "QUAY,6,,\n", row=4, column="supplier"),
    _twice(
        "packs",
        "Q-1,ethyl acetate,Quay,2.5 L,22.10\n",
        "q-1,water,Quay,1 L,2\n",
        row=5,
        column="pack",
    ),
    _twice(
        "on_order",
        "Q-1,1,2027-02-03,\n",
        "q-1,5,2027-02-03,\n",
        row=4,
        column="pack",
        words=("'Q-1'",),
    ),
    _twice(
        "waste_streams",
        "solids,mass,5 kg,,1,200 g,,\n",
        "Solids,mass,,,,,,\n",
        row=6,
        column="stream",
    ),
    _twice("settings", "prep_lead,1\n", "Prep_Lead,2\n", row=4, column="setting"),
]

BLANKS = [
    _blank(table, row, column)
    for table, row, column in [
        ("items", 7, "item"),
        ("items", 2, "kind"),
        ("items", 2, "unit"),
        ("solutions", 2, "solution"),
        ("solution_parts", 2, "solution"),
        ("solution_parts", 2, "item"),
        ("solution_parts", 2, "amount"),
        ("practicals", 2, "practical"),
        ("practicals", 2, "title"),
        ("practical_lines", 4, "practical"),
        ("practical_lines", 4, "item"),
        ("practical_lines", 4, "amount"),
        ("practical_lines", 4, "per"),
        ("timetable", 2, "session"),
        ("timetable", 2, "practical"),
        ("timetable", 2, "date"),
        ("timetable", 2, "students"),
        ("stock", 2, "lot"),
        ("stock", 2, "amount"),
        ("suppliers", 2, "supplier"),
        ("packs", 2, "pack"),
        ("packs", 2, "size"),
        ("packs", 2, "price"),
        ("on_order", 2, "due"),
        ("waste_streams", 2, "stream"),
        ("waste_streams", 2, "measure"),
        ("replacements", 2, "replaced_by"),
        ("settings", 2, "setting"),
    ]
]

CELLS = [
    _cell("items", 2, "notes", "n" * 32_768, "more characters", "32,767"),
    _cell("items", 2, "item", "n" * 32_768, "more characters"),
    _cell("items", 2, "notes", "bell \a here", "control character"),
    _cell("items", 2, "item", "\x1b[31msodium chloride", "control character"),
    _cell("stock", 2, "place", "shelf \ufffe", "control character"),
    _cell("stock", 2, "amount", "#REF!", "'#REF!'", "error of the spreadsheet"),
    _cell("stock", 2, "place", "#N/A", "error of the spreadsheet"),
    _cell("items", 7, "item", "#NAME?", "error of the spreadsheet"),
]

HEADERS = [
    _text(
        "a column with a spelling mistake that must be given",
        ("practical_lines", "item,amount,per", "item,amout,per"),
        ("practical_lines", 1, "amout"),
        "Did you mean amount?",
    ),
    _text(
        "a key column with a spelling mistake",
        ("items", "item,kind", "itme,kind"),
        ("items", 1, "itme"),
        "Did you mean item?",
    ),
    _text(
        "a column with a spelling mistake that may be left out",
        ("stock", "containers,place", "containers,palce"),
        ("stock", 1, "palce"),
        "Did you mean place?",
    ),
    _file(
        "a column that is missing",
        "suppliers",
        "lead_days\n3\n5\n",
        1,
        "the column supplier is missing",
    ),
    _text(
        "a column that stands twice",
        ("stock", "expiry,opened", "expiry,expiry"),
        ("stock", 1, "expiry"),
        "twice",
    ),
    _text(
        "a column without a name",
        ("stock", "state,containers", "state,"),
        ("stock", 1, ""),
        "the column after state has no name",
    ),
    _text(
        "a row longer than the header",
        ("stock", "L4,burette,20 each,,,,,\n", "L4,burette,20 each,,,,,,extra\n"),
        ("stock", 5, ""),
        "'extra'",
        "no name in the header",
    ),
    _text(
        "a comma in a text without quotes",
        (
            "items",
            "burette,apparatus,each,,,,,,,,,,,60,,,,\n",
            "burette, 50 mL,apparatus,each,,,,,,,,,,,60,,,,x\n",
        ),
        ("items", 7, ""),
        "needs quotes",
    ),
    _file("semicolons", "packs", BASE["packs"].replace(",", ";"), 1, "semicolons", "commas"),
    _file("tabs", "packs", BASE["packs"].replace(",", "\t"), 1, "tabs", "commas"),
    _file("quoted semicolons", "suppliers", '"supplier";"lead_days"\n"Quay";5\n', 1, "semicolons"),
    _file(
        "the header in row 3",
        "items",
        "Stores\n\n" + BASE["items"],
        1,
        "names no column",
        "at least: item, kind, unit",
    ),
    _file("a blank first row", "items", "\n" + BASE["items"], 1, "is blank"),
    _file("an empty file", "items", "", 1, "is blank", "item, kind, unit"),
    _file("only a byte-order mark", "packs", b"\xef\xbb\xbf", 1, "is blank"),
    _file("only line ends", "solution_parts", "\r\n\r\n", 1, "is blank"),
    _file("another file altogether", "timetable", "%PDF-1.7\nstream\n", 1, "names no column"),
    _file("UTF-16 with a mark", "items", BASE["items"].encode("utf-16"), 0, "UTF-8", "line 1"),
    _file("UTF-16 without one", "suppliers", BASE["suppliers"].encode("utf-16-le"), 0, "UTF-16"),
    _file(
        "Latin-1",
        "items",
        BASE["items"].replace("acids", "Säure").encode("latin-1"),
        0,
        "UTF-8",
        "line 3",
    ),
    _file("NUL characters", "items", BASE["items"].replace("acids", "a\0b"), 0, "NUL"),
    _file("a workbook named .csv", "packs", b"PK\x03\x04\x14\x00\x06\xff\xfe", 0, "UTF-8"),
    _file(
        "a quotation mark that is not closed",
        "packs",
        BASE["packs"] + '"X-1,water',
        0,
        "row 5",
        "quotation marks",
    ),
    _file(
        "text behind a quotation mark",
        "waste_streams",
        BASE["waste_streams"] + '"solid"s,mass\n',
        0,
        "row 6",
    ),
    _file(
        "a field of a million characters",
        "practicals",
        BASE["practicals"] + "x" * 1_000_001,
        0,
        "row 4",
    ),
]

CASES = [
    *AMOUNTS,
    *CONCENTRATIONS,
    *TOO_STRONG,
    *WORDS,
    *NUMBERS,
    *DATES,
    *CHEMISTRY,
    *BETWEEN_TABLES,
    *TWICE,
    *BLANKS,
    *CELLS,
    *HEADERS,
]

"""Rules 8 to 10, 13 and 14, and what is promised: days, stock, restock, orders, states."""

from typing import Final

from tests.journeys.sample import Case, case, change, coming, gone, line, refused, setting

H, B, C, OXY, NA, S, K, IOD = 1.008, 10.81, 12.011, 15.999, 22.990, 32.06, 39.098, 126.90
NABH4: Final = NA + B + 4 * H
BENZOPHENONE: Final = 13 * C + 10 * H + OXY
THIOSULFATE: Final = 2 * NA + 2 * S + 3 * OXY + 5 * (2 * H + OXY)
BENZOPHENONE_PROMISED: Final = 0.010 * BENZOPHENONE / 0.99 * 7 * 1.05
BOROHYDRIDE_PROMISED: Final = 0.012 * NABH4 / 0.98 * 7
ACETONE_TAKEN: Final = (
    50 + 150 + 75 + 200 + (250 * 1.2 + 0.58 / 0.791 * 12 * 1.25) + 500 + 750
)  # W09-Thu-2; W10-Mon-3, Wed-1, Thu-2, Thu-3, Fri-3; the batch of acetone and water

DAYS: Final = (
    case(
        "8",
        "holidays are no working days",
        setting("holidays", ""),
        see=lambda sample: min(sample.ordered("ethyl acetate", "order_by")),
        before="2027-03-04",  # two working days before Tuesday 9, past the holiday on Friday 5
        after="2027-03-05",
    ),
    case(
        "8",
        "working days are those of the setting",
        setting("working_days", "Mon-Sat"),
        see=lambda sample: min(sample.ordered("ethyl acetate", "order_by")),
        before="2027-03-04",
        after="2027-03-06",
    ),
    case(
        "8",
        "an order is placed the lead days before",
        change("suppliers", "Ossel and Wray Chemicals", lead_days="3"),
        see=lambda sample: min(sample.ordered("ethyl acetate", "order_by")),
        before="2027-03-04",
        after="2027-03-03",
    ),
    case(
        "8",
        "things are needed the prep lead before a session; 0 days before is the day itself",
        setting("prep_lead", "0"),
        see=lambda sample: sample.ordered("2-chloro-2-methylpropane", "needed_by"),
        before=["2027-03-11"],
        after=["2027-03-12"],
    ),
)

USABLE: Final = (
    case(
        "8",
        "a reserved lot is not usable",
        change("stock", "L0209", state=""),
        see=lambda sample: sample.stock("benzophenone")["usable"],
        before=95 - BENZOPHENONE_PROMISED,
        after=95 + 50 - BENZOPHENONE_PROMISED,
    ),
    case(
        "8",
        "a lot in quarantine is not usable",
        change("stock", "L0311", state=""),
        see=lambda sample: sample.apparatus("burette 50 mL", "held"),
        before=50,
        after=50 + 6,
    ),
    case(
        "8",
        "an opened lot is out after its opened life",
        change("stock", "L0243", opened="2026-12-20"),
        see=lambda sample: sample.stock("diethyl ether")["usable"],
        before=400 + 2000 - 7 * 45 * 1.35,
        after=650 + 400 + 2000 - 7 * 45 * 1.35,
    ),
    case(
        "8",
        "without an opened life the printed expiry holds",
        change("items", "diethyl ether", opened_life=""),
        see=lambda sample: sample.stock("diethyl ether")["usable"],
        before=400 + 2000 - 7 * 45 * 1.35,
        after=650 + 400 + 2000 - 7 * 45 * 1.35,
    ),
    case(
        "8",
        "of opened life and printed expiry the earlier holds",
        change("stock", "L0117", expiry="2027-02-28"),
        see=lambda sample: sample.stock("hydrogen peroxide 30 %")["usable"],
        before=350,
        after=0,
    ),
    case(
        "8",
        "a lot that expires the day before it is wanted is not taken",
        change("stock", "L0227", expiry="2027-03-09"),
        see=lambda sample: sample.lots("vinegar, white (5 % acidity)"),
        before={"L0230": 39 * 25 * 1.1},
        after={"L0227": 1000, "L0230": 72.5},
    ),
    case(
        "8",
        "a lot with neither date counts, and is named",
        change("stock", "L0220", expiry="2027-02-01"),
        see=lambda sample: (
            sample.stock("benzaldehyde")["usable"],
            sample.warned("benzaldehyde", "L0220"),
        ),
        before=(100, 1),
        after=(0, 0),
    ),
    case(
        "8",
        "a lot of nothing gives nothing",
        change("stock", "L0290", amount="1 each"),
        see=lambda sample: sample.stock("chart paper roll, flame photometer")["short"],
        before=1,
        after=0,
    ),
    case(
        "8",
        "a delivery counts from its due day to the day of need",
        coming("BC-1170", due="2027-03-10"),
        see=lambda sample: sample.stock("black tea bag")["short"],
        before=0,
        after=40 - 20,  # needed on Tuesday 9; the box of 20 is still due on the 8th
    ),
    case(
        "8",
        "a delivery due today counts",
        coming("BC-1170", due="2027-03-03"),
        see=lambda sample: sample.warned("black tea bag", "before this period"),
        before=1,
        after=0,
    ),
    case(
        "8",
        "an overdue delivery counts nothing, and is named",
        coming("BC-1170", due="2027-03-02"),
        see=lambda sample: (
            sample.stock("black tea bag")["short"],
            sample.warned("black tea bag", "was due on Tue 2 Mar 2027"),
        ),
        before=(0, 0),
        after=(20, 1),
    ),
    case(
        "8",
        "the overdue filter papers are named",
        coming("BC-1024", due="2027-03-04"),
        see=lambda sample: sample.warned("filter paper 125 mm, fluted", "BC-1024"),
        before=1,
        after=0,
    ),
    case(
        "8",
        "a delivery after the day of need does not help",
        coming("FT-1151", due="2027-03-09"),
        see=lambda sample: sample.stock("ethyl acetate")["short"],
        before=1170 + 225 + 400 - (1000 + 850 - 780),
        after=0,
    ),
)

TURNS: Final = (
    case(
        "8",
        "on one day batches are served before sessions, and earlier days first",
        change("timetable", "W10-Thu-2", date="2027-03-12"),
        see=lambda sample: (
            sample.lacks("W10-Wed-1", "ethyl acetate"),
            sample.lacks("W10-Thu-3", "ethyl acetate"),
        ),
        before=(1170 - (1070 - 400), 225),  # the eluent is made on the Wednesday
        after=(1170 - 1070, 225),  # and now on the Thursday
    ),
    case(
        "8",
        "of batches on one day the solution whose name comes first is served first",
        change("stock", "L0113", amount="350 mL"),
        gone("stock", "L0114"),
        see=lambda sample: sample.lacking("ammonia solution, concentrated"),
        before=[],
        # Monday's session leaves 218; ammonia 2 mol/L takes 149.7, the buffer wants 285.
        after=["W10-Tue-4", "W10-Wed-2"],
    ),
    case(
        "8",
        "sessions on one day are served by start",
        change("timetable", "W10-Thu-1", start="14:30"),
        see=lambda sample: sample.lacking("ice"),
        before=["W10-Thu-3"],  # from 14:00; the other begins at 10:00
        after=["W10-Thu-1"],
    ),
    case(
        "8",
        "sessions that start together are served by name",
        gone("stock", "L0360"),
        change("items", "deionised water", daily_capacity="14.2 L"),
        see=lambda sample: [
            name for name in sample.lacking("deionised water") if "W10-Mon" in name
        ],
        before=[],
        # 495 + 500 + 900 + 500 + 7125 in batches, 300 for Mon-1, 4500 for Mon-2, 150 for Mon-3
        after=["W10-Mon-2", "W10-Mon-3"],
    ),
    case(
        "8",
        "the name decides and not the row",
        gone("stock", "L0360"),
        change("items", "deionised water", daily_capacity="14.2 L"),
        change("timetable", "W10-Mon-1", session="W10-Mon-25"),
        see=lambda sample: [
            name for name in sample.lacking("deionised water") if "W10-Mon" in name
        ],
        before=[],
        # 14 200 - 9520 - 4500 leaves 180 for the one that is now called Mon-25.
        after=["W10-Mon-25", "W10-Mon-3"],
    ),
    case(
        "8",
        "the lot that expires first is taken first",
        change("stock", "S27-021", expiry="2028-01-01"),
        see=lambda sample: sample.lots("hydrochloric acid 2 mol/L"),
        before={"S27-021": 2700 - 1818, "S27-022": 2304.25 - 882},
        after={"S27-022": 2500 - 1818, "S27-021": 2304.25 - 682},
    ),
    case(
        "8",
        "on equal dates an opened lot is taken before a sealed one",
        change("stock", "L0249", opened=""),
        see=lambda sample: sample.lots("ethyl acetate"),
        before={"L0249": 850 - 780, "L0248": 1000},
        after={"L0248": 1000 - 780, "L0249": 850},
    ),
    case(
        "8",
        "a lot that does not expire is taken last",
        change("stock", "L0198", expiry=""),
        see=lambda sample: sample.lots("sodium thiosulfate pentahydrate"),
        before={"L0198": 0.05 * THIOSULFATE / 0.995},
        after={"L0195": 0.05 * THIOSULFATE / 0.995},
    ),
    case(
        "8",
        "else lots are taken by label",
        change("stock", "L0148", lot="L0190"),
        see=lambda sample: list(sample.lots("copper(II) sulfate pentahydrate")),
        before=["L0148"],
        after=["L0151"],
    ),
    case(
        "8",
        "lots are taken before deliveries",
        change("stock", "L0294", amount="60 each"),
        see=lambda sample: (sample.lots("black tea bag"), sample.delivered("black tea bag")),
        before=({}, {"BC-1170": 40}),  # 12 × 3 × 1.1 = 39.6
        after=({"L0294": 60 - 27}, {"BC-1170": 40 - 33}),
    ),
    case(
        "8",
        "deliveries are taken by due day",
        coming("BC-1170", due="2027-03-09"),
        see=lambda sample: sample.delivered("black tea bag"),
        before={"BC-1170": 40},
        after={"BC-1171": 20, "BC-1170": 20},
    ),
    case(
        "8",
        "deliveries of one day are taken by pack",
        change("packs", "BC-1170", pack="BC-1179"),
        coming("BC-1170", pack="BC-1179"),
        see=lambda sample: sample.delivered("black tea bag"),
        before={"BC-1170": 40},
        after={"BC-1171": 20, "BC-1179": 20},
    ),
)

RESTOCK: Final = (
    case(
        "9",
        "short is the need that is not served",
        change("stock", "L0224", amount="7 mL"),
        see=lambda sample: sample.stock("2-chloro-2-methylpropane")["short"],
        before=9 * 1 * 1.1 - 5,
        after=9 * 1 * 1.1 - 7,
    ),
    case(
        "9",
        "what is left below the minimum is restocked up to the mark",
        change("items", "silica gel for columns", restock_to="1 kg"),
        see=lambda sample: sample.stock("silica gel for columns")["restock"],
        before=1500,
        after=1000,
    ),
    case(
        "9",
        "without a mark it is restocked up to the minimum",
        change("items", "Pasteur pipette", minimum="230 each"),
        see=lambda sample: sample.stock("Pasteur pipette")["restock"],
        before=250 - (290 - 18 - 63),
        after=230 - (290 - 18 - 63),
    ),
    case(
        "9",
        "what is not below the minimum is not restocked",
        change("items", "Pasteur pipette", minimum="209 each"),
        see=lambda sample: sample.stock("Pasteur pipette")["restock"],
        before=250 - (290 - 18 - 63),
        after=0,
    ),
    case(
        "9",
        "what is left of deliveries due in the period counts",
        coming("BC-1101", due="2027-03-15"),
        see=lambda sample: sample.stock("sample vial 20 mL")["restock"],
        before=0,  # 163 - 152 + 100 = 111
        after=200 - (163 - 152),
    ),
    case(
        "9",
        "only lots in date on the period's last day count",
        change("stock", "L0237", expiry="2027-03-13"),
        see=lambda sample: sample.stock("acetone")["restock"],
        before=10_000 - (1400 + 2500 - ACETONE_TAKEN),
        after=10_000 - 1400,  # all is now taken from the lot that expires
    ),
    case(
        "9",
        "the last day itself counts",
        change("stock", "L0237", expiry="2027-03-14"),
        see=lambda sample: (
            list(sample.lots("acetone")),
            round(sample.stock("acetone")["restock"], 6),
        ),
        before=(["L0236", "L0237"], round(10_000 - (3900 - ACETONE_TAKEN), 6)),
        after=(["L0237"], round(10_000 - (3900 - ACETONE_TAKEN), 6)),
    ),
    case(
        "9",
        "a solution's restock is shown up to its mark, and no batch is planned",
        change("solutions", "hydrochloric acid 2 mol/L", restock_to=""),
        see=lambda sample: (
            sample.stock("hydrochloric acid 2 mol/L")["restock"],
            len(sample.batches("hydrochloric acid 2 mol/L")),
        ),
        before=(5000 - (5200 - 1818 - 2304.25), 0),
        after=(2000 - (5200 - 1818 - 2304.25), 0),
    ),
    case(
        "9",
        "a solution above its minimum is not restocked",
        change("solutions", "hydrochloric acid 2 mol/L", minimum="1 L"),
        see=lambda sample: sample.stock("hydrochloric acid 2 mol/L")["restock"],
        before=5000 - (5200 - 1818 - 2304.25),
        after=0,
    ),
)

BY_ITEM: Final = (setting("ordering", "by item"),)
"""What is about one item alone; chosen as one order, it depends on all the others."""

ORDERS: Final = (
    case(
        "10",
        "whole packs cover short and restock at least cost, suppliers mixed",
        change("packs", "TL-1015", price="36.00"),
        see=lambda sample: sample.order("silica gel for columns"),
        before={"TL-1015": 1, "OW-1524": 1, "OW-1509": 1},  # 160 + 1500 g for 79.50
        after={"TL-1015": 2},  # 72.00
        beside=BY_ITEM,
    ),
    case(
        "10",
        "the cheaper supplier is taken",
        change("packs", "OW-1494", price="17.00"),
        see=lambda sample: sample.order("ethyl acetate"),
        before={"OW-1494": 1, "FT-1166": 1},  # 725 + 5000 mL
        after={"FT-1136": 1, "FT-1166": 1},
        beside=BY_ITEM,
    ),
    case(
        "10",
        "on equal cost the least excess decides",
        change("packs", "TL-1238", size="200 each"),
        see=lambda sample: sample.order("Pasteur pipette"),
        before={"BC-1078": 1},  # 41 wanted, 250 or 300 for 10.40
        after={"TL-1238": 1},
        beside=BY_ITEM,
    ),
    case(
        "10",
        "on equal cost and excess the fewest packs decide",
        change("packs", "OW-1509", price="14.60"),
        see=lambda sample: sample.order("silica gel for columns"),
        before={"TL-1015": 1, "OW-1524": 1, "OW-1509": 1},  # 14.50 is twice 7.25 for 125 g
        after={"TL-1015": 1, "OW-1524": 1, "OW-1531": 2},
    ),
    case(
        "10",
        "else the pack whose code comes first is taken",
        change("packs", "OW-1328", pack="UW-1328"),
        see=lambda sample: sample.order("potassium oxalate monohydrate"),
        before={"OW-1328": 1},  # both 100 g for 12.60
        after={"TL-1038": 1},
    ),
    case(
        "10",
        "needed_by is the first day of need that falls short, none for a restock alone",
        gone("stock", "L0237"),
        see=lambda sample: set(sample.ordered("acetone", "needed_by")),
        before={None},
        # 1400 - 50 - 150 - 75 - 750 - 200 leaves 175 of the 311 that Thursday's session wants.
        after={"2027-03-10"},
    ),
    case(
        "10",
        "order_by may have passed: the row is late and names what it stops",
        change("suppliers", "Lindqvar Fine Chemicals", lead_days="3"),
        see=lambda sample: (
            sample.ordered("sodium borohydride", "late"),
            sample.ordered("sodium borohydride", "order_by"),
            sample.ordered("sodium borohydride", "stops"),
        ),
        before=([True], ["2027-02-26"], [["W10-Fri-1"]]),
        after=([False], ["2027-03-08"], [[]]),
    ),
    case(
        "10",
        "a cheaper pack that arrives too late is not chosen",
        change("suppliers", "Lindqvar Fine Chemicals", lead_days="3"),
        see=lambda sample: sample.order("silica gel for columns"),
        before={"TL-1015": 1, "OW-1524": 1, "OW-1509": 1},
        after={"LF-1054": 1},  # 2.5 kg for 55.00
        beside=BY_ITEM,
    ),
    case(
        "10",
        "an order below the supplier's minimum is a warning",
        change("suppliers", "Quillmoor Glass and Instruments", minimum_order="7.80"),
        see=lambda sample: sample.warned("Quillmoor Glass and Instruments"),
        before=1,
        after=0,
        beside=BY_ITEM,
    ),
    case(
        "10",
        "what nobody sells is not ordered, and is a warning",
        change("packs", "OW-1532", item="chart paper roll, flame photometer", size="1 each"),
        see=lambda sample: (
            sample.order("chart paper roll, flame photometer"),
            sample.warned("chart paper roll, flame photometer"),
        ),
        before=({}, 1),
        after=({"OW-1532": 1}, 0),
    ),
    case(
        "10",
        "chosen as one order, the supplier's minimum is reached",
        setting("ordering", "by item"),
        see=lambda sample: sample.warned("Quillmoor Glass and Instruments"),
        before=0,
        after=1,
    ),
    case(
        "10",
        "so much of an item at most, as one order",
        change("items", "acetone", most_held="1 L"),
        see=lambda sample: sum(sample.order("acetone").values()),
        before=3,
        after=0,
    ),
    case(
        "10",
        "orders above the budget are a warning",
        setting("budget", "430"),
        see=lambda sample: sum("budget" in one["message"] for one in sample.json["warnings"]),
        before=0,
        after=1,
    ),
    case(
        "10",
        "where it is delivered and who pays stand on an order",
        setting("delivery_address", "Lab annex"),
        setting("cost_centre", "TL-28"),
        see=lambda sample: sample.order_told("Brackmere Consumables"),
        before=["Teaching laboratories, goods-in door, Sandpiper Road", "TL-27"],
        after=["Lab annex", "TL-28"],
    ),
    case(
        "10",
        "what is made and sold is compared, the work included",
        setting("hour_cost", "40"),
        change("solutions", "sulfuric acid 10 % w/w", minutes_to_make="15"),
        see=lambda sample: [one["time"] for one in sample.term["make_or_buy"]],
        before=[18.0],
        after=[10.0],
    ),
    case(
        "10",
        "a lot that nobody has used for so many days is named",
        setting("slow_mover", "30"),
        see=lambda sample: sample.slow("2027-01-31"),
        before=False,
        after=True,
    ),
    case(
        "10",
        "over a term it costs to keep what is bought",
        setting("holding_cost", "0 %"),
        see=lambda sample: sample.term["cost"]["holding"] > 0,
        before=True,
        after=False,
    ),
    refused(
        "10",
        "packs are chosen item by item or jointly and no other way",
        setting("ordering", "by supplier"),
        code="word-unknown",
        says="by item",
    ),
)

ON_SITE: Final = (
    case(
        "13",
        "of what is made on site no more than a day's capacity can be had",
        change("items", "ice", daily_capacity="21 kg"),
        see=lambda sample: sample.stock("ice")["short"],
        before=2 * 24 * 400 * 1.1 - 20_000,  # two sessions of 12 sets, two beakers each
        after=2 * 24 * 400 * 1.1 - 21_000,
    ),
    case(
        "13",
        "without a capacity there is no limit",
        change("items", "ice", daily_capacity=""),
        see=lambda sample: sample.stock("ice")["short"],
        before=2 * 24 * 400 * 1.1 - 20_000,
        after=0,
    ),
    case(
        "13",
        "what is made on site is never ordered",
        change("items", "ice", supply="", daily_capacity=""),
        change("packs", "OW-1532", item="ice"),
        see=lambda sample: sample.order("ice"),
        before={},
        after={"OW-1532": 43},  # (12 + 12 + 11 + 24 + 24 + 14) × 400 × 1.1 = 42 680 g
    ),
    case(
        "13",
        "lots are taken before what is made on site",
        gone("stock", "L0360"),
        see=lambda sample: sample.lots("deionised water"),
        before={"L0360": 10_000 - 250 - 1000 - 760},  # the batches for W09-Thu-3 alone
        after={},
    ),
)

STATES: Final = (
    case(
        "14",
        "a session whose item nobody sells is late",
        change("stock", "L0290", amount="1 each"),
        see=lambda sample: sample.state("W10-Fri-2"),
        before="late",
        after="make up",
    ),
    case(
        "14",
        "a session whose item cannot come in time is late",
        coming("LF-1008", due="2027-03-11"),
        see=lambda sample: sample.state("W10-Fri-1"),
        before="late",
        after="make up",  # the eluent
    ),
    case(
        "14",
        "late comes before order",
        change("items", "ice", daily_capacity="22 kg"),
        see=lambda sample: (sample.state("W10-Thu-3"), sample.lacking("ethyl acetate")),
        before=("late", ["W10-Thu-3", "W10-Wed-1"]),
        after=("order", ["W10-Thu-3", "W10-Wed-1"]),
    ),
    case(
        "14",
        "order comes before make up, and holds through a batch's parts",
        change("stock", "L0157", amount="80 g"),
        see=lambda sample: sample.state("W10-Thu-1"),
        before="order",
        after="make up",
    ),
    case(
        "14",
        "a session for which nothing is made or bought is covered",
        change("stock", "S27-028", amount="300 mL"),
        see=lambda sample: sample.state("W10-Mon-1"),
        before="covered",
        after="make up",  # 7 × 15 × 1.2 promised leaves 174 of the 12 × 20 × 1.2 wanted
    ),
    case(
        "14",
        "a session for which a solution must be made, its parts in hand, is make up",
        change("stock", "S27-043", amount="10 mL"),
        see=lambda sample: sample.state("W10-Mon-1"),
        before="covered",
        after="make up",  # 14.4 mL wanted
    ),
)

PROMISED: Final = (
    case(
        "promised",
        "sessions before the period take first",
        change("timetable", "W09-Thu-1", students="0"),
        see=lambda sample: (
            sample.stock("sodium borohydride")["promised"],
            sample.stock("sodium borohydride")["usable"],
        ),
        before=(BOROHYDRIDE_PROMISED, 10.5 - BOROHYDRIDE_PROMISED),
        after=(0, 10.5),
    ),
    case(
        "promised",
        "parts of batches for them alone are promised",
        gone("timetable", "W09-Thu-3"),
        see=lambda sample: sample.stock("potassium iodide")["promised"],
        before=1.0 * 0.2 * (K + IOD) / 0.99,  # 8 × 80 × 1.2 = 768, in steps of 250
        after=0,
    ),
    case(
        "promised",
        "a batch that serves both is listed whole",
        gone("timetable", "W09-Thu-3"),
        see=lambda sample: sample.made("sodium thiosulfate 0.05 mol/L", "sessions"),
        before=[["W09-Thu-3", "W10-Thu-4"]],
        after=[["W10-Thu-4"]],
    ),
    case(
        "promised",
        "a batch that serves both takes its parts in the period's turn",
        change("solutions", "sodium thiosulfate 0.05 mol/L", shelf_life="7"),
        see=lambda sample: sample.stock("sodium thiosulfate pentahydrate")["promised"],
        before=0,
        after=0.5 * 0.05 * THIOSULFATE / 0.995,  # 8 × 40 × 1.2 = 384, in a flask of 500
    ),
    case(
        "promised",
        "what falls short for them is a warning and not ordered",
        change("stock", "L0294", amount="27 each"),
        see=lambda sample: (
            sample.warned("black tea bag", "7 each is short"),
            sample.order("black tea bag"),
        ),
        before=(1, {}),  # 8 × 3 × 1.1 = 26.4, so 27 of 20
        after=(0, {}),
    ),
    case(
        "promised",
        "sessions after the period take nothing",
        change("timetable", "W11-Mon-1", date="2027-03-12"),
        see=lambda sample: sample.stock("aluminium foil")["needed"],
        before=0,
        after=12 * 1 * 1.1,
    ),
    case(
        "promised",
        "sessions before today take nothing any more",
        change("timetable", "W09-Tue-1", date="2027-03-03"),
        see=lambda sample: sample.stock("disodium EDTA 0.01 mol/L")["promised"],
        before=0,
        after=13 * 120 * 1.2,
    ),
)

STILL: Final = (
    case(
        "8",
        "whoever is served later does not change who is served earlier",
        line("ORG-03", "recrystallisation", "ethyl acetate", amount="30 mL"),
        see=lambda sample: (
            sample.lacks("W10-Wed-1", "ethyl acetate"),
            sample.lacks("W10-Thu-3", "ethyl acetate"),
        ),
        before=(500, 12 * 15 * 1.25),
        after=(500, 12 * 30 * 1.25),
    ),
)

SHELF_LIFE: Final = (
    case(
        "8",
        "what does not keep is needed as late as it must be, and may come on that day",
        change("items", "sodium borohydride", shelf_life="0"),
        see=lambda sample: (sample.delivered("sodium borohydride"), sample.state("W10-Fri-1")),
        before=({}, "late"),  # 1 x 25 g is due on Friday, the day after the day of need
        # 7 sets before the week, 11 and 14 in it, 12 mmol each, of 98 %, less 10.5 g there
        after=({"LF-1008": 32 * 0.012 * 37.832 / 0.98 - 10.5}, "make up"),
    ),
)

CASES: Final[tuple[Case, ...]] = (
    *DAYS,
    *USABLE,
    *TURNS,
    *STILL,
    *RESTOCK,
    *ORDERS,
    *ON_SITE,
    *STATES,
    *PROMISED,
    *SHELF_LIFE,
)

"""Peroxides, retirement and the price of an order: what time does to the stores."""

from typing import Final

from prepstore.shelf.peroxides import PeroxideTest
from prepstore.tables.units import read_concentration
from tests.journeys.cases_of_stock import BY_ITEM
from tests.journeys.sample import TODAY, Case, Sample, case, change, coming, refused, setting

ETHER = "diethyl ether"


def _is_too_much(sample: Sample) -> bool:
    limit = sample.department.catalogue.settings.peroxide_limit
    return PeroxideTest(TODAY, read_concentration("15 mg/L")).is_above(limit)


PEROXIDES: Final = (
    case(
        "time",
        "an opened container is tested so many days after its last test",
        change("items", ETHER, peroxide_test="60"),
        see=lambda sample: sample.to_be_tested("L0243"),
        before="2027-03-24",  # tested on 22 February, 30 days
        after="2027-04-23",
    ),
    case(
        "time",
        "a test counts from the last one",
        change("stock", "L0243", tested="2027-03-01"),
        see=lambda sample: sample.to_be_tested("L0243"),
        before="2027-03-24",
        after="2027-03-31",
    ),
    case(
        "time",
        "without a test the day of opening counts",
        change("stock", "L0244", tested=""),
        see=lambda sample: (sample.to_be_tested("L0244"), sample.warned(ETHER, "tested")),
        before=("2027-03-24", 0),
        after=("2027-02-14", 1),  # opened on 15 January, 30 days; all 400 mL go on 4 March
        week="2027-W09",
    ),
    case(
        "time",
        "a sealed container is tested so many days after it was received",
        change("items", ETHER, peroxide_test_sealed="365"),
        see=lambda sample: sample.to_be_tested("L0247"),
        before="2028-05-02",  # received on 9 November 2026, 540 days
        after="2027-11-09",
    ),
    case(
        "time",
        "a sealed container without a day of receipt has no day for its test",
        change("stock", "L0247", received=""),
        see=lambda sample: sample.to_be_tested("L0247"),
        before="2028-05-02",
        after="None",
    ),
    case(
        "time",
        "a test above the limit of the setting is too much",
        setting("peroxide_limit", "20 mg/L"),
        see=_is_too_much,
        before=True,
        after=False,
    ),
    refused(
        "time",
        "the limit of a peroxide test is a mass in a volume",
        setting("peroxide_limit", "0.002 % w/w"),
        code="concentration-unreadable",
        says="'0.002 % w/w' is not a mass in a volume. Write it like 20 mg/L.",
    ),
    case(
        "time",
        "a container of unknown age that the plan draws on is named",
        change("stock", "L0247", received=""),
        see=lambda sample: sample.warned(ETHER, "L0247 forms peroxides and is used"),
        before=0,
        after=1,  # 7 × 45 mL × 1.35 is 425 mL: L0244 gives 400, L0247 the rest
        week="2027-W09",
    ),
)

RETIRED: Final = (
    refused(
        "time",
        "a retired practical cannot be timetabled",
        change("practicals", "PHY-04", retired="2027-03-08"),
        code="name-retired",
        says="is retired from 2027-03-08 on",
    ),
    refused(
        "time",
        "a session cannot use a retired item",
        change("items", "acetone", retired="2027-03-11"),
        code="name-retired",
        says="uses acetone",
    ),
    case(
        "time",
        "a retired solution is not restocked",
        change("solutions", "sodium chloride 10 % w/v", retired=""),
        see=lambda sample: sample.stock("sodium chloride 10 % w/v")["restock"],
        before=0,
        after=1000,  # none there, below 500 mL, so up to 1 L
    ),
    case(
        "time",
        "nothing is ordered from a retired supplier",
        change("suppliers", "Ravel Street Chemicals", retired=""),
        see=lambda sample: sample.order("potassium oxalate monohydrate"),
        before={"OW-1328": 1},  # 12.60
        after={"RS-2010": 1},  # 9.90
        beside=BY_ITEM,
    ),
)

PRICES: Final = (
    case(
        "time",
        "an order keeps the price it was placed at",
        coming("LF-1039", price="90.00"),
        see=lambda sample: (
            sample.value_on_order("LF-1039"),
            sample.plan.catalogue.packs["lf-1039"].price,
        ),
        before=([96], 96),
        after=([90], 96),
    ),
)

CASES: Final[tuple[Case, ...]] = (*PEROXIDES, *RETIRED, *PRICES)

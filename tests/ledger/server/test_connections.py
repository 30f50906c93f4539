import subprocess
import sys

import pytest
from sqlalchemy import text

from prepstore.ledger.store import reading
from tests.ledger.rows_of import store_with_lots
from tests.servers import Server


def test_without_the_extra_a_sentence_says_what_to_install() -> None:
    program = (
        "import sys\n"
        "sys.modules['psycopg'] = None\n"
        "from prepstore.cli.main import run\n"
        "sys.argv = ['prepstore', '--db', 'postgresql://127.0.0.1:1/prep', 'stock', 'list']\n"
        "run()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert done.stderr == (
        "A store on a server needs a part that is not installed. Install it with: "
        "pip install 'prepstore[server]'\n"
    )


def test_what_a_library_remarks_does_not_stand_on_the_screen() -> None:
    program = (
        "import logging\n"
        "import prepstore.ledger.server.connections\n"
        "logging.getLogger('psycopg').warning('error ignored')\n"
        "logging.getLogger('sqlalchemy.pool').error('error ignored')\n"
    )
    words = [sys.executable, "-c", program]
    done = subprocess.run(words, capture_output=True, text=True, check=True)
    assert done.stderr == ""


@pytest.mark.server
def test_sums_are_whole_numbers_and_text_comes_back_as_text(server: Server) -> None:
    place = store_with_lots(server.fresh(), L1="5")
    with reading(place) as connection:
        words = "SELECT sum(billionths), max(lot), count(*) FROM movements"
        found = tuple(connection.execute(text(words)).one())
    assert found == (5 * 10**9, "l1", 1)
    assert [type(one) for one in found] == [int, str, int]

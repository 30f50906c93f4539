"""Every console block in README and docs is run, and prints what it shows."""

import ast
import importlib.util
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

import pytest

from prepstore.cli.main import app

ROOT = Path(__file__).parents[1]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
SET_UP_BLOCKS = 2
"""The README's first two blocks set up an environment; .ci/run runs the second as it stands."""

_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def _blocks(page: Path) -> list[str]:
    found = _BLOCK.findall(page.read_text(encoding="utf-8"))
    return found[SET_UP_BLOCKS:] if page.name == "README.md" and page.parent == ROOT else found


PAGES_WITH_COMMANDS = [page for page in PAGES if _blocks(page)]


def _commands(block: str) -> list[tuple[str, list[str]]]:
    """Return each command of a block with the lines that it shows."""
    commands: list[tuple[str, list[str]]] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            commands.append((line[2:], []))
        else:
            commands[-1][1].append(line)
    return commands


def _as_pattern(shown: list[str]) -> str:
    """Return a pattern of the lines shown; a line of … stands for any lines."""
    return "".join(r"(?:.*\n)*?" if line == "…" else re.escape(line) + r"\n" for line in shown)


Run = tuple[str, list[str], str]
"""A command, the lines that the page shows of it, and what it printed."""


def _run_page(page: Path, folder: Path) -> list[Run]:
    """Run every command of a page in a folder with the sample inventory."""
    shutil.copytree(ROOT / "sample_inventory", folder / "sample_inventory")
    bin_folder = Path(sys.executable).parent
    environment = {
        **os.environ,
        "PATH": f"{bin_folder}{os.pathsep}{os.environ['PATH']}",
        "NO_COLOR": "1",
        "COLUMNS": "80",
        # The pages are of spring 2027, whenever they are read.
        "PREPSTORE_TODAY": "2027-03-31",
    }
    environment.pop("PREPSTORE_DB", None)
    # Else each of two hundred commands would compile the program anew.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    runs = []
    for block in _blocks(page):
        for command, shown in _commands(block):
            done = subprocess.run(
                ["bash", "-c", command],
                cwd=folder,
                env=environment,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                check=False,
            )
            printed = "".join(f"{line.rstrip()}\n" for line in done.stdout.splitlines())
            runs.append((command, shown, printed))
    return runs


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[Path, Future[list[Run]]]]:
    """All pages under way at once, as many as the machine has processors."""
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        folders = {page: tmp_path_factory.mktemp(page.stem) for page in PAGES_WITH_COMMANDS}
        yield {page: pool.submit(_run_page, page, folder) for page, folder in folders.items()}


@pytest.mark.parametrize("page", PAGES_WITH_COMMANDS, ids=lambda page: page.name)
def test_commands_print_what_the_page_shows(
    page: Path, runs: dict[Path, Future[list[Run]]]
) -> None:
    for command, shown, printed in runs[page].result():
        assert re.fullmatch(_as_pattern(shown), printed), f"$ {command}\n{printed}"


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    title, paragraph, *_ = text.split("\n\n")
    assert title == "# prepstore"
    assert paragraph.startswith("`prepstore` is for the technician")


def test_the_first_two_commands_are_one_line_each_and_set_up_for_themselves() -> None:
    blocks = _BLOCK.findall((ROOT / "README.md").read_text(encoding="utf-8"))[:SET_UP_BLOCKS]
    assert all(len(block.splitlines()) == 1 for block in blocks)
    assert all("python3 -m venv .venv" in block for block in blocks)
    assert "prepstore demo" in blocks[0]
    assert "pytest" in blocks[1]


def test_links_between_pages_lead_somewhere() -> None:
    for page in PAGES:
        for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            if not target.startswith(("http:", "https:")):
                assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_generated_pages_are_what_the_program_says_now() -> None:
    spec = importlib.util.spec_from_file_location("pages", ROOT / "docs" / "generate_reference.py")
    assert spec is not None
    assert spec.loader is not None
    generator = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(generator)
    for name, text in generator.pages().items():
        page = ROOT / "docs" / "reference" / name
        hint = f"{name} is stale: run python docs/generate_reference.py"
        assert page.read_text(encoding="utf-8") == text, hint


def test_every_command_has_a_section() -> None:
    text = (ROOT / "docs" / "reference" / "commands.md").read_text(encoding="utf-8")
    groups = {group.name: group.typer_instance for group in app.registered_groups}
    names = [str(command.name) for command in app.registered_commands]
    for name, group in groups.items():
        assert group is not None
        names += [f"{name} {command.name}" for command in group.registered_commands]
    missing = [name for name in names if f"## prepstore {name}\n" not in text]
    assert not missing


def _codes() -> set[str]:
    """Return the codes of all problems: constants of that form in the room that finds them."""
    code = re.compile(r"[a-z]+(-[a-z0-9]+)+")
    formats = {"utf-8-sig", "utf-8", "yyyy-mm-dd", "prepstore-template"}
    return {
        node.value
        for file in (ROOT / "prepstore" / "tables").glob("*.py")
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and code.fullmatch(node.value)
    } - formats


def test_every_problem_has_a_heading_and_every_heading_a_problem() -> None:
    text = (ROOT / "docs" / "reference" / "problems.md").read_text(encoding="utf-8")
    assert set(re.findall(r"^### (.+)$", text, re.MULTILINE)) == _codes()

"""Every console block in README and docs is run, and prints what it shows."""

import ast
import importlib.util
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from tests.typed_in import type_in

ROOT = Path(__file__).parents[1]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
SET_UP_BLOCKS = 2
"""The README's first two blocks set up an environment; .ci/run runs the second as it stands."""

_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def _blocks(page: Path) -> list[str]:
    found = _BLOCK.findall(page.read_text(encoding="utf-8"))
    return found[SET_UP_BLOCKS:] if page.name == "README.md" and page.parent == ROOT else found


def _prose_and_blocks(page: Path) -> list[tuple[str, str]]:
    """Return each block of a page with what is to be read before it."""
    prose, *others = _BLOCK.split(page.read_text(encoding="utf-8"))
    pairs = [(prose, "")]
    for block, text in zip(others[::2], others[1::2], strict=True):
        pairs[-1] = (pairs[-1][0], block)
        pairs.append((text, ""))
    return [pair for pair in pairs if pair[1] in _blocks(page)]


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


ENVIRONMENT = {
    "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}",
    "NO_COLOR": "1",
    "COLUMNS": "80",
    # The pages are of spring 2027, whenever they are read.
    "PREPSTORE_TODAY": "2027-03-31",
}
_FOR_A_SHELL = set("|&;<>$`*~\\")
"""Signs that a shell gives a meaning to; a command without them is run in this process."""


def _printed(command: str) -> str:
    """Return all that a command prints."""
    if command.startswith("prepstore ") and not _FOR_A_SHELL.intersection(command):
        result = CliRunner().invoke(app, shlex.split(command)[1:])
        assert result.exception is None or isinstance(result.exception, SystemExit), command
        return result.output
    done = subprocess.run(
        ["bash", "-c", command],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    return done.stdout


@pytest.mark.parametrize("page", PAGES_WITH_COMMANDS, ids=lambda page: page.name)
def test_commands_print_what_the_page_shows(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("PREPSTORE_DB", raising=False)
    # Else each command that needs a shell would compile the program anew.
    monkeypatch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
    for name, value in ENVIRONMENT.items():
        monkeypatch.setenv(name, value)
    shutil.copytree(ROOT / "sample_inventory", tmp_path / "sample_inventory")
    for prose, block in _prose_and_blocks(page):
        type_in(prose, Path("tables.xlsx"))
        for command, shown in _commands(block):
            lines = _printed(command).splitlines()
            printed = "".join(f"{line.rstrip()}\n" for line in lines)
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

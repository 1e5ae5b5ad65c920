"""What README and DEVELOPERS say is true of the tree."""

from __future__ import annotations

import re
from pathlib import Path

import yaml

from shop.environment import VARIABLES

ROOT = Path(__file__).resolve().parents[1]
TOP = {
    "README.md", "DEVELOPERS.md", "manage.py", "requirements.txt", "pyproject.toml", "docker-compose.yml",
    "shop", "specs", "routing", "templates", "tests",
}  # fmt: skip


def environment_table() -> str:
    """The table of environment variables as DEVELOPERS.md prints it."""
    rows = [f"| `{row.name}` | {f'`{row.default}`' if row.default else 'empty'} | {row.meaning} |" for row in VARIABLES]
    return "\n".join(["| variable | default | meaning |", "|---|---|---|", *rows])


def read(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def test_developers_lists_every_environment_variable():
    printed = read("DEVELOPERS.md").split("<!-- environment -->")[1]
    assert printed.strip().startswith(environment_table())


def test_no_code_reads_the_environment_elsewhere():
    readers = {
        str(path.relative_to(ROOT))
        for floor in ("shop", "routing", "specs")
        for path in (ROOT / floor).rglob("*.py")
        if re.search(r"os\.environ(?!\.setdefault)|os\.getenv", path.read_text(encoding="utf-8"))
    }
    assert readers == {"shop/environment.py"}


def test_the_map_names_what_exists():
    column = read("DEVELOPERS.md").split("## Map")[1].split("## ")[0]
    for row in re.findall(r"^\| (`.*?`) \|", column, re.MULTILINE):
        names = [name for ticked in re.findall(r"`([^`]+)`", row) for name in ticked.split()]
        floor = Path(names[0]).parent if "." in names[0] else Path(names[0])
        for name in names:
            assert any((ROOT / place / name).exists() for place in ("", floor, floor.parent)), name


def test_the_top_level_holds_nothing_else():
    ignored = {line.strip("/") for line in read(".gitignore").splitlines()}
    found = {entry.name for entry in ROOT.iterdir() if not entry.name.startswith(".")}
    assert found - ignored == TOP


def test_the_two_commands_are_one_line_each():
    for mark in ("demo", "test"):
        block = read("README.md").split(f"<!-- {mark} command -->")[1].split("```")[1]
        assert len(block.removeprefix("sh\n").strip().splitlines()) == 1


def test_pictures_of_the_readme_exist():
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", read("README.md"))
    assert pictures
    assert all((ROOT / picture).is_file() for picture in pictures)


def test_the_compose_file_parses_and_starts_what_it_says():
    composed = yaml.safe_load(read("docker-compose.yml"))
    assert set(composed["services"]) == {"web", "worker", "scheduler", "database", "redis"}
    known = {row.name for row in VARIABLES}
    assert set(composed["x-program"]["environment"]) <= known

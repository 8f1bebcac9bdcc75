"""What is written about the code is held against the code."""

import importlib
import inspect
import pkgutil
import re
import subprocess
from pathlib import Path

import pytest

import wringout.physics
from wringout.cli.main import COMMANDS

ROOT = Path(__file__).parent.parent
# Words that carry no physics: parts of a signature whose meaning the function's own docstring gives.
PLAIN_WORDS = {"name", "source", "value", "what", "low", "high", "ratio", "slowest", "cubed"}


def physics_arguments() -> set[str]:
    """Every argument of a public function and every field of a public class of the physics."""
    names: set[str] = set()
    for found in pkgutil.iter_modules(wringout.physics.__path__):
        module = importlib.import_module(f"wringout.physics.{found.name}")
        for name, item in vars(module).items():
            if name.startswith("_") or getattr(item, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(item):
                names |= set(inspect.signature(item).parameters)
            elif inspect.isclass(item):
                names |= set(getattr(item, "__dataclass_fields__", {}))
    return {name for name in names if not name.startswith("_")} - PLAIN_WORDS


def test_the_glossary_defines_every_public_argument_of_the_physics() -> None:
    """A reader finds any name of the physics in the glossary."""
    glossary = (ROOT / "docs/glossary.md").read_text(encoding="utf-8")
    defined = set(re.findall(r"^\| (\w+) \|", glossary, re.MULTILINE))
    assert physics_arguments() - defined == set()


def test_sources_cited_in_the_glossary_stand_in_the_bibliography() -> None:
    """A cited key leads somewhere."""
    bibliography = (ROOT / "docs/bibliography.md").read_text(encoding="utf-8")
    keys = set(re.findall(r"^\| ([\w.\-]+) \|", bibliography, re.MULTILINE))
    glossary = (ROOT / "docs/glossary.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| \w+ \|.*\| ([^|]+) \|$", glossary, re.MULTILINE)
    cited = {row.split()[0] for row in rows} - {"–", "mechanics", "common", "source"}
    assert cited - keys == set()


@pytest.mark.parametrize("page", [path.relative_to(ROOT) for path in sorted(ROOT.glob("docs/**/*.md"))])
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    """No page points at a file that is not there."""
    text = (ROOT / page).read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#:]+)\)", text):
        assert ((ROOT / page).parent / target).exists(), f"{page} points at {target}"


def test_the_front_page_names_every_command() -> None:
    """The README's table is the program's own list."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for command in COMMANDS:
        assert f"`{command}`" in readme


def test_no_tracked_file_names_a_registry_host() -> None:
    """Dependencies are pinned by name and version alone."""
    hosts = ("py" + "pi.org", "python" + "hosted.org", "registry." + "npmjs")
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout")
    for name in listed.stdout.splitlines():
        path = ROOT / name
        if path.is_file() and path.suffix in {".md", ".txt", ".toml", ".py", ".typ", ""}:
            text = path.read_text(encoding="utf-8", errors="replace")
            assert not any(host in text for host in hosts), name

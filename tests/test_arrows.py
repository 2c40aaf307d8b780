"""The direction of imports between the rooms, and that nothing heavy loads before it is needed."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
CORE = ROOT / "daemon" / "propsoff"
LEAVES = frozenset(
    {"exceptions", "tomlfile", "toml_scan", "safe_write", "threads", "isolation", "versions", "toml_text", "__init__"}
)
"""Modules at the root that import no room; every room may use them."""
ALLOWED: dict[str, frozenset[str]] = {
    "craft": frozenset(),
    "overlay": frozenset({"craft"}),
    "notes": frozenset({"craft", "sheets"}),
    "ports": frozenset(),
    "console": frozenset(),
    "dialects": frozenset({"craft", "console", "ports"}),
    "sheets": frozenset({"craft"}),
    "learning": frozenset({"craft", "console", "dialects", "ports"}),
    "inspection": frozenset({"craft", "console", "dialects", "sheets", "ports", "notes"}),
    "store": frozenset({"inspection", "console"}),
    "outputs": frozenset({"inspection", "console", "overlay", "craft"}),
    "records": frozenset({"inspection", "craft"}),
    "bench": frozenset(
        {
            "craft",
            "notes",
            "ports",
            "console",
            "outputs",
            "inspection",
            "library",
            "plugins",
            "settings",
            "sheets",
            "dialects",
            "learning",
            "store",
        }
    ),
    # The settings know the tables of what leaves a bench, and a bench is told by whoever runs it what does.
    "outgoing": frozenset({"bench", "outputs", "inspection", "console", "settings", "ports"}),
    "page": frozenset(
        {
            "bench",
            "outputs",
            "inspection",
            "console",
            "settings",
            "store",
            "records",
            "craft",
            "overlay",
            "ports",
            "sheets",
            "notes",
        }
    ),
    "client": frozenset(
        {"bench", "inspection", "console", "craft", "ports", "records", "settings", "settings_sources", "store"}
    ),
    "cli": frozenset(
        {
            "bench",
            "outgoing",
            "page",
            "client",
            "outputs",
            "inspection",
            "ports",
            "library",
            "plugins",
            "settings",
            "settings_sources",
            "hookspecs",
            "logs",
            "console",
            "documents",
            "dialects",
            "sheets",
            "craft",
            "notes",
            "overlay",
            "learning",
            "store",
            "records",
        }
    ),
}


def imports(file: Path) -> set[str]:
    """The rooms and root modules of propsoff that a file imports, also inside functions and for types."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(file.read_text())):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: relative imports hide the arrows"
            names = [node.module or ""]
            if node.module == "propsoff":
                names = [f"propsoff.{alias.name}" for alias in node.names]
        found |= {name.split(".")[1] for name in names if name.startswith("propsoff.")}
    return found


@pytest.mark.parametrize("room", sorted(ALLOWED))
def test_a_room_imports_only_what_its_arrows_allow(room: str) -> None:
    files = sorted((CORE / room).rglob("*.py"))
    assert files
    for file in files:
        wrong = imports(file) - ALLOWED[room] - LEAVES - {room, "__version__"}
        assert not wrong, f"{file.relative_to(ROOT)} imports {sorted(wrong)}"


def test_built_in_checks_use_only_what_a_third_party_could() -> None:
    files = sorted((ROOT / "plugins" / "propsoff_checks").rglob("*.py"))
    assert len(files) >= 5
    for file in files:
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("propsoff"):
                assert node.module == "propsoff" or (node.module or "").startswith("propsoff_checks"), file
            if isinstance(node, ast.Import):
                assert not any(alias.name.startswith("propsoff.") for alias in node.names), file


def test_the_core_never_imports_the_built_in_checks_or_the_simulator_except_to_show_it() -> None:
    for file in sorted(CORE.rglob("*.py")):
        text = file.read_text()
        assert "import propsoff_checks" not in text, file
        assert "from propsoff_checks" not in text, file
        if "propsoff_sim" in text:
            assert file.relative_to(CORE).as_posix() in {"cli/sim.py", "cli/demo.py"}, file


def test_the_simulator_shares_no_code_with_the_reader() -> None:
    for file in sorted((ROOT / "fixtures" / "propsoff_sim").rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.ImportFrom) and node.level == 0:
                assert (node.module or "").split(".")[0] not in {"propsoff", "propsoff_checks"}, file
            if isinstance(node, ast.Import):
                assert not {alias.name.split(".")[0] for alias in node.names} & {"propsoff", "propsoff_checks"}, file


HEAVY = (
    "pydantic",
    "pydantic_settings",
    "structlog",
    "sqlalchemy",
    "rich",
    "serial",
    "pyudev",
    "asyncinotify",
    "watchfiles",
    "propsoff_sim",
    "asyncio",
    "jinja2",
    "httpx",
    "fastapi",
    "uvicorn",
    "prometheus_client",
)


@pytest.mark.parametrize("code", ["import propsoff", "from propsoff.cli.main import run; run(['--help'])"])
def test_nothing_heavy_loads_for_import_and_help(code: str) -> None:
    probe = f"{code}\nimport sys; sys.stderr.write(','.join(m for m in {HEAVY!r} if m in sys.modules))"
    done = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True, timeout=50)
    assert done.stderr == ""


def test_every_public_name_can_be_had() -> None:
    import propsoff

    for name in propsoff.__all__:
        assert getattr(propsoff, name) is not None
    with pytest.raises(AttributeError):
        _ = propsoff.no_such_name

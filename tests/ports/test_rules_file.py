"""contrib/udev/60-propsoff.rules: its grammar, and that it lists exactly what the table of identities knows.

What udev makes of it is tested in tests/integration/test_udev_rules.py.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from propsoff.ports.identity import KNOWN_IDENTITIES

RULES = Path(__file__).parents[2] / "contrib" / "udev" / "60-propsoff.rules"

# udev(7) of systemd 252: a key, an optional {attribute}, an operator, a value in double quotes.
TERM = re.compile(r'([A-Z]+)(?:\{([^}]+)\})?(==|!=|=|\+=|-=|:=)"([^"]*)"')
MATCHING = {"ACTION", "SUBSYSTEM", "ATTR", "ATTRS", "ENV"}
ASSIGNING = {"GROUP", "MODE", "ENV", "GOTO", "LABEL"}
Rule = list[tuple[str, str, str, str]]


def rules() -> list[Rule]:
    parsed: list[Rule] = []
    for number, line in enumerate(RULES.read_text(encoding="ascii").splitlines(), 1):
        if line.strip() and not line.startswith("#"):
            terms = [TERM.fullmatch(term) for term in line.split(", ")]
            assert all(terms), f"line {number}: {line}"
            parsed.append([(term[1], term[2] or "", term[3], term[4]) for term in terms if term])
    return parsed


@pytest.mark.parametrize("rule", rules(), ids=str)
def test_each_key_is_matched_or_assigned_as_udev_allows(rule: Rule) -> None:
    for key, attribute, operator, _ in rule:
        assert key in (MATCHING if operator in ("==", "!=") else ASSIGNING)
        assert bool(attribute) == (key in ("ATTR", "ATTRS", "ENV"))


def listed(key: str) -> set[tuple[int, int | None]]:
    """The (vid, pid) pairs that the lines with this key match; pid None where a line names the vendor only."""
    pairs: set[tuple[int, int | None]] = set()
    for rule in rules():
        values = {attribute: value for word, attribute, operator, value in rule if word == key and operator == "=="}
        products = values.get("idProduct", "").split("|")
        for vid in values.get("idVendor", "").split("|"):
            pairs |= {(int(vid, 16), int(pid, 16) if pid else None) for pid in products if vid}
    return pairs


@pytest.mark.parametrize("key", ["ATTR", "ATTRS"])
def test_the_file_lists_the_native_ports_and_bridges_of_the_table_and_nothing_else(key: str) -> None:
    assert listed(key) == {(row.vid, row.pid) for row in KNOWN_IDENTITIES if row.kind in ("native", "bridge")}


def test_every_jump_has_its_label() -> None:
    words = [term for rule in rules() for term in rule]
    assert {value for key, _, _, value in words if key == "GOTO"} == {v for key, _, _, v in words if key == "LABEL"}


def test_the_rules_are_numbered_so_that_a_seat_rule_still_works() -> None:
    """systemd#4288: a rule that tags a device for the seated user does nothing above 73."""
    assert int(RULES.name.split("-")[0]) < 73

"""The line that tells a firmware apart tells it in its next version, too. Lines are invented."""

from __future__ import annotations

import re

import pytest

from propsoff.dialects.templates import compile_template
from propsoff.learning.learn import learn
from tests_support.answers import heard_from


def _known_by(about: str) -> str:
    draft = learn(heard_from({"about": about}), id_="oak", title="Oak").draft
    assert draft is not None
    return draft.known_by


@pytest.mark.parametrize(
    ("about", "later"),
    [
        (
            "firmware: name oaken, version 0.18.6, built 2026-05-02, loader 1.0\nboard: model ELM-F4, serial 22B0-7F14",
            "firmware: name oaken, version 0.19.0, built 2026-07-01, loader 1.1",
        ),
        (
            "FIRMWARE: NAME OAKEN; VERSION 3.12; BUILD DATE 2026-04-02; LOADER VERSION 1.4",
            "FIRMWARE: NAME OAKEN; VERSION 4.0; BUILD DATE 2026-04-02; LOADER VERSION 1.4",
        ),
        ("firmware name = oaken\nfirmware version = 1.2.3", "firmware name = oaken"),
        ("firmware oaken 1.2.3\nboard ELM-F4", "firmware oaken 1.3.0"),
        ("FIRMWARE NAME        [OAKEN]\nFIRMWARE VERSION     [2.15]", "FIRMWARE NAME        [OAKEN]"),
        ("Oaken ready since 300 ms\nlow = 3\nhigh = 4", "Oaken ready since 12 ms"),
        ("I am Oaken, firmware version 5.0.1.\nlow = 3", "I am Oaken, firmware version 5.1.0."),
    ],
)
def test_no_version_date_or_number_is_part_of_what_a_firmware_is_known_by(about: str, later: str) -> None:
    known = _known_by(about)
    assert compile_template(known).fits(about.partition("\n")[0])
    assert compile_template(known).fits(later)
    assert re.search(r"[0-9]", known) is None


def test_another_firmware_is_not_known_by_it() -> None:
    known = _known_by("firmware: name oaken, version 0.18.6, built 2026-05-02\nboard: model ELM-F4, serial 22B0-7F14")
    assert not compile_template(known).fits("firmware: name elmen, version 0.18.6, built 2026-05-02")

"""Units as consoles write them.

The decimal prefixes are those of the SI Brochure (9th edition, table 7), the binary ones those of IEC 80000-13, both
from memory; the other ways to write a unit are common practice.
"""

from __future__ import annotations

import math

import pytest

from propsoff.dialects.units import scale
from propsoff.learning.measures import Measure, measure

# SI Brochure, 9th edition, table 7; IEC 80000-13 for the last three; from memory.
_PREFIXES = """
mV V 1e-3
ms s 1e-3
us s 1e-6
kHz Hz 1e3
MHz Hz 1e6
GHz Hz 1e9
mW W 1e-3
kB bytes 1e3
MB bytes 1e6
GB bytes 1e9
kbaud baud 1e3
KiB bytes 1024
MiB bytes 1048576
GiB bytes 1073741824
"""


@pytest.mark.parametrize("row", _PREFIXES.split("\n")[1:-1])
def test_a_prefix_makes_a_unit_of_its_own_that_counts_as_the_standard_says(row: str) -> None:
    written, base, factor = row.split()
    said = measure(written)
    assert said is not None
    counted = scale(said.unit, base)
    assert counted is not None
    assert said.factor * float(counted.factor) == pytest.approx(float(factor), rel=1e-12)


@pytest.mark.parametrize(
    ("written", "unit"),
    [
        ("V", "V"),
        ("volts", "V"),
        ("Volt", "V"),
        ("usec", "us"),
        ("\u00b5s", "us"),  # the micro sign
        ("\u03bcs", "us"),  # the Greek letter
        ("Sekunden", "s"),
        ("millisecondes", "ms"),
        ("HERTZ", "Hz"),
        ("percent", "%"),
        ("\u2030", "permille"),
        ("bit/s", "baud"),
        ("°C", "C"),
        ("(mV)", "mV"),
        ("[us]", "us"),
        (" ms. ", "ms"),
    ],
)
def test_a_unit_is_known_by_its_sign_its_name_and_in_brackets(written: str, unit: str) -> None:
    assert measure(written) == Measure(unit)


@pytest.mark.parametrize(
    "written",
    [
        "V/cell",
        "V per cell",
        "volts a cell",
        "V each cell",
        "V pro Zelle",
        "volts par élément",
        "V por celda",
        "V/cel.",
    ],
)
def test_a_unit_for_each_cell_is_the_unit(written: str) -> None:
    assert measure(written) == Measure("V")


@pytest.mark.parametrize(
    ("written", "unit", "factor"),
    [
        ("dV", "V", 0.1),
        ("cV", "V", 0.01),
        ("centivolts", "V", 0.01),
        ("deciseconds", "s", 0.1),
        ("cs", "s", 0.01),
        ("x 0.1 s", "s", 0.1),
        ("× 0.01 V", "V", 0.01),
        ("*0.001 V", "V", 0.001),
        ("0.1 V", "V", 0.1),
        ("1/10 s", "s", 0.1),
        ("1/100 V", "V", 0.01),
        ("1/1000 V", "V", 0.001),
        ("x10 us", "us", 10.0),
        ("tenths of a second", "s", 0.1),
        ("tenth of an amp", "A", 0.1),
        ("hundredths of a volt", "V", 0.01),
        ("thousandths of a volt", "V", 0.001),
        ("tenths of a volt per cell", "V", 0.1),
        ("x 0.1", "", 0.1),
        ("hundredths", "", 0.01),
    ],
)
def test_a_share_or_a_multiple_of_a_unit_says_how_many_one_is(written: str, unit: str, factor: float) -> None:
    said = measure(written)
    assert said is not None
    assert said.unit == unit
    assert math.isclose(said.factor, factor)


@pytest.mark.parametrize(
    "written",
    [
        "",
        " ",
        "cells",
        "banana",
        "x",
        "5 s",
        "2 V",
        "4S",
        "V cell",
        "per cell",
        "1/3 s",
        "tenths of a banana",
        "0.1 banana",
    ],
)
def test_what_is_no_unit_counts_in_nothing(written: str) -> None:
    assert measure(written) is None

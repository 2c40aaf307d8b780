"""What the demonstration shows: a box of three craft of one model, then other boards, good and faulty; an invention."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.hookspecs import hookimpl

if TYPE_CHECKING:
    from propsoff.inspection.case import Case
    from propsoff.inspection.check import Check
    from propsoff.inspection.finding import Finding


@dataclass(frozen=True)
class Act:
    """One board: its name in the simulator, what it should show, what is wrong with its line, what its craft is called.

    `label` None leaves the craft's name as the simulator has it. `a_craft`: whether it has a flight controller.
    """

    name: str
    shows: str
    faults: tuple[str, ...] = ()
    label: str | None = None
    a_craft: bool = True


BOX: Sequence[Act] = (
    Act("ossel-analog", "the variant with an analogue link, as it should be", label="Teal Wren A"),
    Act("ossel-hd50+layout-cramped", "the variant for goggles that draw 50x18", label="Teal Wren D50"),
    Act("ossel-hd53+layout-cramped", "the variant for goggles that draw 53x20", label="Teal Wren D53"),
)
"""One model, three video links; somebody set up one and copied it."""

OTHERS: Sequence[Act] = (
    Act("ossel-hd53", "a craft with a digital link, as it should be"),
    Act("ossel-hd53+small-grid", "the next one of these: shipped with the wrong grid"),
    Act("brindle-hd53+order-taer", "another firmware: channels in an order that is not the house's"),
    Act("corvane-analog-spi", "a third firmware: an SPI receiver"),
    Act("corvane-hd53+overlay-link-missing", "no UART carries the overlay"),
    Act("brindle-analog+bad-baud", "a UART at a rate that its receiver does not speak"),
    Act("ossel-hd53+overlay-off", "an overlay that is switched off"),
    Act("corvane-hd53+malformed-grid", "a value on the console that cannot be read: unknown, never a pass"),
    Act("ossel-analog+unnamed", "a craft without a name, which a faulty check of a plug-in trips over"),
    Act("brindle-hd50", "a board that is unplugged in mid-listing", ("unplug:900",)),
    Act("gps", "something that is no flight controller", a_craft=False),
)

SHEETS: Mapping[str, str] = {
    "teal-wren": """
format = 1
name = "teal-wren"
title = "Teal Wren, whatever its video link"
abstract = true

[receiver]
kind = ["serial", "spi"]

[channels]
order = "AETR"

[ports]
required = ["console"]
""",
    "teal-wren-analog": """
format = 1
name = "teal-wren-analog"
title = "Teal Wren with an analogue video link"
extends = "teal-wren"

[match]
craft = "Teal Wren*"
video = "analog"

[overlay]
grid = ["pal", "ntsc"]
""",
    "teal-wren-50": """
format = 1
name = "teal-wren-50"
title = "Teal Wren for goggles that draw 50x18"
extends = "teal-wren"

[match]
craft = "Teal Wren D50"
video = "digital"

[overlay]
grid = "hd-50x18"
""",
    "teal-wren-53": """
format = 1
name = "teal-wren-53"
title = "Teal Wren for goggles that draw 53x20"
extends = "teal-wren"

[match]
craft = ["Teal Wren D53", "Teal Wren"]
video = "digital"

[overlay]
grid = "hd-53x20"
""",
}
"""One base, three short sheets."""


class DemoPlugin:
    """A plug-in that brings build sheets, and a check with a fault in it, so that one sees what becomes of it."""

    def __init__(self, folder: Path) -> None:
        self._sheets = folder / "sheets"
        self._sheets.mkdir()
        for name, text in SHEETS.items():
            (self._sheets / f"{name}.toml").write_text(text)

    @hookimpl
    def propsoff_sheets(self) -> Sequence[Path]:
        """The build sheets of the craft that are shown."""
        return [self._sheets]

    @hookimpl
    def propsoff_checks(self) -> Sequence[Check]:
        """One check that splits the craft's name without looking whether there is one."""
        from propsoff.inspection.check import check

        @check(
            "demo-initials",
            title="The craft's initials",
            why="They go on the label of its box.",
            reads=("craft.name",),
            sources=("invented for the demonstration",),
        )
        def demo_initials(case: Case) -> Iterator[Finding]:
            words = (case.craft.craft.name or "").split()
            yield case.passed(f"the label reads {words[0][0]}{words[-1][0]}", facts=("craft.name",))

        return [demo_initials]

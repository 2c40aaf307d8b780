"""What the demonstration shows: a box of three craft of one model, then other boards, good and faulty; an invention."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.hookspecs import hookimpl

if TYPE_CHECKING:
    from propsoff.cli.demo_ports import Unlisted
    from propsoff.inspection.case import Case
    from propsoff.inspection.check import Check
    from propsoff.inspection.finding import Finding


@dataclass(frozen=True)
class Act:
    """One board: its name in the simulator, what it should show, what is wrong with its line, what its craft is called.

    `label` None leaves the craft's name as the simulator has it; `facts` are others that are not as the simulator has
    them. `a_craft`: whether it has a flight controller.
    """

    name: str
    shows: str
    faults: tuple[str, ...] = ()
    label: str | None = None
    facts: Mapping[str, object] = field(default_factory=dict)
    a_craft: bool = True


def _on(channel: int, mhz: int) -> Mapping[str, object]:
    """Sends on a channel of band R: each analogue craft has its own, so that none is warned of for another's sake."""
    return {"video.channel": channel, "video.frequency_mhz": mhz}


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
    Act("corvane-analog-spi", "a third firmware: an SPI receiver, as it should be", facts=_on(4, 5769)),
    Act("corvane-hd53+overlay-link-missing", "no UART carries the overlay"),
    Act("brindle-analog+bad-baud", "a UART at a rate that its receiver does not speak", facts=_on(7, 5880)),
    Act("ossel-hd53+overlay-off", "an overlay that is switched off"),
    Act("corvane-hd53+malformed-grid", "a value on the console that cannot be read: unknown, never a pass"),
    Act("ossel-analog+unnamed", "no name on it: a faulty check of a plug-in trips over that", facts=_on(2, 5695)),
    Act("brindle-hd50", "a board that is unplugged in mid-listing", ("unplug:900",)),
    Act("gps", "something that is no flight controller", a_craft=False),
)

ASKED = Act("ossel-hd53", "what no console can tell is asked: answer it on the page", label="Teal Wren New")
UNLISTED = Act("ossel-hd53", "a port that nobody has allowed: decide about it on the page", label="Teal Wren Far")
"""What waits for a person. They are shown only where there is a page to answer on."""

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
craft = ["Teal Wren D53", "Teal Wren", "Teal Wren Far"]
video = "digital"

[overlay]
grid = "hd-53x20"
""",
    "teal-wren-new": """
format = 1
name = "teal-wren-new"
title = "Teal Wren as it comes from assembly"
extends = "teal-wren"

[match]
craft = "Teal Wren New"

[overlay]
grid = "hd-53x20"

[[questions]]
id = "propellers-off"
ask = "Are all propellers off?"
kind = "yes-no"
expected = "yes"
why = "They cut, and connecting the battery may start a motor."
remedy = "Take them off before anything is connected."

[[questions]]
id = "antenna"
ask = "Is the antenna of the video transmitter screwed on?"
kind = "yes-no"
expected = "yes"
why = "A transmitter that sends without its antenna may be damaged."
remedy = "Screw it on before the craft is powered."

[[questions]]
id = "remark"
ask = "What else did you notice?"
kind = "text"
""",
}
"""One base, four short sheets; one of them asks."""


class DemoPlugin:
    """A plug-in that brings build sheets, and a check with a fault in it, so that one sees what becomes of it."""

    def __init__(self, folder: Path, unlisted: Unlisted) -> None:
        self._unlisted = unlisted
        self._sheets = folder / "sheets"
        self._sheets.mkdir()
        for name, text in SHEETS.items():
            (self._sheets / f"{name}.toml").write_text(text)

    @hookimpl
    def propsoff_sheets(self) -> Sequence[Path]:
        """The build sheets of the craft that are shown."""
        return [self._sheets]

    @hookimpl
    def propsoff_port_sources(self) -> Sequence[Unlisted]:
        """The socket that nobody has allowed."""
        return [self._unlisted]

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

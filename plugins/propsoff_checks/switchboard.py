"""The switches of one craft beside the house plan, and how a finding about one of them is told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from propsoff import Case, Finding, PlannedSwitch, Switch, SwitchPlan
from propsoff_checks.positions import say_switch, told
from propsoff_checks.pulses import Travel
from propsoff_checks.words import PROPELLERS_OFF

LINE_UP = (
    "Propellers off, transmitter on: move each switch through its positions and see that the board shows what is meant."
)
ARMS = (
    f"{PROPELLERS_OFF} A craft whose arm switch is on may start its motors at any moment: keep clear, and take the "
    "battery off first."
)


@dataclass(frozen=True)
class Switchboard:
    """What every look at a switch needs."""

    case: Case
    switches: Sequence[Switch]
    plan: SwitchPlan
    travel: Travel

    def planned(self, function: str) -> PlannedSwitch | None:
        """Where the house has a function; capitals do not matter."""
        return next(
            (where for name, where in self.plan.planned.items() if name.casefold() == function.casefold()), None
        )

    def fail(
        self,
        at: int,
        summary: str,
        code: str,
        why: str,
        expected: str,
        *,
        wanted: Mapping[str, int | None] | None = None,
        steps: Sequence[str] = (),
        warn: bool = False,
        caution: str | None = None,
        explains: Sequence[str] = (),
    ) -> Finding:
        """A finding about one switch; set right as planned, else as `wanted`."""
        switch = self.switches[at]
        where = self.planned(switch.function or "")
        plan = {"channel": where.channel, "from_us": where.from_us, "to_us": where.to_us} if where else {}
        target = {**(wanted or {}), **{name: value for name, value in plan.items() if value is not None}}
        tell = self.case.warn if warn else self.case.fail
        return tell(
            summary,
            code=code,
            facts=(f"switches[{at}]",),
            expected=f"{planned_words(where)} (build sheet)" if plan else expected,
            actual=told(switch),
            why=why,
            console=say_switch(self.case, self.switches, at, target),
            steps=(*steps, LINE_UP),
            caution=caution,
            explains=explains,
        )


def planned_words(where: PlannedSwitch | None) -> str:
    if where is None:
        return ""
    parts = [f"channel {where.channel}"] if where.channel is not None else []
    parts += [f"from {where.from_us} us"] if where.from_us is not None else []
    parts += [f"to {where.to_us} us"] if where.to_us is not None else []
    return " ".join(parts) or "anywhere"

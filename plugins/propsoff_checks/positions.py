"""What every position of every switch does, in words; and the console lines that move a switch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from propsoff import Case, Switch
from propsoff_checks.pulses import Travel, meets
from propsoff_checks.words import cut, listed

_FIELDS = ("channel", "from_us", "to_us")


def name_of(switch: Switch) -> str:
    """The function of a switch, short enough to quote."""
    return cut(switch.function) if switch.function else "a function without a name"


def told(switch: Switch) -> str:
    """Where a switch is active: `channel 5, 1700 to 2100 us`."""
    channel, low, high = ("?" if value is None else value for value in (switch.channel, switch.from_us, switch.to_us))
    return f"channel {channel}, {low} to {high} us"


def span_of(switch: Switch) -> tuple[int, int]:
    """The range of a switch, in us, of which both ends were read."""
    return (switch.from_us or 0, switch.to_us or 0)


def in_words(switches: Iterable[Switch], travel: Travel) -> str:
    """What each position of each channel does: `channel 6: low nothing, middle level, high nothing`."""
    by_channel: dict[int, list[Switch]] = {}
    for switch in switches:
        if switch.channel is not None and switch.from_us is not None and switch.to_us is not None:
            by_channel.setdefault(switch.channel, []).append(switch)
    return "; ".join(f"channel {channel}: {_channel(by_channel[channel], travel)}" for channel in sorted(by_channel))


def _channel(switches: Sequence[Switch], travel: Travel) -> str:
    said, placed = [], set[int]()
    for word, at_us in travel.positions:
        here = [switch for switch in switches if meets(*span_of(switch), at_us)]
        placed.update(map(id, here))
        said.append(f"{word} {listed(name_of(switch) for switch in here) or 'nothing'}")
    between = [
        f"{name_of(switch)} between {switch.from_us} and {switch.to_us} us"
        for switch in switches
        if id(switch) not in placed
    ]
    return ", ".join([*said, *between])


def say_switch(case: Case, switches: Sequence[Switch], at: int, wanted: Mapping[str, int | None]) -> tuple[str, ...]:
    """Console lines that give a switch these values (`channel`, `from_us`, `to_us`; None or left out: as they are).

    Empty where the board cannot be told so, and where two rows have one function: some boards would take the other.
    """
    switch = switches[at]
    if case.tongue is None or not switch.function or [one.function for one in switches].count(switch.function) > 1:
        return ()
    now = {name: getattr(switch, name) for name in _FIELDS}
    then = {**now, **{name: value for name, value in wanted.items() if value is not None}}
    row = {"index": at + 1, "function": switch.function, **then}
    said: list[str] = []
    for name in (name for name in _FIELDS if then[name] != now[name]):
        lines = case.tongue.say(f"switches[].{name}", then[name], row=row)
        if not lines:
            return ()
        said += [line for line in lines if line not in said]
    return (*said, *case.tongue.closing()) if said else ()

"""Every wait and every cap of a conversation, in one place. The bench's settings fill it; tests scale it down."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace


@dataclass(frozen=True, slots=True)
class Timings:
    """Waits in seconds and caps in bytes. No wait of the console room is without its deadline here.

    Opening: `open_s` for one attempt; a port that is denied or not there yet is tried again for `settle_s` (device
    files of a fresh port get their owner late), one that another process holds for `busy_s`.

    Recognising: `listen_s` of passive listening before the first write (left out for a known board); `wake_s` for the
    prompt after the first line end; `identify_s` for the whole reply to the identity command.

    A reply has ended when its signs are there and then, for so long, nothing came: `quiet_marked_s` when every
    independent sign is there (end mark, identity; 0: no pause is waited for), `quiet_s` when the prompt is the only
    sign that this reply has, `stall_s` when a sign is missing; three times `stall_s` of silence in the middle of a
    reply break it off. A command typed slowly waits `key_s` before each character.

    `write_s` is the longest that the board may refuse bytes, `close_s` how long a port is given to close, `talk_s` the
    whole conversation. `inbox_bytes` is how much is taken in before the board is made to wait.
    """

    open_s: float = 5.0
    settle_s: float = 2.0
    busy_s: float = 15.0
    listen_s: float = 1.5
    wake_s: float = 1.5
    identify_s: float = 3.0
    quiet_s: float = 0.15
    quiet_marked_s: float = 0.0
    stall_s: float = 1.0
    key_s: float = 0.02
    write_s: float = 2.0
    close_s: float = 2.0
    talk_s: float = 120.0
    inbox_bytes: int = 256 << 10

    def __post_init__(self) -> None:
        for item in fields(self):
            if not getattr(self, item.name) >= 0:
                raise ValueError(f"timings: {item.name} is {getattr(self, item.name)!r}; it must be 0 or more")

    def scaled(self, factor: float) -> Timings:
        """All waits times `factor`; the caps stay."""
        waits = {item.name: getattr(self, item.name) * factor for item in fields(self) if item.name.endswith("_s")}
        return replace(self, **waits)

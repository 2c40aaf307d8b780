"""What may be sent to a board before it is identified."""

from __future__ import annotations

from propsoff.exceptions import BudgetError

MAX_WRITES = 2
MAX_BYTES = 32


class Budget:
    """Counts what is sent to a stranger, and refuses before a write would exceed `max_writes` or `max_bytes`."""

    def __init__(self, max_writes: int = MAX_WRITES, max_bytes: int = MAX_BYTES) -> None:
        self._max_writes, self._max_bytes = max_writes, max_bytes
        self.writes = 0
        self.bytes_sent = 0

    def allows(self, data: bytes) -> bool:
        """Whether this write may still be made."""
        return self.writes + 1 <= self._max_writes and self.bytes_sent + len(data) <= self._max_bytes

    def spend(self, data: bytes) -> None:
        """Count a write that is about to be made. Raises BudgetError when it must not be made."""
        if not self.allows(data):
            raise BudgetError(
                f"{len(data)} more bytes would exceed what a board may be sent before it is identified: "
                f"{self.bytes_sent} in {self.writes} writes were sent, {self._max_bytes} in {self._max_writes} may be"
            )
        self.writes += 1
        self.bytes_sent += len(data)

"""History as callers ask it: one question at a time, each within its time, none of which leaves a connection behind."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from propsoff.exceptions import StoreError
from propsoff.threads import in_thread, start

if TYPE_CHECKING:
    from propsoff.settings import StoreSection
    from propsoff.store.store import Store

T = TypeVar("T")


class History:
    """The history of `settings`, opened at the first question. `within_s` is how long one may take, and wait before."""

    def __init__(self, settings: StoreSection, within_s: float) -> None:
        self._settings, self.within_s = settings, within_s
        self._store: Store | None = None
        self._turn = asyncio.Lock()
        self._closed = False

    async def ask(self, question: Callable[[Store], T]) -> T:
        """What history answers. Raises StoreError when it fails, or takes too long."""
        try:
            async with asyncio.timeout(self.within_s):
                await self._turn.acquire()
        except TimeoutError:
            raise StoreError(
                f"history is asked by others, and had no time within {self.within_s:g} s; try again"
            ) from None
        try:
            return await self._asked(question)
        except TimeoutError:
            raise StoreError(f"history did not answer within {self.within_s:g} s") from None
        finally:
            self._turn.release()

    async def _asked(self, question: Callable[[Store], T]) -> T:
        """Raises TimeoutError. Whoever has the open history lets go of it: a thread that is late does so itself."""
        store, self._store = self._store, None
        async with asyncio.timeout(self.within_s):
            answer, used = await in_thread(
                lambda: self._answered(store, question), "history for a caller", lambda late: late[1].close()
            )
        self._store = used
        if self._closed:
            self.close()
        return answer

    def _answered(self, store: Store | None, question: Callable[[Store], T]) -> tuple[T, Store]:
        from propsoff.store.store import open_store

        used = store or open_store(self._settings.url, lock_s=self._settings.lock_s)
        try:
            return question(used), used
        except BaseException:  # also when it is stopped
            used.close()
            raise

    def close(self) -> None:
        """Let go of history."""
        self._closed = True
        store, self._store = self._store, None
        if store is not None:
            start(store.close, "history")

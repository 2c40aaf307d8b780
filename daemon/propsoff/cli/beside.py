"""`propsoff inspect` where a bench watches the port: that bench is asked, so that two never hold one board."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Self

from propsoff.cli.common import complain
from propsoff.client.found import running_bench
from propsoff.exceptions import (
    BeingReadError,
    BenchLostError,
    NoBenchError,
    NotAllowedError,
    NothingThereError,
    PortDeniedError,
    PropsoffError,
)

if TYPE_CHECKING:
    from propsoff.bench.scene import PlaceNow
    from propsoff.client.blocking import BenchClient
    from propsoff.client.found import Service
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.settings import Settings

_LOOK_S = 15.0
"""How often a bench that gave no report yet is asked whether it still reads."""
_BEYOND_S = 60.0
"""How long a visit may take beyond its conversation."""
_ATTEMPTS = 3


class Beside:
    """The ports of a command line that a running bench inspects for it; use it in `with`."""

    def __init__(self, bench: BenchClient | None = None, name: str = "", longest_s: float = 0.0) -> None:
        self._bench, self._name, self._longest_s = bench, name, longest_s
        self._begun: dict[str, tuple[str, str | None]] = {}

    @classmethod
    def of(cls, settings: Settings) -> Self:
        """With the bench of this state folder, where one runs and can be asked."""
        service = running_bench(settings.bench.state)
        if service is None:
            return cls()
        waits = settings.waits()
        return cls(_client(settings, service), service.bench, waits.busy_s + waits.talk_s + _BEYOND_S)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self._bench is not None:
            self._bench.close()

    def __contains__(self, device: str) -> bool:
        return device in self._begun

    def begin(self, devices: Sequence[str], opened_here: str = "") -> None:
        """Have the bench inspect those that it knows; the others are left to this command.

        `opened_here` is the option for which this command must open every port itself. Raises PortDeniedError for one
        that the operator denied or that is a bootloader.
        """
        if self._bench is None or not devices:
            return
        try:
            places = self._bench.places()
        except NoBenchError:  # what a bench that was killed left behind
            return
        except PropsoffError as error:
            complain(f"{error} The ports are opened here.")
            return
        from propsoff.client.places import at_device

        for device in dict.fromkeys(devices):
            if (at := at_device(places, device, here=True)) is None:
                continue
            place, plugged = at
            if opened_here:
                complain(f"{device}: the bench {self._name} watches it too; because of {opened_here} it is opened here")
            else:
                self._begin(device, place, plugged)

    def _begin(self, device: str, place: PlaceNow, plugged: str) -> None:
        assert self._bench is not None
        try:
            before, already = self._asked(place.place, plugged)
        except NotAllowedError as error:
            raise PortDeniedError(device, str(error).removeprefix(f"{plugged}: ")) from None
        except NothingThereError:  # unplugged just now: opening it tells
            return
        except PropsoffError as error:
            complain(f"{device}: {error} It is opened here.")
            return
        self._begun[device] = (place.place, before)
        doing = "is reading it already; its report is taken" if already else "watches it and inspects it"
        complain(f"{device}: the bench {self._name} {doing} (place {place.name})")

    def _asked(self, place: str, device: str) -> tuple[str | None, bool]:
        """The newest report until now, and whether the board was being read already."""
        assert self._bench is not None
        for attempt in range(_ATTEMPTS):
            try:
                return self._bench.inspect(place, device=device, named=True).before, False
            except BeingReadError:
                now = self._bench.place(place)
                if now.state == "reading" or attempt == _ATTEMPTS - 1:
                    return now.past[-1].report if now.past else None, True
        raise AssertionError("the last attempt returns or raises")

    def visited(self, device: str, tools: Toolbox) -> tuple[Report, Capture]:
        """The report of a port that was begun, and its capture; judged with this command's own settings.

        Where those come to the same, it is the bench's own report. Raises BenchError when the bench went away or gave
        none.
        """
        from propsoff.console.capture import parse_cast

        assert self._bench is not None
        theirs = self._report(device)
        capture = parse_cast(self._bench.capture(theirs.id, wait_s=_LOOK_S), theirs.id)
        ours = tools.inspect(capture, file=theirs.capture.file)
        if _same(ours, theirs) or any(fact.origin == "hand" for fact in theirs.facts):
            return theirs, capture
        complain(f"{device}: judged with this command's own settings; by the bench's it is {theirs.verdict.value}")
        return ours, capture

    def _report(self, device: str) -> Report:
        assert self._bench is not None
        place, before = self._begun[device]
        until = time.monotonic() + self._longest_s
        while True:
            report = self._bench.wait(place, after=before, timeout_s=_LOOK_S)
            if report is not None:
                return report
            now = self._bench.place(place)
            if now.state != "reading" or time.monotonic() > until:
                note = now.note or f"the place is {now.state}"
                raise BenchLostError(f"{device}: the bench {self._name} gave no report of it ({note})")


def kept_by_bench(report: Report, folder: Path) -> Path | None:
    """The file of a bench's report in this folder; None when it is not there."""
    from propsoff.inspection.report import Report as Kept
    from propsoff.outputs.files import file_name_only

    stem = Path(file_name_only(report.capture.file or report.id)).stem
    with contextlib.suppress(OSError, ValueError):
        path = folder / f"{stem}.json"
        if Kept.from_json(path.read_bytes()).id == report.id:
            return path
    return None


def _client(settings: Settings, service: Service) -> BenchClient | None:
    from propsoff.client.address import token_of
    from propsoff.client.blocking import BenchClient

    file = settings.page.token_file
    return BenchClient.of(service, token=token_of(file) if file is not None and service.socket is None else None)


def _same(ours: Report, theirs: Report) -> bool:
    """Whether two reports of one capture come to the same."""
    return all(getattr(ours, part) == getattr(theirs, part) for part in ("verdict", "findings", "facts", "sheet"))

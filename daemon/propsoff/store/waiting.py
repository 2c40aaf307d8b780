"""Reports that history could not take: each waits as a file, and is entered at the next success."""

from __future__ import annotations

import base64
import binascii
import json
from typing import TYPE_CHECKING, Any

from propsoff.exceptions import StoreError
from propsoff.inspection.report import Report
from propsoff.safe_write import write_new
from propsoff.store.packing import Prepared, prepared, told_rules, unpacked

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from propsoff.store.store import Store

SUFFIX = ".waiting"
_ASIDE = ".not-entered"


def put_waiting(folder: Path, one: Prepared) -> Path:
    """Have a report wait, with its capture; the file. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    name = one.columns["id"]
    report = unpacked(one.body["report"]).decode()
    rules = json.dumps(one.columns["rules"])
    capture = "null" if one.capture is None else json.dumps(base64.b64encode(unpacked(one.capture)).decode())
    return write_new(
        folder, name, SUFFIX, f'{{"capture":{capture},"rules":{rules},"report":{report.strip()}}}\n'.encode()
    )


def waiting_files(folder: Path) -> list[Path]:
    """Those that wait, the oldest first."""
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == SUFFIX)
    except OSError:  # a folder that is not there has none
        return []


def enter_waiting(folder: Path, store: Store, say: Callable[[str], object]) -> int:
    """Enter what waits, saying what came of it; how many were entered. Raises StoreError when history fails again.

    A file that cannot be read, or whose report history knows otherwise, is put aside under another name, and said.
    """
    entered = 0
    for path, one in _readable(folder, say):
        for _, came in store.enter_many([(one, None)], late=True):
            if came == "differs":
                _put_aside(path, "history has another report of this id, which stays", say)
            else:
                path.unlink(missing_ok=True)
                entered += 1
    if entered:
        say(f"of the reports that waited in {folder}, {entered} {'is' if entered == 1 else 'are'} in history now")
    return entered


def _readable(folder: Path, say: Callable[[str], object]) -> Iterator[tuple[Path, Prepared]]:
    for path in waiting_files(folder):
        try:
            one = _prepared(path.read_bytes())
        except FileNotFoundError:  # another process was quicker
            continue
        except OSError as error:
            say(f"{path}: a report that waits for history cannot be read: {error.strerror or error}")
        except (ValueError, TypeError, KeyError, RecursionError, StoreError) as error:
            _put_aside(path, f"it is no report that waits ({str(error).partition(chr(10))[0]})", say)
        else:
            yield path, one


def _prepared(data: bytes) -> Prepared:
    kept: dict[str, Any] = json.loads(data)
    report = Report.from_json(json.dumps(kept["report"]))
    capture, rules = kept["capture"], told_rules(kept.get("rules"))
    try:
        return prepared(report, None if capture is None else base64.b64decode(capture, validate=True), rules)
    except binascii.Error as error:
        raise ValueError(str(error)) from None


def _put_aside(path: Path, why: str, say: Callable[[str], object]) -> None:
    aside = path.with_suffix(_ASIDE)
    try:
        path.rename(aside)
    except OSError:
        aside = path
    say(f"{aside}: not entered into history: {why}")

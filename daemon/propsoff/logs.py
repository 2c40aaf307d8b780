"""The log: structlog on standard error, key=value on a terminal, JSON otherwise, everything from outside escaped."""

from __future__ import annotations

import logging
import sys
from collections.abc import MutableMapping
from typing import Any, Literal, TextIO, cast

import structlog

from propsoff.outputs.escape import visible
from propsoff.outputs.nowhere import lead_nowhere

_MAX_TEXT = 4000
_LEVELS = {"debug": logging.DEBUG, "info": logging.INFO, "warning": logging.WARNING, "error": logging.ERROR}


def _escaped(value: Any) -> Any:
    if isinstance(value, str):
        return visible(value, _MAX_TEXT)
    if isinstance(value, dict):
        return {_escaped(key): _escaped(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_escaped(each) for each in value]
    return value if isinstance(value, (int, float, bool, type(None))) else visible(str(value), _MAX_TEXT)


class _Lasting:
    """A stream that takes all that is logged. When its reader goes away that is lost, and the bench goes on."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        try:
            return self._stream.write(text)
        except BrokenPipeError:
            lead_nowhere(self._stream)
        except (OSError, ValueError):  # a disk that is full, a stream that is closed
            pass
        return len(text)

    def flush(self) -> None:
        try:
            self._stream.flush()
        except BrokenPipeError:
            lead_nowhere(self._stream)
        except (OSError, ValueError):  # as above
            pass


def escape_values(_: Any, __: str, event: MutableMapping[str, Any]) -> MutableMapping[str, Any]:
    """A structlog processor: what a board sent never reaches a terminal or a log as it came.

    A whole report, logged because it could be written nowhere else, is JSON already and stays whole.
    """
    return {key: value if key in {"exc_info", "report_json"} else _escaped(value) for key, value in event.items()}


def configure_logs(
    form: Literal["auto", "text", "json"] = "auto", level: str = "auto", stream: TextIO | None = None
) -> None:
    """Set the log up for this process. `stream` is standard error by default."""
    out = stream or sys.stderr
    if level == "auto":
        level = "warning" if out.isatty() else "info"
    text = form == "text" or (form == "auto" and out.isatty())
    renderer: Any = (
        structlog.processors.KeyValueRenderer(key_order=["timestamp", "level", "event"], repr_native_str=False)
        if text
        else structlog.processors.JSONRenderer()
    )
    structlog.configure(
        processors=[
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.format_exc_info,
            escape_values,
            renderer,
        ],
        wrapper_class=structlog.make_filtering_bound_logger(_LEVELS[level]),
        logger_factory=structlog.PrintLoggerFactory(cast("TextIO", _Lasting(out))),
        cache_logger_on_first_use=False,
    )

"""What a conversation is about, before any check: the craft, and the sheet that it should meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.console.transcript import Transcript
from propsoff.dialects.read import read_exchanges
from propsoff.dialects.recognise import explain
from propsoff.inspection.conversation import ending_of
from propsoff.inspection.report import PortIdentity
from propsoff.inspection.sheet_choice import sheet_for

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.craft.model import Craft
    from propsoff.dialects.model import Dialect
    from propsoff.sheets.model import BuildSheet


@dataclass(frozen=True)
class Meant:
    """A craft that was read whole, and the sheet that it should meet."""

    craft: Craft
    sheet: BuildSheet


def meant(capture: Capture, *, dialects: Sequence[Dialect], sheets: Sequence[BuildSheet]) -> Meant | None:
    """What one conversation is about, before any check: who wants to ask a person about it can know what to ask.

    None when nobody knows what the console speaks, or when the conversation broke off.
    """
    recognition = explain(Transcript(capture), dialects)
    if recognition.dialect is None:
        return None
    reading = read_exchanges(recognition.exchanges, recognition.dialect)
    if not ending_of(capture, reading.exchanges, reading.dialect.manner).complete:
        return None
    return Meant(reading.craft, sheet_for(sheets, reading.craft, PortIdentity.from_texts(capture.port))[0].sheet)

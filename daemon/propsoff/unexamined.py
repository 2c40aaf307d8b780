"""The report of a conversation that nobody examined: what is left to say when the inspection itself was cut short."""

from __future__ import annotations

import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.inspection.conversation import Ending, conversation_of
from propsoff.inspection.document import Visit, build_report
from propsoff.inspection.finding import Finding, Outcome, Remedy, Verdict
from propsoff.inspection.report import Conversation, Report, plain

if TYPE_CHECKING:
    from propsoff.console.capture import Capture

_REPORT_IT = "Report this fault with the capture."
_FAULT = Ending(
    False,
    "A fault in propsoff itself stopped the inspection; what the board said was not examined.",
    (_REPORT_IT, "Inspect the capture again with a mended propsoff."),
)
_LATE = Ending(
    False,
    "The bench was stopped before the inspection had ended; what the board said was not examined.",
    ("Inspect the capture that is kept beside this report.",),
)


def after_a_fault(visit: Visit, error: Exception, notes: Sequence[Finding]) -> Report:
    """A fault of ours. Its verdict is `error` although the inspection is incomplete: inspecting again does not help."""
    report = build_report(
        visit, findings=[_own_fault(error), *notes], conversation=_conversation(visit.capture), ending=_FAULT
    )
    return report.model_copy(update={"verdict": Verdict.ERROR})


def too_late(visit: Visit) -> Report:
    """The bench stops, and the inspection is not waited for any longer."""
    return build_report(visit, findings=(), conversation=_conversation(visit.capture), ending=_LATE)


def _conversation(capture: Capture) -> Conversation:
    try:
        return conversation_of(capture, (), None)
    except Exception:  # noqa: BLE001  it may be what failed before; the report must not be lost to the same fault
        return Conversation(bytes_sent=0, bytes_received=0)


def _own_fault(error: Exception) -> Finding:
    frames = traceback.extract_tb(error.__traceback__)
    where = f" ({Path(frames[-1].filename).name}, line {frames[-1].lineno})" if frames else ""
    what = " ".join(f"{type(error).__name__}: {error}{where}".split())
    return Finding(
        check="propsoff",
        outcome=Outcome.ERROR,
        summary=plain(f"a fault in propsoff itself while this conversation was read: {what}")[:400],
        why="Nothing was examined. The conversation is kept, and can be inspected again by a mended propsoff.",
        remedy=Remedy(steps=(_REPORT_IT,)),
    )

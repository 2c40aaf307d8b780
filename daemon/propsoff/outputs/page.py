"""A report as one page for people: a job card that opens from a file, fetches nothing and prints."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any, NamedTuple

from propsoff.exceptions import LayoutError
from propsoff.inspection.finding import Finding, Outcome, Remedy, Verdict
from propsoff.outputs.escape import visible
from propsoff.outputs.moments import held_another_day, in_utc
from propsoff.outputs.page_evidence import Shown, excerpts, transcript_texts
from propsoff.outputs.page_running import running_foot
from propsoff.outputs.page_words import main_facts, overlay_of, ports_table, switches_table, values_of, words
from propsoff.outputs.terminal import causes_worst_last, place_of
from propsoff.overlay.layout import Layout, overlay_grid
from propsoff.overlay.picture import Picture
from propsoff.overlay.svg import draw_svg, listed_in_words

if TYPE_CHECKING:
    from jinja2 import Template
    from jinja2.runtime import Context

    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report

_QUIET = (Outcome.PASS, Outcome.SKIPPED)
_ORDER = (Outcome.FAIL, Outcome.ERROR, Outcome.UNKNOWN, Outcome.WARN, Outcome.PASS, Outcome.SKIPPED)
_MOST_BYTES = 300_000
_MOST_SEEN = 160
_MOST_FIRST = 6
_MOST_EVIDENCE, _MOST_BEHIND = 4, 20
_MOST_DRAWN = 200
_TWO_SHEETS = 2
"""So many findings in full fit two sheets of A4 with the rest of the card."""
_ALIKE = 3
_STOPS_SHORT = "stops short here"
"""How a reading tells that what comes next was never said (see `propsoff.dialects`), which is no bad line."""
_SAID = {
    Verdict.PASS: "Every check that applies found what it should find.",
    Verdict.WARN: "It can be flown as far as was checked; something should be looked at.",
    Verdict.FAIL: "Something is wrong. Put it right before it flies.",
    Verdict.UNKNOWN: "Something could not be read. That is no pass.",
    Verdict.ERROR: "A check itself broke, so not everything was examined. That is no pass.",
    Verdict.INCOMPLETE: "The inspection did not reach its end. That is no pass.",
}


class _Limits(NamedTuple):
    """How many findings are told in full, how many in short; how many facts, rows of a list, characters of a text."""

    full: int
    short: int
    facts: int
    rows: int
    text: int


_LIMITS = (_Limits(40, 200, 600, 40, 1200), _Limits(12, 60, 150, 16, 400), _Limits(3, 10, 20, 4, 120))
"""A report of which the first would make more than `_MOST_BYTES` is told within the next."""


class FirstStep(NamedTuple):
    """What to do about one finding before all else. `typed` is a line for the console, `more` how many follow it."""

    summary: str
    typed: str
    step: str
    more: int


@dataclass(frozen=True)
class Card:
    """A finding as the card shows it: with its evidence in its surroundings and with what is only an effect of it."""

    finding: Finding
    effects: Sequence[Finding] = ()
    runs: Sequence[Sequence[Shown]] = ()
    behind: Sequence[Sequence[Shown]] = ()
    left_out: int = 0

    @property
    def behind_count(self) -> int:
        """How many lines of evidence are shown on screen alone."""
        return sum(row.seen for run in self.behind for row in run)


@dataclass(frozen=True)
class Alike:
    """Findings that could not be examined for one reason: told once, with what each could not read.

    `cut`: for the reason that the conversation broke off; no remedy of their own then leads anywhere.
    """

    remedy: Remedy
    findings: Sequence[Finding]
    cut: bool = False


def html_page(
    report: Report, capture: Capture | None, *, replaces: str | None = None, replaced_by: str | None = None
) -> str:
    """The report as one self-contained HTML file.

    `capture` gives evidence its surroundings, when it is the one that the report was read from. `replaced_by` is the
    id of a newer report of the same craft: the page then says that it is old. `replaces` is the one before it.
    """
    foot = _ours(running_foot(report, old=replaced_by is not None))
    context = _context(report, capture) | {"replaces": replaces, "replaced_by": replaced_by, "foot": foot}
    page = ""
    for limits in _LIMITS:
        page = _template().render(context, limits=limits)
        if len(page.encode()) <= _MOST_BYTES:
            break
    return page


@cache
def _template() -> Template:
    from jinja2 import Environment, PackageLoader, StrictUndefined, pass_context

    folder = resources.files("propsoff.outputs") / "templates"
    style = (folder / "card.css").read_text("utf-8")
    looks = Environment(
        loader=PackageLoader("propsoff.outputs"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        optimized=False,  # what it would fold is less than what the folding takes
        finalize=pass_context(_harmless),
    )
    looks.filters |= {"clipped": _clipped, "told": _told_of, "hashed": _hashed}
    looks.filters |= {"sentence": _sentence, "stopped": _stopped}
    looks.globals |= {"style": _ours(style), "style_hash": _hashed(style)}
    return looks.get_template("card.html")


def _harmless(context: Context, value: Any) -> Any:
    """What the template puts out: everything but our own markup with its controls written out."""
    from markupsafe import Markup

    return value if isinstance(value, Markup) else visible(words(value), context["limits"].text)


def _clipped(value: Any) -> str:
    """A value that may be long, cut to what is worth reading."""
    return visible(words(value), _MOST_SEEN)


def _hashed(style: str) -> str:
    """By what the page's policy knows a style."""
    return base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()


def _sentence(step: str) -> str:
    """A step as the sentence that it is, also where it begins with a setting's word (`drop stops the motors`)."""
    first = step.partition(" ")[0]
    return step[0].upper() + step[1:] if first.isascii() and first.isalpha() else step


def _stopped(text: str) -> str:
    """A text with a stop, where another sentence comes behind it."""
    return text if text.rstrip().endswith((".", "!", "?")) else f"{text}."


def _told_of(parts: Sequence[str | None]) -> str:
    """What is known of several things."""
    return ", ".join(part for part in parts if part)


def _ours(markup: str) -> Any:
    """Markup of our own making: a file of this package, or a drawing, whose texts `draw_svg` escapes."""
    from markupsafe import Markup

    return Markup(markup)


def _context(report: Report, capture: Capture | None) -> dict[str, Any]:
    values = values_of(report.facts)
    texts = transcript_texts(report, capture)
    causes = _worst_first(causes_worst_last(report.findings))
    to_do = [(one, effects) for one, effects in causes if one.waived is None and one.outcome not in _QUIET]
    alike, singly = _told_together(to_do, cut=not report.complete)
    quiet = [one for one, effects in causes if one.waived is None and one.outcome in _QUIET]
    steps = _with_remedy(report, singly, alike)
    return {
        "report": report,
        "said": _SAID[report.verdict],
        "place": place_of(report),
        "created": in_utc(report.created),
        "held": None if (held := held_another_day(report)) is None else in_utc(held),
        "first": [_first(one) for one in steps[:_MOST_FIRST]],
        "first_left_out": max(0, len(steps) - _MOST_FIRST),
        "cards": [_card(one, effects, texts) for one, effects in singly[: _LIMITS[0].full]],
        "singly": [one for one, _ in singly],
        "alike": alike,
        "many": len(singly) > _TWO_SHEETS,
        "to_do": len(to_do),
        "waived": [one for one, _ in causes if one.waived is not None],
        "quiet": quiet,
        "context_missing": not texts and any(one.evidence for one, _ in to_do),
        **_craft(values, report),
        "seconds": sum(phase.seconds for phase in report.conversation.phases),
    }


def _worst_first(causes: Sequence[tuple[Finding, Sequence[Finding]]]) -> list[tuple[Finding, Sequence[Finding]]]:
    return sorted(causes, key=lambda cause: (_ORDER.index(cause[0].counts_as), _ORDER.index(cause[0].outcome)))


def _craft(values: dict[str, Any], report: Report) -> dict[str, Any]:
    """What is told of the craft itself."""
    return {
        "overlay": _drawing(values, report),
        "ports": ports_table(values),
        "switches": switches_table(values),
        "main": main_facts(values),
        "hand": [fact for fact in report.facts if fact.origin == "hand"],
    }


def _told_together(
    to_do: Sequence[tuple[Finding, Sequence[Finding]]], *, cut: bool
) -> tuple[list[Alike], list[tuple[Finding, Sequence[Finding]]]]:
    """Findings that ask for the same steps because nothing was read, and apart from them all others.

    `cut`: the conversation broke off, which is the one reason for whatever was not read of it.
    """
    groups: dict[Remedy, list[Finding]] = {}
    unsaid: list[Finding] = []
    for one, effects in to_do:
        if cut and all(_is_unsaid(each) for each in (one, *effects)):
            unsaid += [one, *effects]
        elif _is_bare(one) and not effects:
            groups.setdefault(one.remedy, []).append(one)
    alike = [Alike(Remedy(), unsaid, cut=True)] if unsaid else []
    alike += [Alike(remedy, found) for remedy, found in groups.items() if len(found) >= _ALIKE]
    told = {id(one) for group in alike for one in group.findings}
    return alike, [(one, effects) for one, effects in to_do if id(one) not in told]


def _is_unsaid(finding: Finding) -> bool:
    return _is_bare(finding) and (not finding.evidence or _STOPS_SHORT in finding.summary)


def _is_bare(finding: Finding) -> bool:
    return finding.outcome is Outcome.UNKNOWN and finding.expected is None and finding.actual is None


def _with_remedy(
    report: Report, singly: Sequence[tuple[Finding, Sequence[Finding]]], alike: Sequence[Alike]
) -> list[Finding]:
    """The findings that say what to do, worst first. A conversation that broke off comes before what it left unread."""
    told_once = [group.findings[0] for group in alike if not group.cut]
    found = [one for one, _ in singly] + ([] if report.next_steps else told_once)
    return [one for one in found if one.remedy.console or one.remedy.steps]


def _first(finding: Finding) -> FirstStep:
    console, steps = finding.remedy.console, finding.remedy.steps
    return FirstStep(
        finding.summary,
        console[0] if console else "",
        "" if console or not steps else steps[0],
        max(0, len(console) - 1) if console else max(0, len(steps) - 1),
    )


def _card(finding: Finding, effects: Sequence[Finding], texts: Sequence[str]) -> Card:
    near, behind = finding.evidence[:_MOST_EVIDENCE], finding.evidence[_MOST_EVIDENCE:][:_MOST_BEHIND]
    left_out = len(finding.evidence) - len(near) - len(behind)
    return Card(finding, effects, excerpts(near, texts), excerpts(behind, texts), left_out)


@dataclass(frozen=True)
class _Drawing:
    """The overlay as a drawing with its list in words, or why there is none, or what is doubtful about it."""

    why_not: str
    picture: Any = None
    headline: str = ""
    words: tuple[str, ...] = ()


def _drawing(values: dict[str, Any], report: Report) -> _Drawing:
    overlay = overlay_of(values)
    if overlay.elements is None:
        return _Drawing("The elements of the overlay were not read, so nothing can be drawn here.")
    size = overlay_grid(overlay)
    if size is None:
        return _Drawing("The grid of the overlay was not read, so nothing can be drawn here.")
    layout = Layout.of(overlay.elements, size)
    if len(overlay.elements) > _MOST_DRAWN:
        return _Drawing(f"{len(overlay.elements)} elements are too many to be drawn here; see the facts.")
    try:
        drawing = draw_svg(layout, title="Overlay", listed=False)
    except LayoutError as error:
        return _Drawing(f"The overlay is not drawn: {error}.")
    doubtful = not report.complete or any((one.fact or "").startswith("overlay.") for one in report.problems)
    picture = Picture(layout)
    return _Drawing(
        "Not all of it was read: elements may be missing." if doubtful else "",
        _ours(drawing),
        picture.headline,
        listed_in_words(picture),
    )

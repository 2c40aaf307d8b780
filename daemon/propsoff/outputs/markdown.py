"""Reports as Markdown (CommonMark with tables) for an issue tracker: nothing that a board typed becomes markup.

A tracker makes links, mentions and references of plain text too, after it has read the Markdown, and leaves code alone.
So a text that holds more than words and plain stops stands in a code span or a fence.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from propsoff.inspection.finding import Outcome, Verdict
from propsoff.outputs.escape import visible
from propsoff.outputs.moments import held_another_day
from propsoff.outputs.terminal import causes_worst_last

if TYPE_CHECKING:
    from propsoff.inspection.finding import Finding
    from propsoff.inspection.report import Report
    from propsoff.outputs.document import Told

_QUIET = (Outcome.PASS, Outcome.SKIPPED)
_RUN = re.compile("`+")
_WORD = r"\(?[^\W_]+(?:[-'][^\W\d_]+|(?<=\d)\.\d+)*\)?"
_WORDS = re.compile(rf"{_WORD}(?:[,;:.]? {_WORD})*[.:]?")
"""Words with single blanks and stops between them: nothing that Markdown or a tracker takes for markup or a reference.

A hyphen is followed by a letter (`ABC-12` is a reference to some), a full stop by a blank or between figures (no host).
"""
_BAR_AFTER_BACKSLASH = re.compile(r"(?<=\\)\|")
_BAR = "&#124;"
_HEX = re.compile(r"\b[0-9a-fA-F]{6,}\b")
_NEED_ESCAPE = re.compile(r"([\\`*_{}\[\]<>()#+\-.!|~&])")


def markdown(told: Iterable[Told]) -> bytes:
    """One document of all, UTF-8: a headline, next steps and a table of findings each; of several, a table first.

    The worst stand first; those of one verdict in the order that they came in.
    """
    every = sorted(told, key=lambda each: -_severity(each))
    parts: list[str] = []
    if len(every) != 1:
        parts += _overview(every)
    for each in every:
        parts += _lost(each) if each.report is None else list(_one(each, each.report))
    return ("\n".join(parts).rstrip("\n") + "\n").encode()


def text(typed: str) -> str:
    """Any text within a line: as it stands where it is plain words, otherwise as a code span. Empty text is a dash."""
    shown = visible(typed)
    if not shown:
        return "–"
    if _WORDS.fullmatch(shown) and not _HEX.search(shown):
        return _NEED_ESCAPE.sub(r"\\\1", shown)
    return _span(shown)


def cell(typed: str) -> str:
    """As `text`, within a cell of a table.

    Readers disagree whether two backslashes before a bar leave it escaped (GFM, section 4.10, does not say), so one
    that a backslash comes before stands outside the code, as a reference that all of them read.
    """
    between = _BAR_AFTER_BACKSLASH.split(typed)
    return _BAR.join(text(part).replace("|", "\\|") if part else "" for part in between) if typed else text(typed)


def fence(lines: Sequence[str]) -> list[str]:
    """Lines of code between two fences that are longer than any run of backticks inside."""
    shown = [visible(line) for line in lines]
    marks = "`" * max(3, 1 + _longest("\n".join(shown)))
    return [f"{marks}text", *shown, marks]


def _span(shown: str) -> str:
    marks = "`" * (1 + _longest(shown))
    # CommonMark takes one blank from both ends, unless there is nothing but blanks.
    pad = " " if shown.strip(" ") and (shown[0] in " `" or shown[-1] in " `") else ""
    return f"{marks}{pad}{shown}{pad}{marks}"


def _longest(shown: str) -> int:
    return max(map(len, _RUN.findall(shown)), default=0)


def _severity(told: Told) -> int:
    return list(Verdict).index(Verdict.ERROR if told.report is None else told.report.verdict)


def _overview(every: Sequence[Told]) -> list[str]:
    rows = []
    for each in every:
        verdict = "error" if each.report is None else each.report.verdict.value
        craft = "" if each.report is None else each.report.craft or each.report.board or ""
        rows.append(f"| {verdict} | {cell(each.label)} | {cell(craft)} |")
    count = f"{len(every)} inspection{'' if len(every) == 1 else 's'}"
    return [f"# {count}", "", "| verdict | inspected | craft |", "| --- | --- | --- |", *rows, ""]


def _lost(told: Told) -> list[str]:
    return [f"## error: {text(told.label)}", "", "There is no report of it:", "", *fence([told.problem]), ""]


def _one(told: Told, report: Report) -> Iterator[str]:
    who = [part for part in (report.craft, report.board, report.firmware) if part]
    yield from (f"## {report.verdict.value}: {' · '.join(map(text, who)) or 'an unidentified board'}", "")
    if told.replaced_by is not None:
        yield from (f"**OLD**: this craft was inspected again, report {text(told.replaced_by)}", "")
    yield from (f"- inspected: {text(told.label)}", f"- at: {text(report.created)}", f"- report: {text(report.id)}")
    if (held := held_another_day(report)) is not None:
        yield f"- conversation held: {text(held)}"
    if told.replaces is not None:
        yield f"- in the place of: {text(told.replaces)}"
    if report.board_serial:
        yield f"- board serial number: {text(report.board_serial)}"
    if report.sheet is not None:
        yield f"- build sheet: {text(report.sheet.name)}"
    if report.dialect is not None:
        yield f"- dialect: {text(report.dialect.id)}"
    yield ""
    if not report.complete:
        yield from ("The conversation did not reach its end:", "", *fence([report.ended]), "")
    causes = list(reversed(causes_worst_last(report.findings)))
    wanting = [one for one in causes if _wants(one[0])]
    yield from _next_steps(report, [finding for finding, _ in wanting])
    yield from _table([finding for finding, _ in causes])
    for finding, effects in wanting:
        yield from _full(finding, effects)


def _wants(finding: Finding) -> bool:
    return finding.outcome not in _QUIET and finding.waived is None


def _next_steps(report: Report, wanting: Sequence[Finding]) -> Iterator[str]:
    steps = list(report.next_steps)
    for finding in wanting:
        steps += [f"type: {line}" for line in finding.remedy.console] or finding.remedy.steps[:1]
    if steps:
        cautions = dict.fromkeys(finding.caution for finding in wanting if finding.caution)
        yield from ("### Next steps", "")
        for caution in cautions:
            yield from (f"Caution: {text(caution)}", "")
        yield from (*[f"1. {text(step)}" for step in dict.fromkeys(steps)], "")


def _table(findings: Sequence[Finding]) -> Iterator[str]:
    yield from ("### Findings", "")
    if not findings:
        yield from ("There are none.", "")
        return
    yield from ("| outcome | check | found |", "| --- | --- | --- |")
    for finding in findings:
        waived = "" if finding.waived is None else f" (waived: {cell(finding.waived.reason)})"
        yield f"| {finding.outcome.value}{waived} | {cell(finding.name)} | {cell(finding.summary)} |"
    yield ""


def _full(finding: Finding, effects: Sequence[Finding]) -> Iterator[str]:
    yield from (f"### {finding.outcome.value}: {text(finding.name)}", "", text(finding.summary), "")
    evidence = [f"line {each.line}: {each.text}" for each in finding.evidence]
    parts: tuple[tuple[str, Sequence[str]], ...] = (
        ("Expected", [finding.expected] if finding.expected else ()),
        ("Found", [finding.actual] if finding.actual else ()),
        ("Why", [finding.why] if finding.why else ()),
        ("Caution", [finding.caution] if finding.caution else ()),
        ("Type at the console", finding.remedy.console),
        ("Do", finding.remedy.steps),
        ("Seen", evidence),
        ("Goes away with it", [f"{effect.name}: {effect.summary}" for effect in effects]),
    )
    for title, lines in parts:
        if lines:
            yield from (f"{title}:", "", *fence(lines), "")

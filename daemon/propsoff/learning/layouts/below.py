"""Lists whose items stand on lines of their own, below a line that says what they are: reasons not to arm."""

from __future__ import annotations

import re
from collections.abc import Sequence

from propsoff.console.manner import Line
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.pairs import indent_of
from propsoff.learning.model import Answer, Cell, Layout, RowSet
from propsoff.learning.readings import reading_of
from propsoff.learning.thesaurus import named, read_name

_MARK = re.compile(r"([-*+>•])\s+(\S.*)")
_MOST_WORDS = 7
_ABOUT = frozenset(["arming", "block"])
_BESIDE = frozenset([
    "by", "because", "for", "to", "can", "cannot", "following", "is", "are", "will", "does", "it", "now", "present",
    "durch", "par", "por", "da", "door", "av", "przez",
])  # fmt: skip
_PARTED = re.compile(r" {2,}|\t|\.{2,}|[:=]")
"""What stands between a key and its value: then the first reason stands on the line itself."""
_ENDS = ":.-=> \t"


def list_below(answer: Answer) -> Layout | None:
    """The reasons not to arm, where each stands on a line of its own; None where there are none, or several lists."""
    found = [
        one for at, line in enumerate(answer.lines) if _heads(line) and (one := _items(answer.lines, at)) is not None
    ]
    if len(found) != 1:
        return None
    head, mark, items = found[0]
    place = {"below": escaped(head.text.strip()), "line": f"{escaped(mark)} {{item:rest}}" if mark else "{item:rest}"}
    path = (head.text.strip().strip(_ENDS),)
    rows = RowSet(answer.command, place, path, ("item",), tuple({"item": Cell(text, at)} for at, text in items))
    understood = frozenset([head.number, *(at for at, _ in items)])
    return Layout(answer.command, "lines", {"lines": []}, (), (rows,), understood=understood)


def _heads(line: Line) -> bool:
    """Whether a line says that reasons follow, and nothing else."""
    words = line.text.strip().strip(_ENDS)
    if not words or len(words.split()) > _MOST_WORDS or any(char.isdigit() for char in words):
        return False
    pieces = read_name(words)
    plain = all(piece.concepts & _ABOUT or piece.neutral or piece.text in _BESIDE for piece in pieces)
    return plain and "block" in named(pieces) and not _PARTED.search(words)


def _items(lines: Sequence[Line], at: int) -> tuple[Line, str, list[tuple[int, str]]] | None:
    """(the line above, the mark before each item, the items); None where one of them is no reason."""
    head, items, marks = lines[at], list[tuple[int, str]](), set[str]()
    for number, line in enumerate(lines[at + 1 :], 1):
        text = line.text.strip()
        marked = _MARK.fullmatch(text)
        if not text or line.number != head.number + number or not (marked or indent_of(line) > indent_of(head)):
            break
        marks.add(marked[1] if marked else "")
        items.append((line.number, marked[2] if marked else text))
    readings = [reading_of("blocks", text, None, "arming.blocks") for _, text in items]
    known = all(one is not None and len(one.value) == 1 for one in readings)
    return (head, marks.pop(), items) if items and known and len(marks) == 1 else None

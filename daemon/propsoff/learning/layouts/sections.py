"""Answers in sections: headings such as `[radio]`, or names with a deeper-indented block below them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from propsoff.console.manner import Line
from propsoff.dialects.templates import compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.keys import rows_of
from propsoff.learning.layouts.notes import comments_in, ends_in, noted_above
from propsoff.learning.layouts.pairs import PairLine, pair_line
from propsoff.learning.layouts.paths import path_of
from propsoff.learning.model import Layout, Statement

_HEADINGS = (
    ("[", "]"), ("<", ">"), ("== ", " =="), ("--- ", " ---"), ("-- ", " --"), ("=== ", " ==="), ("* ", ""), ("# ", ""),
    ("## ", ""), ("", ":"), ("", " {"), ("", " ("), ("", " ="), ("@", ""), ("section ", ""), ("> ", ""),
)  # fmt: skip
_FEWEST = 2
_NAME = re.compile(r"[^\W\d_][\w .:/-]{0,40}", re.UNICODE)


def as_sections(command: str, lines: tuple[Line, ...]) -> Layout | None:
    """The settings by section and key; None when there are no headings, or hardly any settings below them."""
    best: Layout | None = None
    for before, after in _HEADINGS:
        templates = _with_remarks(escaped(before) + "{section:words}", escaped(after), lines)
        for found in (_indented(command, lines, templates), _headed(command, lines, templates)):
            if found is not None and (best is None or _worth(found) > _worth(best)):
                best = found
    return best or _indented(command, lines, ["{section:words}"])


def _with_remarks(heading: str, end: str, lines: Sequence[Line]) -> list[str]:
    """The template of headings, and where some have a remark behind their names, as in `# radio (serial)`, its too."""
    plain = heading + end
    if end not in ("", ":", "]"):
        return [plain]
    remarked = heading + ("]" if end == "]" else "") + " ({_:rest}"
    # A name may have more than one word, so the one that parts it from its remark is asked first.
    return [remarked, plain] if _headings(lines, [remarked]) else [plain]


def _worth(layout: Layout) -> tuple[int, bool]:
    """The more lines it understands, the better; of two alike the one that takes a mark for a list's."""
    return len(layout.understood), "items" in layout.options


def _headings(lines: Sequence[Line], templates: Sequence[str]) -> dict[int, str]:
    compiled = [compile_template(template) for template in templates]
    found: dict[int, str] = {}
    for line in lines:
        for template in compiled if line.text.strip() else ():
            fields = template.match(line.text.strip())
            if fields is not None and _NAME.fullmatch(fields["section"]):
                found[line.number] = fields["section"]
                break
    return found


def _headed(command: str, lines: tuple[Line, ...], templates: Sequence[str]) -> Layout | None:
    headings = _headings(lines, templates)
    rest = [line for line in lines if line.number not in headings]
    found = pair_line(rest)
    if found is None or len(headings) < _FEWEST:
        return None
    keyed = {pair.line for pair in found.pairs}
    # A heading has settings below it.
    numbers = [line.number for line in lines if line.text.strip()]
    followed = {one for one, other in pairwise(numbers) if one in headings and other in keyed}
    if len(followed) < _FEWEST or 2 * len(followed) < len(headings):
        return None
    section = ""
    statements: list[Statement] = []
    by_line = {pair.line: pair for pair in found.pairs}
    for number in numbers:
        if number in headings:
            section = headings[number]
        elif (pair := by_line.get(number)) is not None:
            word = f"{section}.{pair.key}" if section else pair.key
            path = (*(re.split(r"[./:]", section) if section else ()), *path_of(pair.key))
            statements.append(Statement(command, word, path, pair.value, number, note=pair.note))
    return _layout(command, lines, {"headings": list(templates), "line": found.line}, statements, headings, found)


@dataclass(slots=True)
class _Block:
    """An open block. `inner` is where what stands in it begins; `lost`: it does not stand where others do itself."""

    indent: int
    name: str
    lost: bool = False
    inner: int | None = None
    items: int = 0

    def loses(self, indent: int) -> bool:
        """Whether nobody can tell that a line belongs into the block: it does not stand where the first one does."""
        if self.inner is None:
            self.inner = indent
        return self.lost or indent != self.inner


class _Blocks:
    """The blocks that are open at a line, as the dialect language sees them."""

    def __init__(self) -> None:
        self._open = [_Block(-1, "")]

    @property
    def names(self) -> tuple[str, ...]:
        """What the open blocks are called, outermost first."""
        return tuple(block.name for block in self._open[1:])

    def at(self, indent: int, *, item: bool) -> None:
        """Close what a line ends that begins there; `item`: it begins an item of a list."""
        while self._open[-1].indent >= indent:
            self._open.pop()
        if item:
            holder = self._open[-1]
            holder.items += 1
            self._open.append(_Block(indent, str(holder.items), holder.loses(indent)))

    def open(self, indent: int, name: str) -> None:
        """Open a block with its heading."""
        self._open.append(_Block(indent, name, self.loses(indent)))

    def loses(self, indent: int) -> bool:
        """Whether nobody can tell where a line belongs that begins there."""
        return self._open[-1].loses(indent)


def _indented(command: str, lines: tuple[Line, ...], templates: Sequence[str]) -> Layout | None:
    """Blocks by indentation: a heading is a line below which something stands deeper."""
    items = _item_mark(lines)
    original = lines
    lines = tuple(_without_mark(line, items) for line in lines) if items else lines
    telling = [line for line in lines if line.text.strip()]
    headings = {
        number: name for number, name in _headings(telling, templates).items() if _is_followed_deeper(telling, number)
    }
    if not headings or len({_indent(line) for line in telling}) < 2 or _aligned_right(telling):
        return None
    rest = [Line(line.number, line.text.strip()) for line in telling if line.number not in headings]
    found = pair_line(rest)
    if found is None:
        return None
    going_on = _going_on(telling, {pair.line for pair in found.pairs} | set(headings))
    by_line = {pair.line: pair for pair in found.pairs if pair.line not in going_on}
    marked = {line.number: _indent(line) for line in original if items and line.text.lstrip().startswith(items)}
    statements, blocks = list[Statement](), _Blocks()
    for line in telling:
        blocks.at(marked.get(line.number, _indent(line)), item=line.number in marked)
        if line.number in headings:
            blocks.open(_indent(line), headings[line.number])
        elif (pair := by_line.get(line.number)) is not None:
            if blocks.loses(_indent(line)):  # a dialect would not read it
                return None
            word, path = ".".join((*blocks.names, pair.key)), (*blocks.names, *path_of(pair.key))
            statements.append(Statement(command, word, path, pair.value, line.number, note=pair.note))
    options: dict[str, object] = {"headings": list(templates), "line": found.line, "indented": True}
    options |= {"items": items} if items else {}
    return _layout(command, lines, options, statements, headings, found)


def _item_mark(lines: Sequence[Line]) -> str:
    """The mark before items of lists, where at least two lines begin with it and something stands under them."""
    for mark in ("-", "*", "+"):
        marked = [line for line in lines if re.match(rf"\s*{re.escape(mark)} +\S", line.text)]
        if len(marked) >= _FEWEST and any(_is_followed_by_more(lines, line) for line in marked):
            return mark
    return ""


def _is_followed_by_more(lines: Sequence[Line], first: Line) -> bool:
    """Whether the next line stands where the text behind the mark does."""
    after = next((line for line in lines if line.number > first.number), None)
    start = len(first.text) - len(first.text.lstrip()[1:].lstrip())
    return after is not None and bool(after.text.strip()) and _indent(after) == start


def _without_mark(line: Line, mark: str) -> Line:
    bare = line.text.lstrip()
    if not bare.startswith(mark):
        return line
    text = bare[len(mark) :].lstrip()
    return Line(line.number, " " * (len(line.text) - len(text)) + text)


def _aligned_right(lines: Sequence[Line]) -> bool:
    """Whether keys end at the same place, before a mark: what is indented there is no block."""
    for mark in (":", "=", "|"):
        places = [line.text.find(mark) for line in lines if mark in line.text]
        same = max((places.count(place) for place in set(places)), default=0)
        if same >= _ALIGNED_SHARE * len(lines) and same > 2:
            return True
    return False


_ALIGNED_SHARE = 0.8


def _going_on(lines: Sequence[Line], known: set[int]) -> set[int]:
    """The lines whose value goes on in the next one: that is none itself, and stands deeper."""
    return {one.number for one, other in pairwise(lines) if other.number not in known and _indent(other) > _indent(one)}


def _is_followed_deeper(lines: Sequence[Line], number: int) -> bool:
    at = next(at for at, line in enumerate(lines) if line.number == number)
    return at + 1 < len(lines) and _indent(lines[at + 1]) > _indent(lines[at])


def _indent(line: Line) -> int:
    text = line.text.replace("\t", "    ")
    return len(text) - len(text.lstrip())


def _layout(
    command: str,
    lines: tuple[Line, ...],
    options: dict[str, object],
    statements: Sequence[Statement],
    headings: dict[int, str],
    found: PairLine,
) -> Layout:
    statements = noted_above(statements, lines)
    rows = rows_of(command, statements)
    settings = frozenset(pair.line for pair in found.pairs)
    understood = settings | frozenset(headings)
    marks, marked = ends_in(lines, settings, found.templates)
    comments, commented = comments_in(lines, understood | marked)
    return Layout(
        command, "sections", options, tuple(statements), rows, marks, comments, understood | marked | commented
    )

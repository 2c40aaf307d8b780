"""Line templates: patterns for one whole line that cannot backtrack.

``{key:word} := {value:rest}`` is literal text with named fields. A template is matched once from left to right: each
piece says where it ends by looking forward once, and nothing is ever tried twice, so a match takes time linear in the
line. It becomes a regular expression in which each piece is an atomic group: what a piece has taken, it never gives
back.

=========  ============================================================================================================
kind       what it takes
=========  ============================================================================================================
`word`     one or more characters without a blank, up to the text that follows the field
`words`    one or more characters, blanks between them, up to the first occurrence of the text that follows
`rest`     everything, also nothing; only as the last field, with nothing or only literal text after it
`int`      digits with an optional sign
`number`   digits with an optional sign and an optional decimal part
`hex`      hexadecimal digits
`letter`   exactly one letter A..Z or a..z
`letters`  one or more letters A..Z or a..z
`quoted`   text between double quotes; the quotes are not part of the value
`label`    words with single blanks between, up to a run of two blanks or more: a key whose value stands under others
`dots`     a run of dots, hyphens or underscores, also none: what leads the eye from a key to its value
`a|b|c`    one of these texts; only as the last field, with nothing after it
=========  ============================================================================================================

A blank stands for one or more blanks or tabs on the line; before `rest` it stands for exactly one, so that a value
keeps its own leading blanks, and when `rest` is empty it may be missing. Blanks at the end of a line are not looked at.
Where text follows `words` without a blank, none may stand before it on the line either.
``{{`` and ``}}`` stand for braces. Literal text or a blank must separate two fields, unless the first kind cannot run
into the second (``{band:letter}{number:int}``). A field whose name begins with ``_`` is taken and forgotten.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import zip_longest

KINDS = ("word", "words", "rest", "int", "number", "hex", "letter", "letters", "quoted", "dots", "label")
_TAKES: Mapping[str, str] = {
    "int": r"[+-]?[0-9]+",
    "number": r"[+-]?[0-9]+(?:\.[0-9]+)?",
    "hex": r"[0-9A-Fa-f]+",
    "letter": r"[A-Za-z]",
    "letters": r"[A-Za-z]+",
    "quoted": r'[^"]*',
    "dots": r"[.·_-]*",
    "label": r"[^ ]+(?: [^ ]+)*",
}
_MAY_TOUCH = frozenset(
    [
        ("letters", "int"),
        ("letters", "number"),
        ("int", "letters"),
        ("int", "letter"),
        ("number", "letters"),
        ("number", "letter"),
    ]
)
_SELF_ENDING = frozenset(["letter", "quoted"])
_FIELD = re.compile(r"\{([A-Za-z_][A-Za-z0-9_-]*):([^{}]+)\}")
_ONE_OF = "one-of"


class TemplateError(ValueError):
    """A template is wrong; the text says how and where."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece: literal text (`kind` "literal", `text` without blanks), a blank, or a field.

    `exact` is the number of blanks where it counts.
    """

    kind: str
    text: str = ""
    name: str = ""
    exact: int = 0

    @property
    def kept(self) -> bool:
        """Whether it is a field that is not forgotten."""
        return bool(self.name) and not self.name.startswith("_")


@dataclass(frozen=True)
class LineTemplate:
    """A compiled template; implements `console.manner.LinePattern`."""

    source: str
    pieces: tuple[Piece, ...] = field(repr=False)
    tail: str = field(default="", repr=False)

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The fields' names, in order, without those that are forgotten."""
        return tuple(piece.name for piece in self.pieces if piece.kept)

    def kind_of(self, name: str) -> str | None:
        """The kind of a field, None when there is no such field."""
        return next((piece.kind for piece in self.pieces if piece.name and piece.name == name), None)

    @property
    def head(self) -> str:
        """The literal text that every matching line begins with; may be empty."""
        return self.pieces[0].text if self.pieces[0].kind == "literal" else ""

    @property
    def told_by_end(self) -> bool:
        """Whether every matching line ends in one of several texts."""
        return _ends(self.pieces[-1])

    @cached_property
    def _head(self) -> str:
        return self.head

    @cached_property
    def forgotten(self) -> LineTemplate | None:
        """The same template with the fields that this one forgets in place of its own; None where there are none."""
        if not any(piece.name and not piece.kept for piece in self.pieces):
            return None
        turned = [
            replace(piece, name=f"_{at}" if piece.kept else f"field{at}") if piece.name else piece
            for at, piece in enumerate(self.pieces)
        ]
        return LineTemplate(self.source, tuple(turned), self.tail)

    @cached_property
    def _labels(self) -> bool:
        """Whether a run of blanks means more than one: then a tab is such a run."""
        return any(piece.kind == "label" for piece in self.pieces)

    @cached_property
    def _fullmatch(self) -> Callable[[str], re.Match[str] | None]:
        return re.compile(_pattern_of(self.pieces, self.tail), re.DOTALL).fullmatch

    def match(self, text: str) -> Mapping[str, str] | None:
        """The named fields when the whole line matches, else None. Linear in the line's length."""
        found = self.groups(text)
        return None if found is None else dict(zip(self.names, found, strict=True))

    def fits(self, text: str) -> bool:
        """Whether the whole line matches."""
        return text.startswith(self._head) and self.groups(text) is not None

    def groups(self, text: str) -> tuple[str, ...] | None:
        """As `match`: the values alone, in the order of `names`."""
        if not text.startswith(self._head):
            return None
        found = self._fullmatch(text.replace("\t", "  " if self._labels else " ").rstrip(" "))
        return None if found is None else found.groups()

    def fill(self, values: Mapping[str, str]) -> str | None:
        """The line with these fields; None when one is missing or the line would not read back the same."""
        parts: list[str] = []
        for piece in self.pieces:
            if piece.kind == "literal":
                parts.append(piece.text)
            elif piece.kind == "blank":
                parts.append(" " * max(1, piece.exact))
            elif piece.name not in values:
                return None
            else:
                parts.append(f'"{values[piece.name]}"' if piece.kind == "quoted" else values[piece.name])
        line = "".join(parts) + self.tail
        back = self.match(line)
        return line if back is not None and all(back[name] == values[name] for name in self.names) else None


def compile_template(source: str) -> LineTemplate:
    """Compile a template. Raises TemplateError, whose text says what is wrong and where."""
    pieces = _split(source)
    _check(source, pieces)
    tail = ""
    rest = next((index for index, piece in enumerate(pieces) if piece.kind == "rest"), None)
    if rest is not None:
        tail = _literal_text(pieces[rest + 1 :]).rstrip(" ")
        pieces = pieces[: rest + 1]
    return LineTemplate(source, tuple(_blanks_counted_before_rest(pieces)), tail)


def _blanks_counted_before_rest(pieces: Sequence[Piece]) -> Iterator[Piece]:
    for piece, following in zip_longest(pieces, pieces[1:]):
        counts = following is not None and following.kind == "rest"
        yield Piece("blank") if piece.kind == "blank" and not counts else piece


def _split(source: str) -> list[Piece]:
    pieces: list[Piece] = []
    literal = ""
    at = 0
    while at < len(source):
        char = source[at]
        if source.startswith(("{{", "}}"), at):
            literal += char
            at += 2
        elif char in "{}":
            match = _FIELD.match(source, at)
            if match is None:
                raise TemplateError(
                    f"at {source[at : at + 20]!r}: a field is written {{name:kind}}, a brace {{{{ or }}}}"
                )
            literal = _flush(pieces, literal)
            pieces.append(_field(match[1], match[2]))
            at = match.end()
        elif char in " \t":
            literal = _flush(pieces, literal)
            if pieces and pieces[-1].kind == "blank":
                pieces[-1] = Piece("blank", exact=pieces[-1].exact + 1)
            else:
                pieces.append(Piece("blank", exact=1))
            at += 1
        else:
            literal += char
            at += 1
    _flush(pieces, literal)
    while pieces and pieces[-1].kind == "blank":
        pieces.pop()
    return pieces


def _field(name: str, kind: str) -> Piece:
    """A field; of one that is one of several texts, these with `|` between them, the longest first."""
    if "|" not in kind:
        return Piece(kind, name=name)
    texts = sorted({text for text in kind.split("|") if text.strip()}, key=lambda text: (-len(text), text))
    return Piece(_ONE_OF, text="|".join(texts), name=name)


def _flush(pieces: list[Piece], literal: str) -> str:
    if literal:
        pieces.append(Piece("literal", text=literal))
    return ""


def _check(source: str, pieces: list[Piece]) -> None:
    if not pieces:
        raise TemplateError("it is empty")
    names = [piece.name for piece in pieces if piece.kept]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice:
        raise TemplateError(f"the field {twice!r} stands twice")
    for index, piece in enumerate(pieces):
        if not piece.name:
            continue
        shown = f"{{{piece.name}:{piece.text if piece.kind == _ONE_OF else piece.kind}}}"
        if piece.kind not in (*KINDS, _ONE_OF):
            raise TemplateError(f"{shown}: no such kind; there are {', '.join(KINDS)}, and texts with | between them")
        after = pieces[index + 1 :]
        if piece.kind == _ONE_OF and (after or not piece.text):
            raise TemplateError(f"{shown}: one of several texts must be the last field, with nothing after it")
        if piece.kind == "rest" and any(other.name for other in after):
            raise TemplateError(f"{shown}: rest must be the last field")
        ends = piece.kind in ("word", "words") and bool(after) and after[0].kind == _ONE_OF
        may_touch = ends or piece.kind in _SELF_ENDING or (bool(after) and (piece.kind, after[0].kind) in _MAY_TOUCH)
        if after and after[0].name and not may_touch:
            raise TemplateError(f"{shown}: literal text or a blank must separate it from {{{after[0].name}}}")
        _check_end(shown, piece, after)


def _check_end(shown: str, piece: Piece, after: list[Piece]) -> None:
    if piece.kind == "words" and len(after) > 1 and after[0].kind == "blank" and after[1].name and not _ends(after[1]):
        raise TemplateError(
            f"{shown}: where words end cannot be told before {{{after[1].name}}}; put literal text between"
        )
    sample = {"int": "1", "number": "1", "hex": "a", "letters": "a"}.get(piece.kind)
    if sample and after and after[0].text:
        taken = re.match(_TAKES[piece.kind], sample + after[0].text)
        if taken and taken.end() > 1:
            raise TemplateError(f"{shown}: it would run into {after[0].text!r}, so this can never match")


def _ends(piece: Piece) -> bool:
    """Whether it is one of several texts, at the end of the line."""
    return piece.kind == _ONE_OF


def _literal_text(pieces: list[Piece]) -> str:
    return "".join(" " * piece.exact if piece.kind == "blank" else piece.text for piece in pieces)


def _pattern_of(pieces: Sequence[Piece], tail: str) -> str:
    """The regular expression of a whole line: an atomic group for each piece, around it a group for what is kept."""
    parts: list[str] = []
    for index, piece in enumerate(pieces):
        after = pieces[index + 1 :]
        if piece.kind == "literal":
            parts.append(re.escape(piece.text))
        elif piece.kind == "blank":
            # A blank that is counted stands before `rest`, and may be missing when nothing but the tail is left.
            parts.append(f"(?: {{{piece.exact}}}|(?={re.escape(tail)}\\Z))" if piece.exact else "(?> +)")
        else:
            taken = f"(?>{_taken(piece, after, tail)})"
            taken = f"({taken})" if piece.kept else taken
            parts.append(f'"{taken}"' if piece.kind == "quoted" else taken)
    return "".join(parts) + re.escape(tail)


def _taken(piece: Piece, after: Sequence[Piece], tail: str) -> str:
    """What a field takes: up to the text that follows it, or whatever is of its kind."""
    follows = after[0].text if after else ""
    if piece.kind == _ONE_OF:
        return _any_of(piece)
    if piece.kind in ("word", "words") and (ending := _ending(after)):
        inner = f"(?:(?!{ending}\\Z)[^ ])+"
        return inner if piece.kind == "word" else f"{inner}(?: +{inner})*"
    if piece.kind == "rest":
        return f"(?:(?!{re.escape(tail)}\\Z).)*" if tail else ".*"
    if piece.kind == "word":
        return f"{_up_to(follows)}+"
    if piece.kind == "words":
        return f"{_up_to(follows)}+(?: +{_no_mark(after)}{_up_to(follows)}+)*"
    return _TAKES[piece.kind]


def _ending(after: Sequence[Piece]) -> str:
    """What ends the line, where that is one of several texts, text in front of it or not; else empty."""
    if after and _ends(after[0]):
        return _any_of(after[0])
    if len(after) > 1 and after[0].kind == "literal" and _ends(after[1]):
        return re.escape(after[0].text) + _any_of(after[1])
    return ""


def _any_of(piece: Piece) -> str:
    return f"(?:{'|'.join(map(re.escape, piece.text.split('|')))})"


def _up_to(text: str) -> str:
    """One character that is no blank and does not begin this text."""
    if len(text) > 1:
        return f"(?:(?!{re.escape(text)})[^ ])"
    return f"[^ {re.escape(text)}]"


def _no_mark(after: Sequence[Piece]) -> str:
    """A look ahead that the mark which ends `words` does not stand here: the literal text behind the blank."""
    if len(after) < 2 or after[0].kind != "blank":
        return ""
    if _ends(after[1]):
        return f"(?!{_any_of(after[1])}\\Z)"
    # The blank after the literal is part of the mark, so that " on " is not found in " one"; a copied line may have
    # lost it at its end.
    behind = r"(?: |\Z)" if len(after) > 2 and after[2].kind == "blank" else ""
    return f"(?!{re.escape(after[1].text)}{behind})"

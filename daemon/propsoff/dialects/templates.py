"""Line templates: patterns for one whole line that cannot backtrack.

``{key:word} := {value:rest}`` is literal text with named fields. A template is matched once from left to right: each
piece says where it ends by looking forward once, and nothing is ever tried twice, so a match takes time linear in the
line.

=========  ============================================================================================================
kind       what it takes
=========  ============================================================================================================
`word`     one or more characters without a blank, up to the text that follows the field
`words`    one or more characters, blanks inside allowed, up to the first occurrence of the text that follows
`rest`     everything, also nothing; only as the last field, with nothing or only literal text after it
`int`      digits with an optional sign
`number`   digits with an optional sign and an optional decimal part
`hex`      hexadecimal digits
`letter`   exactly one letter A..Z or a..z
`letters`  one or more letters A..Z or a..z
`quoted`   text between double quotes; the quotes are not part of the value
=========  ============================================================================================================

A blank stands for one or more blanks or tabs on the line; before `rest` it stands for exactly one, so that a value
keeps its own leading blanks, and when `rest` is empty it may be missing. Blanks at the end of a line are not looked at.
``{{`` and ``}}`` stand for braces. Literal text or a blank must separate two fields, unless the first kind cannot run
into the second (``{band:letter}{number:int}``). A field whose name begins with ``_`` is taken and forgotten.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

KINDS = ("word", "words", "rest", "int", "number", "hex", "letter", "letters", "quoted")
_MUNCH: Mapping[str, re.Pattern[str]] = {
    "int": re.compile(r"[+-]?[0-9]+"),
    "number": re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?"),
    "hex": re.compile(r"[0-9A-Fa-f]+"),
    "letter": re.compile(r"[A-Za-z]"),
    "letters": re.compile(r"[A-Za-z]+"),
    "quoted": re.compile(r'"[^"]*"'),
    "blank": re.compile(r" +"),
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
_FIELD = re.compile(r"\{([A-Za-z_][A-Za-z0-9_-]*):([a-z]+)\}")


class TemplateError(ValueError):
    """A template is wrong; the text says how and where."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece: literal text (`kind` "literal", `text` without blanks), a blank, or a field.

    `until` is what ends a `word` (a blank or literal text) or `words` (literal text; empty: the end of the line).
    `exact` is the number of blanks where it counts.
    """

    kind: str
    text: str = ""
    name: str = ""
    until: str = ""
    exact: int = 0


Step = tuple[str, str, str, str, int]
"""A piece as it is matched: kind, text, name, until, exact."""


@dataclass(frozen=True)
class LineTemplate:
    """A compiled template; implements `console.manner.LinePattern`."""

    source: str
    steps: tuple[Step, ...] = field(repr=False)
    tail: str | None = field(default=None, repr=False)
    forgets: bool = field(default=False, repr=False)

    @property
    def names(self) -> tuple[str, ...]:
        """The fields' names, in order, without those that are forgotten."""
        return tuple(name for _, _, name, _, _ in self.steps if name and not name.startswith("_"))

    def kind_of(self, name: str) -> str | None:
        """The kind of a field, None when there is no such field."""
        return next((kind for kind, _, known, _, _ in self.steps if known == name), None)

    @property
    def head(self) -> str:
        """The literal text that every matching line begins with; may be empty."""
        return self.steps[0][1]

    def match(self, text: str) -> Mapping[str, str] | None:
        """The named fields when the whole line matches, else None. Linear in the line's length."""
        if "\t" in text:
            text = text.replace("\t", " ")
        at = 0
        found: dict[str, str] = {}
        for kind, literal, name, until, exact in self.steps:
            end = at
            if kind == "literal":
                end = at + len(literal) if text.startswith(literal, at) else -1
            elif kind == "blank":
                one = not exact and text.startswith(" ", at) and not text.startswith(" ", at + 1)
                end = at + 1 if one else _after_blank(text, at, exact)
            elif kind == "word":
                end = text.find(until, at)
                if end < 0:
                    end = len(text) if until == " " else -1
                if end <= at or (until != " " and " " in text[at:end]):
                    return None
                found[name] = text[at:end]
            elif kind == "rest":
                return self._rest(name, text, at, found)
            else:
                end = _after_words(text, at, until) if kind == "words" else _after_munch(kind, text, at)
                found[name] = text[at + 1 : end - 1] if kind == "quoted" else text[at:end]
            if end < 0:
                return None
            at = end
        if at < len(text) and text[at:].strip(" "):
            return None
        return _kept(found) if self.forgets else found

    def fill(self, values: Mapping[str, str]) -> str | None:
        """The line with these fields; None when one is missing or the line would not read back the same."""
        parts: list[str] = []
        for kind, literal, name, _, exact in self.steps:
            if kind == "literal":
                parts.append(literal)
            elif kind == "blank":
                parts.append(" " * max(1, exact))
            elif name not in values:
                return None
            else:
                parts.append(f'"{values[name]}"' if kind == "quoted" else values[name])
        line = "".join(parts) + (self.tail or "")
        back = self.match(line)
        return line if back is not None and all(back[name] == values[name] for name in self.names) else None

    def _rest(self, name: str, text: str, at: int, found: dict[str, str]) -> Mapping[str, str] | None:
        end = len(text)
        if self.tail:
            end = len(text.rstrip(" ")) - len(self.tail)
            if end < at or not text.startswith(self.tail, end):
                return None
        found[name] = text[at:end]
        return _kept(found) if self.forgets else found


def _kept(found: dict[str, str]) -> Mapping[str, str]:
    return {name: value for name, value in found.items() if name[0] != "_"}


def _after_blank(text: str, at: int, exact: int) -> int:
    """Where a blank ends. One that is counted stands before `rest`, and may be missing when the line ends there."""
    if exact:
        return at + exact if text.startswith(" " * exact, at) else at if at == len(text) else -1
    return _after_munch("blank", text, at)


def _after_words(text: str, at: int, until: str) -> int:
    end = text.find(until, at) if until else len(text)
    if end < 0 and until[-1] == " " and text.endswith(until[:-1]):  # the blank that a copied line has lost at its end
        end = len(text) - len(until) + 1
    if end <= at or text[at] == " ":
        return -1
    return at + len(text[at:end].rstrip(" "))


def _after_munch(kind: str, text: str, at: int) -> int:
    match = _MUNCH[kind].match(text, at)
    return match.end() if match else -1


def compile_template(source: str) -> LineTemplate:
    """Compile a template. Raises TemplateError, whose text says what is wrong and where."""
    pieces = _split(source)
    _check(source, pieces)
    tail: str | None = None
    rest = next((index for index, piece in enumerate(pieces) if piece.kind == "rest"), None)
    if rest is not None:
        tail = _literal_text(pieces[rest + 1 :]).rstrip(" ") or None
        pieces = pieces[: rest + 1]
    pieces = _looking_ahead(pieces)
    steps = tuple((piece.kind, piece.text, piece.name, piece.until, piece.exact) for piece in pieces)
    return LineTemplate(source, steps, tail, any(piece.name.startswith("_") for piece in pieces))


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
            pieces.append(Piece(match[2], name=match[1]))
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


def _flush(pieces: list[Piece], literal: str) -> str:
    if literal:
        pieces.append(Piece("literal", text=literal))
    return ""


def _check(source: str, pieces: list[Piece]) -> None:
    if not pieces:
        raise TemplateError("it is empty")
    names = [piece.name for piece in pieces if piece.name and not piece.name.startswith("_")]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice:
        raise TemplateError(f"the field {twice!r} stands twice")
    for index, piece in enumerate(pieces):
        if not piece.name:
            continue
        shown = f"{{{piece.name}:{piece.kind}}}"
        if piece.kind not in KINDS:
            raise TemplateError(f"{shown}: no such kind; there are {', '.join(KINDS)}")
        after = pieces[index + 1 :]
        if piece.kind == "rest" and any(other.name for other in after):
            raise TemplateError(f"{shown}: rest must be the last field")
        if after and after[0].name and piece.kind not in _SELF_ENDING and (piece.kind, after[0].kind) not in _MAY_TOUCH:
            raise TemplateError(f"{shown}: literal text or a blank must separate it from {{{after[0].name}}}")
        _check_end(shown, piece, after)


def _check_end(shown: str, piece: Piece, after: list[Piece]) -> None:
    if piece.kind == "words" and len(after) > 1 and after[0].kind == "blank" and after[1].name:
        raise TemplateError(
            f"{shown}: where words end cannot be told before {{{after[1].name}}}; put literal text between"
        )
    sample = {"int": "1", "number": "1", "hex": "a", "letters": "a"}.get(piece.kind)
    if sample and after and after[0].text:
        taken = _MUNCH[piece.kind].match(sample + after[0].text)
        if taken and taken.end() > 1:
            raise TemplateError(f"{shown}: it would run into {after[0].text!r}, so this can never match")


def _literal_text(pieces: list[Piece]) -> str:
    return "".join(" " * piece.exact if piece.kind == "blank" else piece.text for piece in pieces)


def _looking_ahead(pieces: list[Piece]) -> list[Piece]:
    """Each piece with what it must know of the next ones."""
    out: list[Piece] = []
    for index, piece in enumerate(pieces):
        after = pieces[index + 1 :]
        if piece.kind == "blank":
            out.append(piece if after and after[0].kind == "rest" else Piece("blank"))
        elif piece.kind == "word":
            out.append(Piece("word", name=piece.name, until=(after[0].text if after else "") or " "))
        elif piece.kind == "words" and after:
            until = after[0].text
            if not until:
                # The blank after the literal is part of the mark, so that " on " is not found in " one".
                until = " " + after[1].text + (" " if len(after) > 2 and after[2].kind == "blank" else "")
            out.append(Piece("words", name=piece.name, until=until))
        else:
            out.append(piece)
    return out

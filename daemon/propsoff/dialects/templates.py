"""Line templates: patterns for one whole line that cannot backtrack.

``{key:word} := {value:rest}`` is literal text with named fields. A template is matched once from left to right: each piece
says where it ends by looking forward once, and nothing is ever tried twice, so a match takes time linear in the line.

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

A blank stands for one or more blanks or tabs on the line; before `rest` it stands for exactly one, so that a value keeps its
own leading blanks, and when `rest` is empty it may be missing. Blanks at the end of a line are not looked at. ``{{`` and
``}}`` stand for braces. Literal text or a blank must separate two fields, unless the first kind cannot run into the second
(``{band:letter}{number:int}``). A field whose name begins with ``_`` is taken and forgotten.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
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
    [("letters", "int"), ("letters", "number"), ("int", "letters"), ("int", "letter"), ("number", "letters"), ("number", "letter")]
)
_SELF_ENDING = frozenset(["letter", "quoted"])
_FIELD = re.compile(r"\{([A-Za-z_][A-Za-z0-9_-]*):([a-z]+)\}")


class TemplateError(ValueError):
    """A template is wrong; the text says how and where."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece: literal text (`kind` "literal", `text` without blanks), a blank, or a field.

    `until` is the literal that ends a `word` or `words` (empty: a blank or the end does); `exact` is the number of blanks.
    """

    kind: str
    text: str = ""
    name: str = ""
    until: str = ""
    exact: int = 0


@dataclass(frozen=True)
class LineTemplate:
    """A compiled template; implements `console.manner.LinePattern`."""

    source: str
    pieces: tuple[Piece, ...] = field(repr=False)
    tail: str | None = field(default=None, repr=False)

    @property
    def names(self) -> tuple[str, ...]:
        """The fields' names, in order, without those that are forgotten."""
        return tuple(piece.name for piece in self.pieces if piece.name and not piece.name.startswith("_"))

    @property
    def head(self) -> str:
        """The literal text that every matching line begins with; may be empty."""
        return self.pieces[0].text if self.pieces and self.pieces[0].kind == "literal" else ""

    def match(self, text: str) -> Mapping[str, str] | None:
        """The named fields when the whole line matches, else None. Linear in the line's length."""
        if "\t" in text:
            text = text.replace("\t", " ")
        at = 0
        found: dict[str, str] = {}
        for piece in self.pieces:
            kind = piece.kind
            if kind == "literal":
                if not text.startswith(piece.text, at):
                    return None
                at += len(piece.text)
                continue
            if kind == "rest":
                return self._rest(piece, text, at, found)
            end = _TAKE.get(kind, _munch)(piece, text, at)
            if end < 0:
                return None
            if piece.name:
                found[piece.name] = text[at + 1 : end - 1] if kind == "quoted" else text[at:end]
            at = end
        if at < len(text) and text[at:].strip(" "):
            return None
        return _kept(found)

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
                value = values[piece.name]
                parts.append(f'"{value}"' if piece.kind == "quoted" else value)
        line = "".join(parts) + (self.tail or "")
        back = self.match(line)
        return line if back is not None and all(back[name] == values[name] for name in self.names) else None

    def _rest(self, piece: Piece, text: str, at: int, found: dict[str, str]) -> Mapping[str, str] | None:
        if not self.tail:
            found[piece.name] = text[at:]
            return _kept(found)
        end = len(text.rstrip(" ")) - len(self.tail)
        if end < at or not text.startswith(self.tail, end):
            return None
        found[piece.name] = text[at:end]
        return _kept(found)


def _kept(found: dict[str, str]) -> Mapping[str, str]:
    for name in [name for name in found if name[0] == "_"]:
        del found[name]
    return found


def _take_blank(piece: Piece, text: str, at: int) -> int:
    if piece.exact:
        if text.startswith(" " * piece.exact, at):
            return at + piece.exact
        return at if at == len(text) else -1
    match = _MUNCH["blank"].match(text, at)
    return match.end() if match else -1


def _take_word(piece: Piece, text: str, at: int) -> int:
    end = text.find(piece.until or " ", at)
    if end < 0:
        end = -1 if piece.until else len(text)
    return -1 if end <= at or " " in text[at:end] else end


def _take_words(piece: Piece, text: str, at: int) -> int:
    end = text.find(piece.until, at) if piece.until else len(text)
    if end <= at or text[at] == " ":
        return -1
    return at + len(text[at:end].rstrip(" "))


def _munch(piece: Piece, text: str, at: int) -> int:
    match = _MUNCH[piece.kind].match(text, at)
    return match.end() if match else -1


_TAKE: Mapping[str, Callable[[Piece, str, int], int]] = {
    "blank": _take_blank,
    "word": _take_word,
    "words": _take_words,
}


def compile_template(source: str) -> LineTemplate:
    """Compile a template. Raises TemplateError, whose text says what is wrong and where."""
    pieces = _split(source)
    _check(source, pieces)
    tail: str | None = None
    rest = next((index for index, piece in enumerate(pieces) if piece.kind == "rest"), None)
    if rest is not None:
        tail = _literal_text(pieces[rest + 1 :]).rstrip(" ") or None
        pieces = pieces[: rest + 1]
    return LineTemplate(source, tuple(_looking_ahead(pieces)), tail)


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
                raise TemplateError(f"at {source[at : at + 20]!r}: a field is written {{name:kind}}, a brace {{{{ or }}}}")
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
        raise TemplateError(f"{shown}: where words end cannot be told before {{{after[1].name}}}; put literal text between")
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
        elif piece.kind in ("word", "words") and after:
            until = after[0].text
            if piece.kind == "words" and not until:
                # The blank after the literal is part of the mark, so that " on " is not found in " one".
                until = " " + after[1].text + (" " if len(after) > 2 and after[2].kind == "blank" else "")
            out.append(Piece(piece.kind, name=piece.name, until=until))
        else:
            out.append(piece)
    return out

"""Reading a console's help: which words it knows and what it says of them, in whatever layout."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from propsoff.console.manner import Line
from propsoff.learning.entries import entry_on, menu_entries
from propsoff.learning.help_lists import bracketed, delimited, headed
from propsoff.learning.layouts.documents import as_document
from propsoff.learning.model import HelpWord
from propsoff.learning.thesaurus import is_truth_word

__all__ = ["MOST_WORDS", "help_words", "menu_entries", "pointed_at"]

MOST_WORDS = 400
"""So many words of one help are looked at; a console that has more is no board's."""

_LONGEST = 2000
"""Characters of one line that are looked at; a document is read whole."""

_LONGEST_HEADING = 60
_GROUPED = re.compile(r"\s*([^\W\d_]{2,12})\s*:\s+([^\W\d_][\w.-]*)(?:\t|\s{2,})(\S.*)")
_SPLIT = re.compile(r"[ \t]*(?:\t| {2,}|[ \t]+[-–—:=|][ \t]+|:[ \t]+|[ \t]*\.{3,}[ \t]*|[ \t]+#[ \t]*)[-–—:=| \t]*")
_BULLET = re.compile(r"^[ \t]*(?:[*•·>|+-]+[ \t]+)?")
_WORD = re.compile(r"[^\W\d_][\w.-]*|\?", re.UNICODE)
_ALTERNATIVES = re.compile(r"[<\[({]\s*([^\W\d_][\w-]*(?:\s*\|\s*[^\W\d_][\w-]*)+)\s*[>\])}]")
"""The second words that a first one may have, all of them named: each is a word of its own, `get radio`."""
_ARGUMENT = re.compile(r"[<\[({].*|.*[>\])}]|[A-Z]{1,12}|\.\.\.|.*=.*")
_QUOTED = re.compile(r"""(?<![\w"])['"`‘“«<]([^\W\d_][\w-]{0,30}(?: [\w-]{1,20})?|\?)['"`’”»>](?!\s*:)""")
_ASKED = re.compile(
    r"\b(?:type|enter|say|use|try|ask|send|command|tippe|eingabe|tapez|taper|escriba|teclea|scrivi|digita|digite|typ|skriv|"
    r"wpisz|zadej|scrivi)\s*:?\s+([^\W\d_][\w-]{0,30}|\?)(?: ([^\W\d_][\w-]{1,20}))?",
    re.IGNORECASE,
)
_SHOWS = re.compile(
    r"(?<![\w.])([0-9]{1,2}|[^\W\d_][\w-]{0,11}|\?)\s+(?:shows?|lists?|prints?|gives?|brings?|opens?)\s+"
    r"(?:you |up )?(?:the |all |this )?(?:main )?(?:menu|list|help|commands|words|entries|choices|topics|overview)\b",
    re.IGNORECASE,
)
_PLAIN_WORDS = frozenset(
    [
        "a",
        "an",
        "the",
        "this",
        "to",
        "for",
        "of",
        "and",
        "or",
        "in",
        "on",
        "is",
        "are",
        "with",
        "by",
        "from",
        "it",
        "you",
        "your",
        "any",
        "key",
        "more",
    ]
)
_PLACES = frozenset([
    "name", "value", "val", "key", "index", "idx", "id", "number", "num", "n", "nr", "x", "y", "z", "file",
    "path", "param", "parameter", "item", "text", "string", "word", "arg", "args", "wert", "zahl", "nom",
    "valeur", "nombre", "valor", "nome", "valore", "naam", "waarde",
])  # fmt: skip
"""Words that stand for what is to be told after a command, though nothing marks them."""
_HEADINGS = frozenset(
    [
        "command",
        "commands",
        "word",
        "words",
        "befehl",
        "befehle",
        "commande",
        "commandes",
        "comando",
        "comandos",
        "comandi",
    ]
)


def help_words(lines: Sequence[Line]) -> tuple[HelpWord, ...]:
    """The words that a help names, in order, each once; the first description counts."""
    found: dict[str, HelpWord] = {}
    if (document := _document(lines)) is not None:
        return tuple(document)[:MOST_WORDS]
    short = [Line(line.number, line.text[:_LONGEST]) for line in lines]
    for made in (delimited, bracketed, headed):
        if listed := made(short):
            return tuple({word.word: word for word in reversed(listed)}.values())[::-1][:MOST_WORDS]
    grid, under = _is_grid(lines), ""
    for line in lines:
        words = list(_of_line(line, grid))
        under = next((word.under for word in words if word.under), under)
        if not words:
            under = line.text.strip(" :=-[]*#")[:_LONGEST_HEADING]
        for word in (replace(word, under=under) for word in words):
            if word.word.casefold() not in _HEADINGS:
                found.setdefault(word.word, word)
            if len(found) >= MOST_WORDS:
                return tuple(found.values())
    return tuple(found.values())


def _document(lines: Sequence[Line]) -> list[HelpWord] | None:
    """The words of a help that is a JSON document: names with texts beside them, or texts of a list."""
    layout = as_document("", tuple(lines))
    if layout is None:
        return None
    found: list[HelpWord] = []
    for statement in layout.statements:
        name = statement.path[-1] if statement.path else ""
        if statement.kind == "list":
            found += [
                HelpWord(token, "", statement.line) for token in re.split(r",\s*", statement.text) if _is_word(token)
            ]
        elif _is_word(name) and len(layout.statements) > 1:
            found.append(HelpWord(name, statement.text, statement.line))
    for rows in layout.rows:
        for row in rows.rows:
            cells = [cell for cell in row.values() if cell.text]
            if cells and _is_word(cells[0].text):
                says = cells[1].text if len(cells) > 1 else ""
                found.append(HelpWord(cells[0].text, says, cells[0].line))
    return found


def pointed_at(lines: Iterable[Line]) -> tuple[HelpWord, ...]:
    """The words that a greeting tells a person to type: in quotes, or after `type`, `enter` and their like."""
    found: dict[str, HelpWord] = {}
    for line in lines:
        text = line.text[:_LONGEST]
        for match in (*_QUOTED.finditer(text), *_ASKED.finditer(text), *_SHOWS.finditer(text)):
            several = match[2] if match.re is _ASKED and match[2] else ""
            if match[1].casefold() in _PLAIN_WORDS:
                continue
            if several and several.casefold() not in _PLAIN_WORDS:  # `try list commands` names one of two words
                both = f"{match[1]} {several}"
                found.setdefault(both, HelpWord(both, line.text[:_LONGEST].strip(), line.number))
            found.setdefault(match[1], HelpWord(match[1], line.text[:_LONGEST].strip(), line.number))
    return tuple(found.values())


def _of_line(line: Line, grid: bool) -> Iterator[HelpWord]:
    if (entry := entry_on(line)) is not None:
        yield entry
        return
    if (grouped := _GROUPED.fullmatch(line.text[:_LONGEST].rstrip())) is not None:
        yield HelpWord(grouped[2], grouped[3], line.number, under=grouped[1])
        return
    text = _BULLET.sub("", line.text[:_LONGEST].rstrip(), count=1)
    if text.count("|") > 1 and (listed := _listed(text)):
        yield from (HelpWord(token, "", line.number) for token in listed)
        return
    if grid:
        yield from (HelpWord(token, "", line.number) for token in re.split(r"[,;|\s]+", text) if _is_word(token))
        return
    split = _SPLIT.search(text)
    head, says = (text[: split.start()], text[split.end() :].strip()) if split else (text, "")
    if split and not says:  # `Commands:` is a heading
        return
    if not says and (listed := _listed(text)):
        yield from (HelpWord(token, "", line.number) for token in listed)
        return
    if split and says and not head.strip():
        return
    word, takes = _word_and_arguments(head)
    if word is not None and (says or takes or len(word.split()) == 1):
        if (listed := _listed(says)) and head.casefold().split()[0] in _HEADINGS:
            yield from (HelpWord(token, "", line.number) for token in listed)
        elif objects := _objects(takes):
            yield from (HelpWord(f"{word} {one}", says, line.number) for one in objects)
        else:
            yield HelpWord(word, says, line.number, takes)


def _word_and_arguments(head: str) -> tuple[str | None, str]:
    """The command in front of its arguments; None when it is no command but a sentence."""
    tokens = re.split(r"[\s]+", head.strip())
    first = re.split(r"[,|/]", tokens[0])[0] if tokens else ""
    tokens = [first, *tokens[1:]]
    count = 1
    while count < len(tokens) and not _is_argument(tokens[count], capitals=head.isupper()):
        count += 1
    words = tokens[:count]
    if len(words) > 3 or not all(map(_is_word, words)):
        return None, ""
    return " ".join(words), " ".join(tokens[count:])


def _is_argument(token: str, *, capitals: bool) -> bool:
    """Whether a token stands for what is to be told; capitals say so only where not all are."""
    if token.casefold() in _PLACES:
        return True
    return _ARGUMENT.fullmatch(token) is not None and not (capitals and token.isalpha())


def _objects(takes: str) -> list[str]:
    """The second words that a first one may have, where all are named and none is a value, such as `on`."""
    match = _ALTERNATIVES.fullmatch(takes)
    objects = [one.strip() for one in match[1].split("|")] if match else []
    return [] if any(map(is_truth_word, objects)) else objects


def _listed(text: str) -> list[str]:
    """The words of a line that is nothing but a list of words; empty when it is a sentence."""
    tokens = [token for token in re.split(r"[,;|\s]+", text.strip().rstrip(".")) if token]
    parted = "," in text or ";" in text or "|" in text
    if len(tokens) < (2 if parted else 3) or not all(map(_is_word, tokens)):
        return []
    sentence = _PLAIN_WORDS.intersection(token.casefold() for token in tokens)
    return [] if sentence else tokens


def _is_word(token: str) -> bool:
    return _WORD.fullmatch(token) is not None


def _is_grid(lines: Sequence[Line]) -> bool:
    """Whether words stand in columns: lines of three and more single words, parted by runs of blanks."""
    rows = [re.split(r"\t| {2,}", line.text.strip()) for line in lines if line.text.strip()]
    wide = [row for row in rows if len(row) > 2 and all(_is_word(cell) for cell in row)]
    return bool(wide) and 2 * len(wide) >= len(rows)

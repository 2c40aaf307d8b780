"""Where in a page the texts of a fact stand, and which of its lines say something."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from tests_support.other_consoles.stating import StatingConsole

_STATES = re.compile(r"\S {2,}\S|: [^\[{\s]|=|\.\. | \. | \| ")
_RULE = re.compile(r"[-= |+]+")


def trouble(page: str, texts: Sequence[str]) -> str:
    """Why nobody could tell where the texts of a fact stand, each once below the one before; else empty.

    A text that is not below the one before stands somewhere after it, or beside it: a legend, or another line of a row.
    """
    scope = page.replace("\r", "")
    for text, following in zip(texts, (*texts[1:], ""), strict=True):
        found = _found(text.replace("\r", ""), scope)
        if len(found) > 1 and following:  # of several heads the one that the next text belongs to
            found = [head for head in found if _found(following, _below(scope, head))]
        if len(found) != 1:
            return f"{text!r} stands {len(found)} times"
        for rest in (_below(scope, found[0]), scope[found[0].end() :]):
            if following and _found(following, rest):
                scope = rest
                break
    return ""


def _found(text: str, scope: str) -> list[re.Match[str]]:
    """Where a text stands: as a whole line, else at the beginning of one, else within one and not in a longer word."""
    quoted = re.escape(text)
    begins, ends = r"(?<![\w.])" if text[:1].isalnum() else "", r"(?![\w.]*\w)" if text[-1:].isalnum() else ""
    for pattern in (rf"^ *{quoted}(?= *$)", rf"^ *{quoted}{ends}"):
        if len(found := list(re.finditer(pattern, scope, re.MULTILINE))) == 1:
            return found
    return list(re.finditer(begins + quoted + ends, scope))


def _below(scope: str, head: re.Match[str]) -> str:
    """What belongs to a head: to an empty line, or to one no deeper than a head with deeper lines."""
    lines = scope[scope.rfind("\n", 0, head.start() + 1) + 1 :].split("\n")
    depth = _depth(lines[0])
    nested = len(lines) > 1 and _depth(lines[1]) > depth
    ends = (at for at, line in enumerate(lines[1:], 1) if not line.strip() or (nested and _depth(line) <= depth))
    return "\n".join([scope[head.end() :].split("\n", 1)[0], *lines[1 : next(ends, len(lines))]])


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip())


def stating_lines(kind: type[StatingConsole]) -> tuple[int, int]:
    """How many lines state a fact of the truth, and how many say anything; neither help nor heads, rules, brackets."""
    heads = {head.strip() for one in kind.stated.values() for head in one.texts[:-1]}
    lines = [(word, line) for word, line in _lines(kind) if line not in heads]
    saying = [(word, line) for word, line in lines if _STATES.search(line)]
    if len(saying) < len(lines) / 4:  # a blank parts name and value
        saying = [(word, line) for word, line in lines if " " in line]
    texts = {(one.word, text.strip()) for one in kind.stated.values() for text in one.texts}
    return sum(any(word == of and text in line for of, text in texts) for word, line in saying), len(saying)


def _lines(kind: type[StatingConsole]) -> Iterator[tuple[str, str]]:
    for word, page in kind.pages.items():
        for line in map(str.strip, page.splitlines()):
            bare = not line or line[0] == "#" or line[-1] in "[{:" or _RULE.fullmatch(line)
            if word not in (kind.help_word, "?") and not bare:
                yield word, line


def ports_printed(kind: type[StatingConsole], ids: Sequence[str]) -> list[str]:
    """The ports of the page that lists them, in its order, the receiver's own line left out; all named alike."""
    page = kind.pages[{**kind.stated, **kind.coded}["ports[0].id"].word]
    if receiver := kind.stated.get("receiver.port"):
        page = page.replace(receiver.texts[-1], "", 1)
    shapes = "|".join(sorted({re.sub(r"\d", r"\\d", re.escape(one)) for one in ids}))
    return list(dict.fromkeys(one.casefold() for one in re.findall(rf"(?<![^\W_])(?:{shapes})(?!\d)", page, re.I)))

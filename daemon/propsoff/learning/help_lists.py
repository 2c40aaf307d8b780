"""Helps that are no list of one word a line: rows between marks, words with brackets in running text, headed lists."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from propsoff.console.manner import Line
from propsoff.learning.model import HelpWord
from propsoff.learning.vocabulary import words_of

_WORD = re.compile(r"[^\W\d_][\w.-]*|\?", re.UNICODE)
_DELIMITED = re.compile(r"\s*\|?\s*([^\W\d_][\w.-]*(?: [\w.-]+){0,2}|\?)\s*([,;|\t])\s*(\S.*?)\s*\|?\s*")
_BRACKETED = re.compile(r"([^\W\d_][\w.-]*|\?)\s*\(([^()]{2,60})\)")
_HEADED = re.compile(r"\s*([^\W\d_][\w ]{0,24}?)\s*:\s+(\S.*)")
_FEWEST = 3
_MOST_SHARE = 0.6


def delimited(lines: Sequence[Line]) -> list[HelpWord]:
    """The words of rows such as `LIVE,shows,readings as they are now`; empty when the help is not written so."""
    telling = [line for line in lines if line.text.strip()]
    rows = [(line, match) for line in telling if (match := _DELIMITED.fullmatch(line.text))]
    marks = {match[2] for _, match in rows}
    if len(rows) < max(_FEWEST, _MOST_SHARE * len(telling)) or len(marks) != 1:
        return []
    if not any(match[2] in match[3] or " " in match[3] for _, match in rows):  # a list of words only
        return []
    return [
        HelpWord(match[1], " ".join(re.split(rf"\s*{re.escape(match[2])}\s*", match[3])), line.number)
        for line, match in rows
        if match[1].casefold() not in words_of("help_titles")
    ]


def bracketed(lines: Sequence[Line]) -> list[HelpWord]:
    """The words of running text with what each is in brackets behind it, below headings that say what they do."""
    found, plain = list[HelpWord](), list[HelpWord]()
    for heading, block in _blocks(lines):
        text = " ".join(line.text.strip() for line in block)
        entries = _BRACKETED.findall(text)
        listed = re.sub(_BRACKETED, "", text).replace(",", " ").split()
        if len(entries) >= _FEWEST and len(listed) <= len(entries):
            found += [HelpWord(word, says, block[0].number, under=heading) for word, says in entries]
        elif not entries and "," in text and all(map(_WORD.fullmatch, listed)):
            plain += [HelpWord(word, "", block[0].number, under=heading) for word in listed]
    return [*plain, *found] if found else []


def headed(lines: Sequence[Line]) -> list[HelpWord]:
    """The words behind headings, such as `readings: ident state usage`: empty when no line is written so.

    A heading may be a word itself that the rest describes; it is a word of the help too, then.
    """
    telling = [line for line in lines if line.text.strip()]
    rows = [(line, match) for line in telling if (match := _HEADED.fullmatch(line.text))]
    lists = [(line, match[1], match[2].replace(",", " ").split()) for line, match in rows]
    lists = [one for one in lists if all(_WORD.fullmatch(word) for word in one[2])]
    many = [words for _, _, words in lists if len(words) >= _FEWEST or any("_" in word for word in words)]
    firsts = [words[0].casefold() for _, _, words in lists if len(words) > 1]
    plain = set(words_of("plain_words"))
    described = any(firsts.count(first) >= _FEWEST or first in words_of("telling_verbs") for first in firsts)
    described = described or any(len(words) > 1 and plain & set(words) for _, _, words in lists)
    columns = any(re.search(r"\S\s{2,}\S", match[2]) for _, match in rows)
    if not many or len(lists) < 2 or len(rows) > len(lists) or described or columns:
        return []
    return [HelpWord(word, "", line.number, under=heading) for line, heading, words in lists for word in words]


def _blocks(lines: Sequence[Line]) -> Iterator[tuple[str, list[Line]]]:
    """(heading, the lines below it that are indented deeper)."""
    heading, block = "", list[Line]()
    for line in lines:
        if not line.text.strip():
            continue
        if line.text[0].isspace():
            block.append(line)
            continue
        if block:
            yield heading, block
        heading, block = (line.text.strip(" :"), []) if not _BRACKETED.search(line.text) else ("", [line])
    if block:
        yield heading, block


def is_doing(heading: str) -> bool:
    """Whether a heading says that what stands below it does something."""
    pieces = re.findall(r"[^\W\d_]+", heading.casefold())
    return any(piece in words_of("doing_headings") for piece in pieces)

"""The guide to dialects is executed: its file reads its text, and every row of its tables holds."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from propsoff.console.capture import pasted
from propsoff.dialects.build_decoders import DECODERS
from propsoff.dialects.build_grammars import GRAMMARS
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import read_craft
from propsoff.dialects.recognise import recognise
from propsoff.dialects.templates import KINDS, compile_template
from propsoff.dialects.units import known_units

GUIDE = (Path(__file__).parents[2] / "contrib" / "guide" / "dialects.md").read_text()


def block(language: str) -> str:
    """The first code block in a language: those of the walk-through stand before all others."""
    return blocks(GUIDE, language)[0]


def blocks(text: str, language: str) -> list[str]:
    """The code blocks in a language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def table(*headers: str) -> list[list[str]]:
    """The rows of the first table with these headers; code marks are taken off."""
    return table_in(GUIDE, *headers)


def table_in(text: str, *headers: str) -> list[list[str]]:
    """As `table`, of a part of the guide."""
    lines = text.split("\n")
    at = lines.index(f"| {' | '.join(headers)} |") + 2
    rows: list[list[str]] = []
    while lines[at].startswith("|"):
        cells = [cell.strip() for cell in lines[at].strip("|").split(" | ")]
        rows.append([cell.strip("| ").removeprefix("`").removesuffix("`") for cell in cells])
        at += 1
    return rows


def plain(value: Any) -> Any:
    """Tuples as lists, as JSON has them."""
    return [plain(item) for item in value] if isinstance(value, (tuple, list)) else value


def test_the_file_of_the_walk_through_reads_its_text() -> None:
    heddle = parse_dialect(block("toml"), "heddle.toml")
    capture = pasted(block("text").encode())
    assert recognise(capture, [heddle]) is heddle
    craft = read_craft(capture, heddle).craft
    facts = table("fact", "value")
    assert len(facts) == 12
    for name, value in facts:
        assert plain(craft.value(name)) == json.loads(value), name
    assert (craft.problems, craft.unread) == ((), ())
    assert heddle.say("ports[].roles", ("overlay-link",), row={"id": "P3", "baud": 9600}) == (
        "port.P3 := picture@9600",
    )
    assert heddle.say("battery.cell_low", 3.5) == ("cells.low := 3500mV",)
    assert heddle.closing() == ("store", "restart")


LAYOUTS = {
    part.partition("\n")[0]: part
    for part in GUIDE.partition("\n## Other layouts\n")[2].partition("\n## ")[0].split("\n### ")[1:]
}


@pytest.mark.parametrize("name", list(LAYOUTS))
def test_a_layout_of_the_guide_reads_its_text(name: str) -> None:
    (read,), (reply,) = blocks(LAYOUTS[name], "toml"), blocks(LAYOUTS[name], "text")
    toy = parse_dialect(
        'format = 1\nid = "toy"\ntitle = "Toy"\n[console]\nline_end = "\\r"\necho = true\nprompt = "> "\n'
        '[identity]\ncommand = "id"\nknown_by = "toy"\ngrammar = "lines"\nlines = "toy"\n'
        f"[[reads]]\n{read}",
        "toy.toml",
    )
    command = toy.manner.reads[0].command
    craft = read_craft(pasted(f"> id\ntoy\n> {command}\n{reply}> ".encode()), toy).craft
    facts = table_in(LAYOUTS[name], "fact", "value")
    assert facts
    for fact, value in facts:
        assert plain(craft.value(fact)) == json.loads(value), fact
    assert (craft.problems, craft.unread) == ((), ())


def test_every_grammar_of_lines_and_every_new_layout_has_an_example() -> None:
    examples = "".join(LAYOUTS.values())
    keys = ("sections", "indented = true", "separator", "{member:word}", "join = ", "packed = ", "pattern = ")
    for key in (*keys, "told_by", "|Row|", "below"):
        assert key in examples, key
    assert len(LAYOUTS) == 8


KIND_ROWS = table("kind", "takes", "template", "line", "fields")


@pytest.mark.parametrize(("kind", "takes", "template", "line", "fields"), KIND_ROWS)
def test_a_row_of_the_table_of_kinds_holds(kind: str, takes: str, template: str, line: str, fields: str) -> None:
    assert takes
    assert f":{kind}}}" in template
    assert compile_template(template).match(line) == json.loads(fields)


DECODER_ROWS = table("decoder", "a word written as", "the console writes", "the fact is", "said")


@pytest.mark.parametrize(("decoder", "written", "text", "value", "said"), DECODER_ROWS)
def test_a_row_of_the_table_of_decoders_holds(decoder: str, written: str, text: str, value: str, said: str) -> None:
    toy = parse_dialect(
        'format = 1\nid = "toy"\ntitle = "Toy"\n[console]\nline_end = "\\r"\necho = true\nprompt = "> "\n'
        '[identity]\ncommand = "id"\nknown_by = "toy"\ngrammar = "pairs"\nline = "{key:word}={value:rest}"\n'
        '[[reads]]\ncommand = "all"\ngrammar = "pairs"\nline = "{key:word}={value:rest}"\n'
        f'[reads.words]\nw = {written}\n[say]\nset = "{{word}} {{value}}"\n',
        "toy.toml",
    )
    assert f'as = "{decoder}"' in written or decoder in ("text", "number")
    (word,) = toy.listings[1].words.values()
    craft = read_craft(pasted(f"> id\nx=y\n> all\nw={text}\n> ".encode()), toy).craft
    assert plain(craft.value(word.facts[0])) == json.loads(value)
    assert [problem.fact for problem in craft.problems] == []
    assert toy.say(word.facts[0], craft.value(word.facts[0])) == ((f"w {said}",) if said else ())


def test_the_guide_names_every_kind_decoder_grammar_and_unit_and_no_other() -> None:
    assert [row[0] for row in KIND_ROWS] == list(KINDS)
    assert list(dict.fromkeys(row[0] for row in DECODER_ROWS)) == [
        "text", "number", "integer", "yes-no", "choice", "letters", "axes", "list", "bits", "bit", "index",
    ]  # fmt: skip
    assert {row[0] for row in DECODER_ROWS} == set(DECODERS)
    assert [row[0] for row in table("grammar", "its own keys", "a word is", "a group or list stands at")] == list(
        GRAMMARS
    )
    (units,) = re.findall(r"Known units:\s+(.*?)\. A period", GUIDE, re.DOTALL)
    assert re.findall(r"[^\s,]+", units) == list(known_units())

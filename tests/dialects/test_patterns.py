"""Free patterns: only by an engine whose time is linear, wherever a line template may stand."""

from __future__ import annotations

import pickle
import subprocess
import sys
import time

import pytest

from dialects.toys import HEAD, STARTS, craft_of, mistake
from propsoff.console.capture import pasted
from propsoff.craft.model import OverlayElement, Uart
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.patterns import compile_pattern
from propsoff.dialects.read import read_craft
from propsoff.dialects.templates import TemplateError

READ = r"""
ends = { pattern = 'that is (?P<count>\d+)\.?' }
counted = { pattern = '.* (is|are) .*' }
grammar = "pairs"
line = [{ pattern = '(?:(?P<value>[^ ]+) )?(?:is|are) the (?P<key>.+)' }, "{key:word} = {value:rest}"]
ignore = [{ pattern = 'debug [a-z]+' }, "colour"]
[reads.words]
low = "channels.low"
"top end" = "channels.high"
grid.form.pattern = '(?P<w>\d+)(?:[x*](?P<h>\d+))?'
grid.fields = { w = "overlay.columns", h = { fact = "overlay.rows", missing = [] } }
[reads.words.pack]
forms = [{ line = { pattern = 'none|no' }, means = { "battery.cells" = 0 } }, { pattern = '(?P<n>\d)S(?P<_>.*)' }]
fields = { n = "battery.cells" }
[[reads.rows]]
group = "ports"
key = { pattern = 'port-?(?P<id>\d)' }
fields.id = "id"
fields.value = "baud"
"""


def test_patterns_stand_wherever_templates_may() -> None:
    reply = (
        "1000 is the low\n2000 are the top end\ngrid = 30x13\npack = 6S1P\nport1 = 9600\nport-2 = 115200\n"
        "1 is the debug loop\n2 is the colour\n3 is the odd\nthat is 5."
    )
    craft = craft_of(READ, reply)
    assert (craft.channels.low, craft.channels.high, craft.battery.cells) == (1000, 2000, 6)
    assert (craft.overlay.columns, craft.overlay.rows) == (30, 13)
    assert craft.ports == (Uart("1", None, 9600), Uart("2", None, 115200))
    assert [text for _, text in craft.unread] == ["3 is the odd"]
    assert craft.problems == ()
    wrong = craft_of(READ, reply.replace("that is 5", "that is 6"))
    assert any("it says that it has 6 lines, 5 were read" in problem.message for problem in wrong.problems)


def test_a_group_that_takes_no_part_says_nothing() -> None:
    craft = craft_of(READ, "grid = 30\npack = none\nare the low\nthat is 0")
    assert (craft.overlay.columns, craft.overlay.rows, craft.battery.cells) == (30, None, 0)
    assert (craft.channels.low, craft.problems) == (None, ())
    assert [text for _, text in craft.unread] == ["are the low"]  # a line without a value is no setting


def test_a_pattern_must_match_the_whole_line() -> None:
    pattern = compile_pattern("a(?P<n>[0-9]+)(?P<_rest>b*)")
    assert pattern.names == ("n",)
    assert pattern.match("a12bb  ") == {"n": "12"}
    assert (pattern.match("xa12"), pattern.match("a12c"), pattern.fits("a1")) == (None, None, True)
    assert pattern.fill({"n": "1"}) is None
    assert (pattern.kind_of("n"), pattern.kind_of("m")) == ("free", None)


def test_the_console_and_the_other_grammars_take_patterns_too() -> None:
    text = HEAD.replace('prompt = "> "', r"prompt = { pattern = '[a-z]+> ?' }")
    text = text.replace('["# {_:rest}"]', "[{ pattern = '[#;].*' }]").replace(
        'known_by = "Toy"', "known_by = { pattern = 'Toy .*' }"
    )
    text += r"""
grammar = "sections"
headings = { pattern = '\[(?P<section>.*)\]' }
line = { pattern = '(?P<key>\w+)\s*[:=]\s*(?P<value>.*)' }
[reads.words]
"a.name" = "craft.name"
[[reads]]
command = "more"
grammar = "lines"
[[reads.rows]]
group = "overlay.elements"
line = [{ pattern = 'mark (?P<n>\w+)(?: @(?P<x>\d+))?' }]
fields.n = "name"
fields.x = "column"
[[reads]]
command = "list"
grammar = "table"
title = { pattern = '=+ (?P<table>\w+) =+' }
row_count = { pattern = '(?P<count>\d+) rows?' }
[reads.words]
"t.low" = "channels.low"
"""
    dialect = parse_dialect(text, "toy.toml")
    reply = (
        "toy> id\nToy 1.0\ntoy> all\n; so\n[a]\nname: Teal Wren\ntoy> more\nmark b @3\nmark c\n"
        "toy> list\n=== t ===\nwhat  us\nlow   988\n1 row\ntoy> "
    )
    craft = read_craft(pasted(reply.encode()), dialect).craft
    assert (craft.firmware.version, craft.craft.name, craft.channels.low) == ("1.0", "Teal Wren", 988)
    assert craft.overlay.elements == (OverlayElement("b", 3), OverlayElement("c"))
    assert (craft.problems, craft.unread) == ((), ())


def test_no_pattern_makes_a_line_take_long() -> None:
    # Python's engine needs time exponential in the line for this pattern; RE2's documents promise linear time
    # (https://github.com/google/re2/wiki/WhyRE2).
    pattern = compile_pattern("(?P<a>(x+x+)+)y")
    began = time.process_time()
    assert pattern.match("x" * 20_000) is None
    assert time.process_time() - began < 5


def test_a_pattern_survives_the_way_to_a_worker_process() -> None:
    pattern = compile_pattern("a(?P<n>[0-9]+)")
    assert pattern.match("a1") == {"n": "1"}
    again = pickle.loads(pickle.dumps(pattern))
    assert again == pattern
    assert again.match("a2") == {"n": "2"}


BAD = [
    (r"(a)\1", "invalid escape sequence"),
    ("(?=a)b", "no look-around"),
    ("(a", "missing )"),
    ("", "it is empty"),
    ("a" * 1001, "longer than 1000 characters"),
    ("(?P<key>a)(?P<key>b)", "the group 'key' stands twice"),
    ("((a{100}){100}){100}", "repetition"),
]


@pytest.mark.parametrize(("source", "says"), BAD)
def test_a_wrong_pattern_says_what_is_wrong(source: str, says: str) -> None:
    with pytest.raises(TemplateError, match=r".") as caught:
        compile_pattern(source)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("line", "key", "says"),
    [
        ("{ pattern = '(?P<key>a' }", "line.pattern", "missing )"),
        ("{ pattern = 5 }", "line.pattern", "expected text, found a whole number 5"),
        ("{ patern = 'a' }", "line.patern", "did you mean 'pattern'?"),
        ("{ pattern = 'a', flags = 'i' }", "line.flags", "no such key"),
        ("{ pattern = '(?P<key>a)' }", "line", "the fields key and value"),
        ("['{key:word}={value:rest}', { pattern = '[' }]", "line[1].pattern", "missing ]"),
    ],
)
def test_a_mistake_names_its_line_and_key(line: str, key: str, says: str) -> None:
    error = mistake(f'grammar = "pairs"\nline = {line}\n')
    assert (error.line, error.key) == (STARTS + 2, f"reads[0].{key}")
    assert says in str(error)


def test_without_the_engine_a_pattern_is_refused_with_the_way_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "re2", None)  # as Python marks a module that cannot be imported
    error = mistake("grammar = \"pairs\"\nline = { pattern = '(?P<key>a)(?P<value>b)' }\n")
    assert (error.source, error.line, error.key) == ("toy.toml", STARTS + 2, "reads[0].line.pattern")
    assert "google-re2, whose time is linear in the line; it is not installed here" in str(error)
    assert "pip install 'propsoff[patterns]'" in str(error)


def test_the_engine_is_loaded_for_a_pattern_alone() -> None:
    ask = "import sys; from propsoff.dialects.catalogue import catalogue; catalogue(); print('re2' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, timeout=50, check=True)
    assert done.stdout == "False\n"


def test_a_dialect_without_patterns_needs_no_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "re2", None)
    assert craft_of('grammar = "pairs"\nline = "{key:word}={value:rest}"\nwords.n = "craft.name"\n', "n=a").craft.name

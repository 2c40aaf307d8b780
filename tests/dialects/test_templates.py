"""Line templates: what they take, what they refuse, and that no line takes long."""

from __future__ import annotations

import pickle
import re
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.console.screen import LINE_CAP
from propsoff.dialects.templates import KINDS, TemplateError, compile_template

MATCHES = [
    ("{key:word} := {value:rest}", "craft.label := Teal Wren", {"key": "craft.label", "value": "Teal Wren"}),
    ("{key:word} := {value:rest}", "craft.label :=  two blanks", {"key": "craft.label", "value": " two blanks"}),
    ("{key:word} := {value:rest}", "craft.label := ", {"key": "craft.label", "value": ""}),
    ("{key:word} := {value:rest}", "craft.label :=", {"key": "craft.label", "value": ""}),
    ("{key:word} := {value:rest}", "craft.label :=x", None),
    ("{key:word} := {value:rest}", "craft.label := a b \t ", {"key": "craft.label", "value": "a b"}),
    ("{key:word} := {value:rest}", "craft.label :=    ", {"key": "craft.label", "value": ""}),
    ("{key:word} := {value:rest};", "craft.label := a b;  ", {"key": "craft.label", "value": "a b"}),
    ("{key:word} := {value:rest};", "craft.label :=;", {"key": "craft.label", "value": ""}),
    ("{key:word} := {value:rest};", "craft.label := ;", {"key": "craft.label", "value": ""}),
    ("{key:word} := {value:rest};", "craft.label :=x;", None),
    ("{what:words}: {value:word}", "Gyro type : abc", None),
    ("{what:words}: {value:word}", "Gyro type: abc  ", {"what": "Gyro type", "value": "abc"}),
    ("{key:word} := {value:rest}", "craft label := x", None),
    ("{key:word} := {value:rest}", "a := b := c", {"key": "a", "value": "b := c"}),
    ("{key:word}={value:rest}", "a=b=c", {"key": "a", "value": "b=c"}),
    ("{key:words}: {value:word}", "Gyro type: abc", {"key": "Gyro type", "value": "abc"}),
    ("{v:word} ({d:word}) for {b:rest}", "2.6.1 (2026-01-30) for X 9", {"v": "2.6.1", "d": "2026-01-30", "b": "X 9"}),
    ("{v:word} ({d:word}) for {b:rest}", "2.6.1 (2026 01) for X", None),
    ("{what:words} on ch{n:int}", "one on top on ch5", None),  # the first " on " ends the words: nothing is tried twice
    ("{what:words} on {n:int}", "once and for all on 5", {"what": "once and for all", "n": "5"}),
    ("{key:words} = {value:rest}", "port 2 =", {"key": "port 2", "value": ""}),
    ("{key:words} = {value:rest}", "=", None),
    ("{what:words} on {n:int}", "flip   on   5", {"what": "flip", "n": "5"}),
    ("{band:letter}{n:int}", "R5", {"band": "R", "n": "5"}),
    ("{band:letter}{n:int}", "RR5", None),
    ("{n:int}{unit:letters}", "-25mW", {"n": "-25", "unit": "mW"}),
    ("{v:number}V", "24.60V", {"v": "24.60"}),
    ("{v:number}V", "24.V", None),
    ("{n:int}.", "5.", {"n": "5"}),
    ("id {x:hex}", "id 4F2a", {"x": "4F2a"}),
    ("id {x:hex}", "id 4G", None),
    ("{k:word} {v:quoted}", 'name "Teal \\ Wren"', {"k": "name", "v": "Teal \\ Wren"}),
    ("{x:rest} shown", "a b shown", {"x": "a b"}),
    ("{x:rest} shown", " shown", {"x": ""}),
    ("{x:rest} shown", "shown", None),
    ("{x:rest} shown", "a shown shown", {"x": "a shown"}),
    ("ossel> ", "ossel> ", {}),
    ("ossel> ", "ossel>", {}),
    ("ossel> ", "ossel> who", None),
    ("a b", "a \t  b", {}),
    ("a b", "ab", None),
    ("{{{k:word}}}", "{x}", {"k": "x"}),
    ("{_:int} of {_m:int} lines {n:int}", "24 of 60 lines 3", {"n": "3"}),
    ("{n:int}", "٣", None),  # a digit of another script
    ("{n:int}", "", None),
    ("{w:word}", "", None),
    ("{w:words}", " x", None),
    ("{id:word}{m:Col|Row}", "craftNameCol", {"id": "craftName", "m": "Col"}),
    ("{id:word}{m:Col|Row}", "colColRow", {"id": "colCol", "m": "Row"}),  # it ends the line or is none
    ("{id:word}{m:Col|Row}", "Col", None),
    ("{id:word}{m:Col|Row}", "craftNameTilt", None),
    ("{id:words} {m:range|range from}", "Craft mode range from", {"id": "Craft mode", "m": "range from"}),
    ("{id:word}_{m:from|from_us}", "arm_x_from_us", {"id": "arm_x", "m": "from_us"}),
    ("{id:int} {m:|a}", "4 a", {"id": "4", "m": "a"}),
    ("{m:a.c|b}", "abc", None),
]


@pytest.mark.parametrize(("template", "line", "fields"), MATCHES)
def test_a_template_takes_what_its_kinds_say(template: str, line: str, fields: dict[str, str] | None) -> None:
    assert compile_template(template).match(line) == fields


@pytest.mark.parametrize(
    ("template", "problem"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("{a:word}{b:word}", "literal text or a blank must separate it from {b}"),
        ("{a:rest} {b:int}", "rest must be the last field"),
        ("{a:foo}", "no such kind; there are word, words, rest"),
        ("{a}", "a field is written {name:kind}"),
        ("{a:word", "a field is written {name:kind}"),
        ("a } b", "a brace {{ or }}"),
        ("{a:int}5", "can never match"),
        ("{a:letters}x", "can never match"),
        ("{a:number}.5", "can never match"),
        ("{a:words} {b:int}", "put literal text between"),
        ("{a:int} {a:int}", "stands twice"),
        ("{a:x|y} z", "must be the last field"),
        ("{a:x|y}{b:word}", "must be the last field"),
        ("{a:|}", "must be the last field"),
        ("{a:int}{b:x|y}", "must separate it from {b}"),
    ],
)
def test_a_wrong_template_says_what_is_wrong(template: str, problem: str) -> None:
    with pytest.raises(TemplateError, match=re.escape(problem)):
        compile_template(template)


def test_a_template_knows_its_fields_and_its_head() -> None:
    template = compile_template("lever.{n:int} is {_:word}")
    assert (template.names, template.head, template.kind_of("n")) == (("n",), "lever.", "int")
    assert compile_template("{n:int}").head == ""


def test_a_template_survives_pickling() -> None:
    template = compile_template("{key:word} := {value:rest}")
    assert pickle.loads(pickle.dumps(template)) == template


def test_filling_gives_the_line_and_refuses_what_would_read_back_otherwise() -> None:
    template = compile_template("{roles:word} at {baud:int}")
    assert template.fill({"roles": "a+b", "baud": "9600"}) == "a+b at 9600"
    assert template.fill({"roles": "a b", "baud": "9600"}) is None
    assert template.fill({"roles": "a", "baud": "fast"}) is None
    assert template.fill({"roles": "a"}) is None


VALUES = {
    "word": st.text(st.characters(blacklist_categories=["Cs", "Cc"], blacklist_characters=" ="), min_size=1),
    "int": st.integers().map(str),
    "number": st.decimals(allow_nan=False, allow_infinity=False, places=2).map(lambda d: format(d, "f")),
    "hex": st.integers(0).map(hex).map(lambda text: text[2:]),
    "letter": st.sampled_from("AETR"),
    "letters": st.text(st.sampled_from("abcXYZ"), min_size=1),
    "quoted": st.text(st.characters(blacklist_categories=["Cs", "Cc"], blacklist_characters='"')),
    "dots": st.text(st.sampled_from("._-"), min_size=1),
    "words": st.lists(st.text(st.sampled_from("abc"), min_size=1), min_size=1).map(" ".join),
    "rest": st.text(st.characters(blacklist_categories=["Cs", "Cc"])).map(lambda text: text.rstrip(" ")),
}


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Motor poles    14", {"key": "Motor poles", "value": "14"}),
        ("Motor poles\t14", {"key": "Motor poles", "value": "14"}),
        ("Idle  5.5 %", {"key": "Idle", "value": "5.5 %"}),
        ("Motor poles 14", None),
        ("Motor poles    ", None),
    ],
)
def test_a_label_ends_at_a_run_of_blanks_or_a_tab(line: str, found: dict[str, str] | None) -> None:
    assert compile_template("{key:label} {value:words}").match(line) == found


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "label"])
@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(data=st.data())
def test_each_kind_reads_back_what_was_filled_in(kind: str, data: st.DataObject) -> None:
    template = compile_template(f"head = {{x:{kind}}}" + (" tail" if kind != "rest" else ""))
    value = data.draw(VALUES[kind])
    line = f'head = "{value}"' if kind == "quoted" else f"head = {value}"
    line += " tail" if kind != "rest" else ""
    assert template.match(line) == {"x": value}
    assert template.fill({"x": value}) == line


LINES = ["a", " ", "a ", ":= ", ":=", "(", "1", '"', "on ", ") ", "e ", "1.", "a\t"]
SHAPES = [
    "{a:word} := {b:rest}",
    "{a:words} on {b:words} on {c:words}",
    "{a:words} on {b:words} on {c:int}",
    "{a:words}:={b:words}:={c:int}",
    "{a:word}a1{b:word}",
    "{a:word} ({b:word}) for {c:rest} end",
    "{a:rest})",
    "{a:rest} e e",
    "{a:int}x{b:number}y{c:hex}z",
    "{a:quoted} {b:quoted} {c:quoted}",
    "{a:letters} {b:letter}{c:words}",
    "a {a:word} b {b:word} c {c:word}",
    "{a:words} {b:a a|1}",
    "{a:word}{b:on |e|a}",
]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("again", LINES, ids=repr)
def test_the_longest_line_is_matched_in_no_time(shape: str, again: str) -> None:
    template = compile_template(shape)
    lines = [(again * LINE_CAP)[:LINE_CAP], (again * LINE_CAP)[: LINE_CAP - 1] + "x"]
    began = time.process_time()
    for line in lines:
        template.match(line)
    # Linear: a few milliseconds. Where one piece is tried again at each character, it is many seconds.
    assert time.process_time() - began < 0.5

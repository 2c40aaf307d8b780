"""One fact from several words, and several words for one fact."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, HEAD, STARTS, craft_of, mistake, toy
from propsoff.console.capture import pasted
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import read_craft

JOINED = """
grammar = "pairs"
line = "{key:words} = {value:rest}"
[reads.words]
"ver.minor" = { fact = "battery.cells", also = ["minor"] }
[[reads.joined]]
fact = "firmware.built"
join = "{ver.major}.{ver.minor}.{the patch}"
[[reads.joined]]
fact = "battery.volts"
join = "{volt}.{ver.minor}V"
suffix = "V"
missing = ["none"]
"""
REPLY = "ver.major = 4\nother = 1\nminor = 6\nthe patch = 2\nvolt = 22"


def test_a_fact_is_put_together_from_its_words_and_knows_all_their_lines() -> None:
    craft = craft_of(JOINED, REPLY)
    assert (craft.firmware.built, craft.battery.volts, craft.battery.cells) == ("4.6.2", 22.6, 6)
    assert craft.provenance["firmware.built"] == (FIRST, FIRST + 2, FIRST + 3)
    assert craft.provenance["battery.volts"] == (FIRST + 2, FIRST + 4)
    assert craft.problems == ()
    assert [text for _, text in craft.unread] == ["other = 1"]


@pytest.mark.parametrize("line", ["ver.major = 4\n", "the patch = 2\n", "minor = 6\n"])
def test_a_fact_that_lacks_a_part_is_unread_and_the_part_is_named(line: str) -> None:
    assert line in REPLY
    craft = craft_of(JOINED, REPLY.replace(line, ""))
    assert craft.firmware.built is None
    told = [problem for problem in craft.problems if problem.fact == "firmware.built"]
    name = "ver.minor" if "minor" in line else line.partition(" = ")[0]
    assert [f"{name!r} says nothing" in problem.message for problem in told] == [True]


def test_without_any_part_nothing_is_said() -> None:
    craft = craft_of(JOINED, "other = 1")
    assert (craft.firmware.built, craft.problems) == (None, ())


@pytest.mark.parametrize(("word", "fact"), [("the patch = -", "firmware.built"), ("volt = none", "battery.volts")])
def test_a_part_that_is_a_text_for_nothing_is_missing(word: str, fact: str) -> None:
    key = word.partition(" =")[0]
    reply = "\n".join(word if line.startswith(key) else line for line in REPLY.split("\n"))
    craft = craft_of(JOINED, reply)
    assert craft.value(fact) is None
    assert [problem.fact for problem in craft.problems] == [fact]


def test_a_part_stated_twice_names_both_lines() -> None:
    craft = craft_of(JOINED, REPLY + "\nvolt = 23\nver.major = 4")
    assert (craft.battery.volts, craft.firmware.built) == (None, "4.6.2")
    (problem,) = craft.problems
    assert f"'22' on line {FIRST + 4} and '23' on line {FIRST + 5}" in problem.message
    assert problem.fact == "battery.volts"


def test_what_cannot_be_taken_as_a_whole_is_a_problem() -> None:
    craft = craft_of(JOINED, REPLY.replace("22", "x"))
    (problem,) = craft.problems
    assert "expected a number followed by 'V', found 'x.6V'" in problem.message


def test_the_reply_that_names_the_firmware_may_give_parts_too() -> None:
    text = HEAD.partition("grammar =")[0] + (
        'grammar = "lines"\nlines = ["Toy {a:int}, revision {b:int}"]\n'
        '[[identity.joined]]\nfact = "firmware.version"\njoin = "{a}.{b}"\n'
    )
    craft = read_craft(pasted(b"> id\nToy 4, revision 6\n> "), parse_dialect(text, "toy.toml")).craft
    assert (craft.firmware.version, craft.problems, craft.unread) == ("4.6", (), ())


def test_what_one_command_said_is_no_part_of_what_another_says() -> None:
    read = 'grammar = "pairs"\nline = "{key:word}={value:rest}"\n[[reads.joined]]\nfact = "%s"\njoin = "{a}-{b}"\n'
    text = HEAD + read % "craft.name" + '[[reads]]\ncommand = "more"\n' + read % "video.band"
    reply = "> id\nToy 1\n> all\na=1\nb=2\n> more\na=3\nb=4\n> "
    craft = read_craft(pasted(reply.encode()), parse_dialect(text, "toy.toml")).craft
    assert (craft.craft.name, craft.video.band, craft.problems) == ("1-2", "3-4", ())


def test_a_joined_fact_is_not_said() -> None:
    assert toy(JOINED + '[say]\nset = "let {word} {value}"\n').say("firmware.built", "4.6.2") == ()


OTHERS = {
    "lines": ('grammar = "lines"\nlines = ["at {a:int} of {b:word}", "and {c:rest}"]\n', "{a}-{b}-{c}",
              "at 5 of x\nand more"),
    "json": ('grammar = "json"\n', "{v.a}-{v.b[0]}-{c}", '{"v": {"a": 5, "b": ["x"]}, "c": "more"}'),
    "table": ('grammar = "table"\n', "{all.a}-{all.b}-{all.c}", "what  is\na     5\nb     x\nc     more"),
    "sections": ('grammar = "sections"\nheadings = "[{section:word}]"\nline = "{key:word}={value:rest}"\n',
                 "{s.a}-{s.b}-{t.c}", "[s]\na=5\nb=x\n[t]\nc=more"),
}  # fmt: skip


@pytest.mark.parametrize("grammar", list(OTHERS))
def test_every_grammar_gives_parts(grammar: str) -> None:
    read, source, reply = OTHERS[grammar]
    craft = craft_of(f'{read}[[reads.joined]]\nfact = "craft.name"\njoin = "{source}"\n', reply)
    assert craft.craft.name == "5-x-more"
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize(
    ("old", "new", "line", "key", "says"),
    [
        ("firmware.built", "firmware.bilt", 6, "fact", "did you mean 'firmware.built'?"),
        ("{ver.major}.{ver.minor}.{the patch}", "4.6", 7, "join", "the names of words in braces"),
        ("{ver.major}.{ver.minor}.{the patch}", "{a}.{b", 7, "join", "the names of words in braces"),
        ("{ver.major}.{ver.minor}.{the patch}", "{a}.{minor}", 7, "join", "a further name of 'ver.minor'"),
        ('join = "{ver.major}.', 'jion = "{ver.major}.', 7, "jion", "did you mean 'join'?"),
        ('fact = "battery.volts"', 'fact = "arming.blocks"\nas = "text"', 10, "as", "arming.blocks is a list"),
    ],
)
def test_a_mistake_names_its_line_and_key(old: str, new: str, line: int, key: str, says: str) -> None:
    assert JOINED.count(old) == 1
    error = mistake(JOINED.replace(old, new))
    index = 0 if line < 9 else 1
    assert (error.line, error.key) == (STARTS + line + 1, f"reads[0].joined[{index}].{key}")
    assert says in str(error)


TWICE = """
grammar = "pairs"
line = "{key:words} = {value:rest}"
[reads.words]
low = "channels.low"
floor = { fact = "channels.low", suffix = "us" }
span = { form = "{a:int} to {b:int}", fields = { a = "channels.low", b = "channels.high" } }
[say]
set = "let {word} {value}"
"""


def test_several_words_may_state_one_fact_alike() -> None:
    craft = craft_of(TWICE, "low = 1000\nfloor = 1000us\nspan = 1000 to 2000")
    assert (craft.channels.low, craft.channels.high, craft.problems) == (1000, 2000, ())
    assert craft.provenance["channels.low"] == (FIRST, FIRST + 1, FIRST + 2)


def test_words_that_state_one_fact_differently_leave_it_unread_and_both_lines_are_named() -> None:
    craft = craft_of(TWICE, "low = 1000\nspan = 988 to 2000\nfloor = 1000us")
    assert (craft.channels.low, craft.channels.high) == (None, 2000)
    (problem,) = craft.problems
    assert (problem.fact, problem.line) == ("channels.low", FIRST + 1)
    assert f"1000 on line {FIRST} and 988 here" in problem.message


def test_the_first_word_that_can_be_said_is_said() -> None:
    assert toy(TWICE).say("channels.low", 988) == ("let low 988",)
    measured = TWICE.replace('"channels.low"\n', '{ fact = "channels.low", measured = true }\n')
    assert measured != TWICE
    assert toy(measured).say("channels.low", 988) == ("let floor 988us",)

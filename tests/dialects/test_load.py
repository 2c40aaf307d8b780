"""Reading dialect files: the built-in ones load whole, and every mistake names file, line and key."""

from __future__ import annotations

import pickle
import subprocess
import sys
from pathlib import Path

import pytest

from propsoff.craft.names import facts
from propsoff.dialects.catalogue import BUILTIN
from propsoff.dialects.load import load_dialect, parse_dialect
from propsoff.dialects.model import Dialect
from propsoff.dialects.repeated import Rows
from propsoff.exceptions import DialectError
from propsoff.ports.facts import UsbHint

GOOD = """\
format = 1
id = "toy"
title = "Toy"

[[usb]]
vid = 0x1209
pid = 0x0001
product = "Toy*"

[console]
line_end = "\\r"
echo = true
prompt = "toy> "

[identity]
command = "who"
known_by = "firmware: Toy"
grammar = "pairs"
line = "{key:word}: {value:rest}"

[identity.words]
firmware = "firmware.name"

[[reads]]
command = "list"
ends = "end {count:int}"
counted = "{_:word}: {_:rest}"
grammar = "pairs"
line = "{key:word}: {value:rest}"

[reads.words]
low = { fact = "channels.low", suffix = "us" }
kind = { fact = "receiver.kind", as = "kinds" }
flip = { fact = "receiver.inverted", as = "yes-no", yes = "y", no = "n" }
slot = { form = "{band:letter}{n:int}", fields = { band = "video.band", n = "video.channel" } }

[[reads.rows]]
group = "ports"
key = "port.{id:word}"
form = "{roles:word} at {baud:int}"
fields.id = "id"
fields.roles = { fact = "roles", as = "list", separator = "+", each = { as = "choice", words = { r = "receiver" } } }
fields.baud = "baud"

[[reads.lists]]
fact = "arming.blocks"
key = "block.{n:int}"
index = "n"

[decoders.kinds]
as = "choice"
words = { uart = "serial" }

[say]
set = "set {word} {value}"
closing = ["store"]
"""


def test_a_good_file_gives_a_dialect() -> None:
    dialect = parse_dialect(GOOD, "toy.toml")
    assert (dialect.id, dialect.title, dialect.file, dialect.version) == ("toy", "Toy", "toy.toml", "1")
    assert dialect.hints == (UsbHint(0x1209, 1, "Toy*", "toy"),)
    assert dialect.manner.wake == b"\r"
    assert [query.command for query in dialect.manner.reads] == ["list"]


def test_the_pauses_of_a_console_are_none_when_they_are_not_given() -> None:
    manner = parse_dialect(GOOD, "toy.toml").manner
    assert (manner.wake_before_s, manner.wake_after_s, manner.typing_s) == (0.0, 0.0, 0.0)
    slow = GOOD.replace("echo = true", "echo = true\nwake_before_s = 5\nwake_after_s = 0.5\ntyping_s = 0.1")
    manner = parse_dialect(slow, "toy.toml").manner
    assert (manner.wake_before_s, manner.wake_after_s, manner.typing_s) == (5.0, 0.5, 0.1)


def _replaced(old: str, new: str) -> str:
    assert GOOD.count(old) == 1, (GOOD.count(old), old)
    return GOOD.replace(old, new)


# old text, new text, line, key, what the message says
MISTAKES = [
    ("format = 1", "format = 2", 1, "format", "this release reads format 1"),
    ("format = 1", "", None, None, "'format' is missing"),
    ("format = 1", "formt = 1", 1, "formt", "did you mean 'format'?"),
    ('id = "toy"', 'id = "Toy!"', 2, "id", "lower-case letters"),
    ('title = "Toy"', "title = 3", 3, "title", "expected text, found a whole number 3"),
    ('title = "Toy"', "", None, None, "'title' is missing: text is needed"),
    ('title = "Toy"', 'title = "Toy"\ncolour = "red"', 4, "colour", "no such key here"),
    ("vid = 0x1209", "vid = 0x12090", 6, "usb[0].vid", "expected 0 to 65535"),
    ("vid = 0x1209", 'vid = "1209"', 6, "usb[0].vid", "expected a whole number, found text '1209'"),
    ("echo = true", "echo = 1", 12, "console.echo", "expected true or false"),
    ("echo = true", "eco = true", 12, "console.eco", "did you mean 'echo'?"),
    ("echo = true", "", 10, "console", "'echo' is missing"),
    ("echo = true", "echo = true\npomt = 1", 13, "console.pomt", "did you mean 'prompt'?"),
    ('line_end = "\\r"', 'line_end = ";"', 11, "console.line_end", '"\\r"'),
    ('line_end = "\\r"', 'line_end = "\\r"\nwake = ""', 12, "console.wake", "1 to 16 bytes"),
    ('prompt = "toy> "', 'prompt = "{toy"', 13, "console.prompt", "a field is written {name:kind}"),
    ("firmware: Toy", "{a:word}{b:word}", 17, "identity.known_by", "literal text or a blank must separate it"),
    ('command = "who"', 'command = ""', 16, "identity.command", "one line of printable text"),
    ('command = "who"', 'command = "set x"', 16, "identity.command", "sets, stores or restarts"),
    ('command = "list"', 'command = "who"', 25, "reads[0].command", "asked already"),
    ('command = "list"', 'command = "list"\ndeadline_s = 0', 26, "reads[0].deadline_s", "more than 0"),
    ('command = "list"', 'command = "list"\ndeadline_s = "x"', 26, "reads[0].deadline_s", "expected a number"),
    ("end {count:int}", "end {total:int}", 26, "reads[0].ends", "no field but {count:int}"),
    ("end {count:int}", "end", 27, "reads[0].counted", "to compare with"),
    ('firmware = "firmware.name"', 'firmware = "firmware.nam"', 22, "identity.words.firmware", "'firmware.name'?"),
    ('firmware = "firmware.name"', 'firmware = "ports[].id"', 22, "identity.words.firmware", "no such fact"),
    ('low = { fact = "channels.low"', 'low = { fact = "channels.lo"', 32, "reads[0].words.low.fact", "'channels.low'?"),
    ('suffix = "us"', 'sufix = "us"', 32, "reads[0].words.low.sufix", "did you mean 'suffix'?"),
    ('suffix = "us"', 'unit = "mV"', 32, "reads[0].words.low.unit", "'mV' cannot become us"),
    ('suffix = "us"', 'unit = "furlong"', 32, "reads[0].words.low.unit", "no such unit: 'furlong'"),
    ('suffix = "us"', "factor = 0", 32, "reads[0].words.low.factor", "greater than 0"),
    ('suffix = "us"', 'as = "text"', 32, "reads[0].words.low.as", "channels.low is of type int"),
    ('suffix = "us"', 'as = "list"', 32, "reads[0].words.low.as", "channels.low is no list"),
    ('as = "kinds"', 'as = "kindz"', 33, "reads[0].words.kind.as", "did you mean 'kinds'?"),
    (', as = "kinds"', "", 33, "reads[0].words.kind", "takes fixed words"),
    ('as = "yes-no", yes = "y"', 'as = "no-yes", yes = "y"', 34, "reads[0].words.flip.as", "no such decoder: 'no-yes'"),
    ('yes = "y", no = "n"', 'yes = "y", no = "y"', 34, "reads[0].words.flip.no", "cannot mean both"),
    ('yes = "y", no = "n"', "yes = [], no = []", 34, "reads[0].words.flip.yes", "at least one word"),
    ('yes = "y", no = "n"', "yes = [1]", 34, "reads[0].words.flip.yes[0]", "expected text"),
    ("{n:int}\", fields = { band", "{n:int}\", fieds = { band", 35, "reads[0].words.slot.fieds",
     "did you mean 'fields'?"),
    (', n = "video.channel" }', " }", 35, "reads[0].words.slot.fields", "field 'n' has no fact"),
    (', n = "video.channel" }', ', n = "video.channel", m = "video.band" }', 35, "reads[0].words.slot.fields.m",
     "no form has"),
    ("{band:letter}{n:int}", "{band:word}{n:int}", 35, "reads[0].words.slot.form", "must separate it from {n}"),
    ('n = "video.channel"', 'n = "video.band"', 35, "reads[0].words.slot.fields.n",
     "video.band is already stated by the field 'band'"),
    ('fact = "arming.blocks"', 'fact = "arming.blocks"\nkey = "b.{n:int}"\n[[reads.lists]]\nfact = "arming.blocks"',
     49, "reads[0].lists[1].fact", "arming.blocks as a list is already stated by reads[0].lists[0]"),
    ('group = "ports"', 'group = "port"', 38, "reads[0].rows[0].group", "did you mean 'ports'?"),
    ('key = "port.{id:word}"', 'key = "{id:word}"', 39, "reads[0].rows[0].key", "begins with literal text"),
    ('key = "port.{id:word}"', 'table = "x"', 37, "reads[0].rows[0]", "'key' is missing"),
    ('fields.baud = "baud"', 'fields.baud = "bauds"', 43, "reads[0].rows[0].fields.baud", "did you mean 'baud'?"),
    ('fields.baud = "baud"', 'fields.speed = "baud"', 41, "reads[0].rows[0].fields", "field 'baud' has no fact"),
    ('r = "receiver"', 'r = "reciever"', 42, "reads[0].rows[0].fields.roles.each.words.r", "did you mean 'receiver'?"),
    ('fact = "arming.blocks"', 'fact = "craft.name"', 46, "reads[0].lists[0].fact", "craft.name is no list"),
    ('index = "n"', 'index = "m"', 48, "reads[0].lists[0].index", "no field 'm'"),
    ('uart = "serial"', 'uart = "serail"', 52, "decoders.kinds.words.uart", "did you mean 'serial'?"),
    ('uart = "serial" }', 'uart = "serial" }\nothers = "keep"', 53, "decoders.kinds.others", "cannot be kept"),
    ("[decoders.kinds]", "[decoders.kinds]\nword = 1", 51, "decoders.kinds.word", "did you mean 'words'?"),
    ("[decoders.kinds]", '[decoders.spare]\nas = "text"\n[decoders.kinds]', 50, "decoders.spare", "no word uses"),
    ("[decoders.kinds]", '[decoders.text]\nas = "text"\n[decoders.kinds]', 50, "decoders.text", "choose another"),
    ("set {word} {value}", "set {thing} {value}", 55, "say.set", "no such place: {thing}"),
    ("set {word} {value}", "set {word}", 55, "say.set", "has no {value}"),
    ('closing = ["store"]', 'closing = ["list"]', 25, "reads[0].command", "'list' sets, stores or restarts"),
    ('grammar = "pairs"\nline = "{key:word}: {value:rest}"\n\n[reads', 'grammar = "pears"\n\n[reads', 28,
     "reads[0].grammar",
     "did you mean 'pairs'?"),
    ('line = "{key:word}: {value:rest}"\n\n[reads', 'line = "{k:word}: {value:rest}"\n\n[reads', 29,
     "reads[0].line", "key and value"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "line", "key", "says"), MISTAKES)
def test_a_mistake_names_file_line_and_key(old: str, new: str, line: int | None, key: str | None, says: str) -> None:
    with pytest.raises(DialectError) as caught:
        parse_dialect(_replaced(old, new), "toy.toml")
    error = caught.value
    assert (error.source, error.line, error.key) == ("toy.toml", line, key)
    assert says in str(error)
    assert str(error).startswith("toy.toml")


WORDS = [
    ('{ fact = "battery.scale", unit = "V", factor = 2 }', ".factor", "either 'unit' or 'factor'"),
    ('{ fact = "battery.cells", as = "choice", words = { a = "b" } }', ".as", "battery.cells is of type int"),
    ('{ fact = "craft.name", as = "choice", words = {}, others = "drop" }', ".others", "expected 'problem' or 'keep'"),
    ('{ fact = "craft.name", as = "choice", words = {} }', ".words", "at least one word"),
    ('{ fact = "craft.name", as = "choice", words = { a = 1 } }', ".words.a", "expected text"),
    ('{ fact = "channels.order", as = "letters", letters = { a = "A" } }', ".letters", "needs one name"),
    ('{ fact = "channels.order", as = "letters", letters = { aa = "A", e = "E", t = "T", r = "R" } }', ".letters",
     "one"),
    ('{ fact = "channels.order", as = "letters", separator = "E" }', ".separator", "no letters and no digits"),
    ('{ fact = "channels.order", as = "letters", rest = -1 }', ".rest", "expected 0 to 32, found -1"),
    ('{ fact = "channels.order", as = "axes" }', "", "'names' is missing"),
    ('{ fact = "channels.order", as = "axes", names = { 1 = "A", e = "E", t = "T", r = "R" } }', ".names", "no digits"),
    ('{ fact = "channels.live", as = "list", each = "number", separator = "" }', ".separator",
     "at least one character"),
    ('{ fact = "channels.live", each = "numbr" }', ".each", "did you mean 'number'?"),
    ('{ fact = "channels.live", as = "number" }', ".as", "the decoder must be 'list'"),
    ('{ form = "{n:int}" }', "", "'fields' is missing"),
    ('{ missing = ["x"] }', "", "a word has 'fact', or"),
    ('{ forms = "{n:int}", fields = { n = "battery.cells" } }', ".forms", "a list of line templates"),
    ('{ forms = [1], fields = {} }', ".forms[0]", "expected a line template"),
    ('{ forms = [{ line = "x", means = { cells = 1 } }], fields = {} }', ".forms[0].means.cells", "no such fact"),
    ('{ forms = [{ line = "x", means = { "battery.cells" = "6" } }], fields = {} }', '.forms[0].means."battery.cells"',
     "cannot be '6'"),
    ('{ forms = [{ line = "x", means = { "video.link" = "analogue" } }], fields = {} }', '.forms[0].means."video.link"',
     "did you mean 'analog'?"),
    ('{ forms = [{ line = "x", mean = {} }], fields = {} }', ".forms[0].mean", "did you mean 'means'?"),
    ("5", "", "expected a table, found a whole number 5"),
]  # fmt: skip


@pytest.mark.parametrize(("written", "key", "says"), WORDS)
def test_a_mistake_in_a_word_names_its_line_and_key(written: str, key: str, says: str) -> None:
    text = GOOD.replace("[[reads.rows]]", f"w = {written}\n\n[[reads.rows]]").replace("slot = {", "# slot = {")
    with pytest.raises(DialectError) as caught:
        parse_dialect(text, "toy.toml")
    assert (caught.value.line, caught.value.key) == (37, f"reads[0].words.w{key}")
    assert says in str(caught.value)


PLACES = [
    ('line_end = "\\r"', 'line_end = "\\r"\nwake_before_s = 5.1', "console.wake_before_s", "0 to 5 seconds"),
    ('line_end = "\\r"', 'line_end = "\\r"\nwake_after_s = -1', "console.wake_after_s", "0 to 5 seconds"),
    ('line_end = "\\r"', 'line_end = "\\r"\nwake_after_s = "1"', "console.wake_after_s", "expected a number"),
    ('line_end = "\\r"', 'line_end = "\\r"\ntyping_s = 0.11', "console.typing_s", "0 to 0.1 seconds"),
    ('line_end = "\\r"', 'line_end = "\\r"\ntyping_s = nan', "console.typing_s", "expected a number, found NaN"),
    ('command = "list"', 'command = "list"\nafter = "store"', "reads[0].after", "'store' sets, stores or restarts"),
    ('command = "list"', 'command = "list"\nafter = "q\\n"', "reads[0].after", "printable"),
    ('command = "list"', 'command = "list"\nafter = "12345678901234567"', "reads[0].after", "at most 16"),
    ("[reads.words]", "ignore = 5\n[reads.words]", "reads[0].ignore[0]", "expected a line template"),
    ('command = "list"', 'command = "list"\ndeadline_s = nan', "reads[0].deadline_s", "expected a number, found NaN"),
    ('line_end = "\\r"', 'line_end = "\\r"\ntypng_s = 0.1', "console.typng_s", "did you mean 'typing_s'?"),
    ('line_end = "\\r"', 'line_end = "\\r"\npager_key = ""', "console.pager_key", "1 to 4 bytes"),
    ('fields.baud = "baud"', 'fields.baud = "baud"\nnamed_by = "ib"', "reads[0].rows[0].named_by",
     "no field 'ib' (known: id)"),
    ("[[usb]]\nvid = 0x1209\npid = 0x0001\nproduct = \"Toy*\"\n", "usb = [5]\n", "usb[0]", "expected a table"),
    ('grammar = "pairs"\nline = "{key:word}: {value:rest}"\n\n[identity.words]\nfirmware', 'grammar = "lines"\n\n'
     "[identity.words]\nfirmware", "identity", "no line has a field 'firmware'"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "says"), PLACES)
def test_a_mistake_elsewhere_names_its_key(old: str, new: str, key: str, says: str) -> None:
    with pytest.raises(DialectError) as caught:
        parse_dialect(_replaced(old, new), "toy.toml")
    assert caught.value.key is not None
    assert caught.value.key.startswith(key)
    assert says in str(caught.value)


def test_text_that_is_no_toml_names_the_line() -> None:
    with pytest.raises(DialectError, match=r"^toy\.toml, line 2: is not TOML: .") as caught:
        parse_dialect("format = 1\nid = \n", "toy.toml")
    assert caught.value.line == 2


def test_windows_line_ends_do_not_move_the_line() -> None:
    with pytest.raises(DialectError) as caught:
        parse_dialect(_replaced("echo = true", "echo = 1").replace("\n", "\r\n"), "toy.toml")
    assert caught.value.line == 12


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    with pytest.raises(DialectError, match=r"nothing\.toml: No such file"):
        load_dialect(tmp_path / "nothing.toml")
    file = tmp_path / "latin.toml"
    file.write_bytes(b'format = 1\ntitle = "\xe9"\n')
    with pytest.raises(DialectError, match=r"latin\.toml, line 2: is not UTF-8 text"):
        load_dialect(file)
    file.write_bytes(b"#" * (1 << 21))
    with pytest.raises(DialectError, match="larger than 1 MiB"):
        load_dialect(file)


@pytest.fixture(params=["ossel", "brindle", "corvane"])
def built_in(request: pytest.FixtureRequest) -> Dialect:
    return load_dialect(BUILTIN / f"{request.param}.toml")


def test_a_built_in_dialect_states_every_canonical_fact(built_in: Dialect) -> None:
    stated: set[str] = set()
    for listing in built_in.listings:
        stated |= {fact for word in listing.words.values() for fact in word.facts}
        for spec in listing.repeated:
            if isinstance(spec, Rows):
                stated |= {f"{spec.group}[].{fact}" for word in spec.cells.values() for fact in word.facts}
            else:
                stated.add(spec.fact)
    assert stated == set(facts())


def test_a_built_in_dialect_survives_the_way_to_a_worker_process(built_in: Dialect) -> None:
    again = pickle.loads(pickle.dumps(built_in))
    assert again == built_in
    assert again.say("channels.order", "TAER") == built_in.say("channels.order", "TAER") != ()


def test_a_built_in_dialect_opens_ports_only_with_a_product_pattern(built_in: Dialect) -> None:
    assert built_in.hints
    assert all(hint.product for hint in built_in.hints)
    assert all(hint.dialect == built_in.id for hint in built_in.hints)


def test_loading_dialects_needs_no_heavy_module() -> None:
    code = (
        "import sys; from propsoff.dialects.catalogue import catalogue; found = catalogue();"
        "assert len(found.dialects) == 3, found;"
        "print(*{'pydantic', 'structlog', 'serial', 'pyudev', 'asyncio', 'tomlkit'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=50)
    assert done.stdout.strip() == ""

"""Sheets for tests: one of everything, and many that are wrong."""

from __future__ import annotations

from propsoff import Craft
from propsoff.console.transcript import Transcript
from propsoff.dialects.read import read_exchanges
from propsoff.dialects.recognise import explain
from propsoff.sheets.written import Written, written_of
from propsoff_sim.board import BoardState
from tests_support.conversations import dialects, recorded

HEAD = 'format = 1\nname = "teal"\n'
FULL = """\
format = 1
name = "teal-digital"
title = "Teal series, digital link"

[match]
board = ["FENWICK F7", "MARL-*"]
craft = "Teal *"

[receiver]
kind = ["serial", "spi"]
protocol = "crsf"
telemetry = true

[channels]
order = "aetr"
low = [1000, 988]

[overlay]
grid = ["hd-53x20", "our-goggles"]
enabled = true

[video]
link = "digital"

[battery]
cell_low = 3

[ports]
required = ["console", "receiver", "overlay-link"]
allowed = ["console", "receiver", "overlay-link", "unused"]

[grids]
our-goggles = "64x24"
"""

RICH = """\
format = 1
name = "rich"

[match]
serial = "4F2A*"
port = ["1-3:1.0", "/dev/ttyACM7"]

[firmware]
version = { from = "4.2.0" }
built = { pattern = "2026-*" }

[channels]
low = { value = 1000, tolerance = 5 }
centre = [1500, { value = 1520, tolerance = 2 }, { from = 1600, to = 1601 }]
high = 2000

[battery]
chemistry = "lipo"
cell_warn = { from = 3.3, to = 3.5 }
cells = "any"

[craft]
name = { any = true }

[board]
name = { value = "any" }

[video]
region = "eu"

[overlay]
required = ["battery", "a word of our own"]

[arming]
normal = ["usb-connected"]

[tolerances]
channels.high = 7
"channels.live" = 10

[switches]
required = ["arm"]
together = [["level", "beeper", "arm"]]

[switches.arm]
channel = 5
from_us = 1700

[switches.level]
channel = 5

[checks]
only = ["failsafe"]

[checks.skip]
battery-limits = "no battery on this bench"

[[waivers]]
finding = "failsafe/hold"
reason = "trainer craft"
until = 2026-12-31

[[waivers]]
finding = "sensors"
reason = "until the parts come"
until = "2027-01-31"

[[questions]]
id = "propellers-off"
ask = "Are all propellers off?"
kind = "yes-no"
expected = "yes"
why = "They cut."
remedy = "Take them off."

[[questions]]
id = "goggles"
ask = "Which firmware do the goggles run?"
kind = "version"
expected = [{ from = "1.9.2", to = "1.10.0" }, "2.0"]

[[questions]]
id = "plug"
ask = "Which plug does the battery have?"
kind = "choice"
choices = ["small", "large"]
"""

WRONG: tuple[tuple[str, int, str | None, str, str | None], ...] = (
    ("", 0, "format", "missing", "begins with `format = 1`"),
    ("format = 2\n", 1, "format", "2 is not a format", "format 1"),
    ("format = true\n", 1, "format", "True is not a format", "format 1"),
    ("format = 1\n", 0, "name", "missing", None),
    ('format = 1\nname = ""\n', 2, "name", "1 to 200 characters", None),
    ("format = 1\nname = 5\n", 2, "name", "1 to 200 characters", None),
    (f"{HEAD}channels = 3\n", 3, "channels", "must be a table", "[channels]"),
    (f"{HEAD}[chanels]\n", 3, "chanels", "no such key", "did you mean channels?"),
    (f'{HEAD}[channels]\n\nordr = "AETR"\n', 5, "channels.ordr", "no such key", "did you mean order?"),
    (f'{HEAD}extends = "other"\n', 3, "extends", "no build sheet 'other'", "known here:"),
    (f'{HEAD}[match]\nboard = ""\n', 4, "match.board", "must be a text", None),
    (f"{HEAD}[match]\nboard = [1]\n", 4, "match.board", "must be a text", None),
    (f"{HEAD}[match]\n", 3, "match", "has no rule", "house default"),
    (f'{HEAD}[match]\nbored = "x"\n', 4, "match.bored", "no such key", "did you mean board?"),
    (f'{HEAD}[channels]\norder = "AETX"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = "AETR21"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = "AETR 2 3"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = "A 1 ETR"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = ""\n', 4, "channels.order", "not an order", "AETR"),
    (f"{HEAD}[channels]\norder = []\n", 4, "channels.order", "an empty list allows nothing", "leave the key out"),
    (f"{HEAD}[channels]\nlow = 1000.5\n", 4, "channels.low", "1000.5 is not a whole number", "lower end"),
    (f"{HEAD}[channels]\nlow = true\n", 4, "channels.low", "True is not a whole number", None),
    (f'{HEAD}[receiver]\nkind = "serail"\n', 4, "receiver.kind", "not among its values", "did you mean serial?"),
    (f'{HEAD}[receiver]\ninverted = "no"\n', 4, "receiver.inverted", "is not true or false", None),
    (f'{HEAD}[overlay]\ngrid = "hd-53x21"\n', 4, "overlay.grid", "neither columns x rows", "hd-53x20"),
    (f'{HEAD}[overlay]\ngrid = "0x0"\n', 4, "overlay.grid", "neither columns x rows", None),
    (f"{HEAD}[overlay]\ngrid = 53\n", 4, "overlay.grid", "neither columns x rows", None),
    (
        f'{HEAD}[overlay]\ngrid = {{ digitl = "pal" }}\n',
        4,
        "overlay.grid.digitl",
        "no such key",
        "did you mean digital?",
    ),
    (f"{HEAD}[overlay]\ncolumns = 53\n", 4, "overlay.columns", "is said together", "53x20"),
    (f'{HEAD}[grids]\npal = "30x20"\n', 4, "grids.pal", "is 30x16 (pal) everywhere", "another name"),
    (f'{HEAD}[grids]\nours = "wide"\n', 4, "grids.ours", "not a grid", "columns x rows"),
    (f"{HEAD}grids = 3\n", 3, "grids", "must be a table", None),
    (f'{HEAD}[ports]\nrequired = ["reciever"]\n', 4, "ports.required", "not a port role", "did you mean receiver?"),
    (f'{HEAD}[ports]\nrequired = "receiver"\n', 4, "ports.required", "must be a list of port roles", None),
    (f"{HEAD}[ports]\nallowed = [[1]]\n", 4, "ports.allowed", "not a port role", None),
    (f"{HEAD}[arming]\nblocks = []\n", 4, "arming.blocks", "no such key", "normal"),
    (f"{HEAD}[channels]\nlow = []\n", 4, "channels.low", "an empty list allows nothing", None),
    (f"{HEAD}[channels]\nlow = [[1]]\n", 4, "channels.low", "must be a value, or a list", None),
    (f"{HEAD}[channels]\nlow = {{ }}\n", 4, "channels.low", "is not a form", "{ from = ..., to = ... }"),
    (f"{HEAD}[channels]\nlow = {{ form = 990 }}\n", 4, "channels.low", "is not a form", None),
    (f"{HEAD}[channels]\nlow = {{ from = 1 , too = 2 }}\n", 4, "channels.low.too", "no such key", "did you mean to?"),
    (f"{HEAD}[channels]\nlow = {{ from = 1, any = true }}\n", 4, "channels.low", "from and any do not go", None),
    (f"{HEAD}[channels]\nlow = {{ any = false }}\n", 4, "channels.low.any", "is not true", None),
    (f'{HEAD}[channels]\nlow = {{ pattern = "1*" }}\n', 4, "channels.low", "is not a form", None),
    (
        f"{HEAD}[channels]\nlow = {{ value = 1, tolerance = -1 }}\n",
        4,
        "channels.low.tolerance",
        "is not a number",
        None,
    ),
    (f'{HEAD}[channels]\nlow = {{ from = "a" }}\n', 4, "channels.low.from", "is not a whole number", None),
    (f"{HEAD}[channels]\nlow = {{ from = 1100, to = 900 }}\n", 4, "channels.low", "from 1100 to 900", "exchange"),
    (f"{HEAD}[channels]\nlow = [\n  1,\n  {{ from = 9, to = 8 }}]\n", 6, "channels.low", "from 9 to 8", "exchange"),
    (f"{HEAD}[channels]\nlow = 99999999999999999999\n", 4, "channels.low", "is not a whole number", None),
    (f"{HEAD}[channels]\nlow = 0x{'f' * 9000}\n", 4, "channels.low", "thousands of digits is not a whole number", None),
    (f"{HEAD}[battery]\ncell_low = nan\n", 4, "battery.cell_low", "nan is not a number", None),
    (f"{HEAD}[battery]\ncell_low = inf\n", 4, "battery.cell_low", "inf is not a number", None),
    (f"{HEAD}[battery]\ncell_low = 2026-01-01\n", 4, "battery.cell_low", "is not a number", None),
    (f'{HEAD}[firmware]\nversion = {{ from = "1.10.0", to = "1.9.2" }}\n', 4, "firmware.version", "from 1.10.0", None),
    (f'{HEAD}[firmware]\nversion = {{ from = "new" }}\n', 4, "firmware.version.from", "is not a version", "4.2.0"),
    (f'{HEAD}[firmware]\nbuilt = {{ from = "2026" }}\n', 4, "firmware.built", "is not a form", "pattern"),
    (f'{HEAD}[craft]\nname = "any"\n', 4, "craft.name", "could be the word any itself", "{ any = true }"),
    (f'{HEAD}[receiver]\nkind = {{ pattern = "s*" }}\n', 4, "receiver.kind", "is not a form", None),
    (f'{HEAD}[video]\nregion = "us-ametuer"\n', 4, "video.region", "not a region", "did you mean us-amateur?"),
    (f'{HEAD}[battery]\nchemistry = "lipoo"\n', 4, "battery.chemistry", "not a kind of cell", "did you mean lipo?"),
    (f'{HEAD}[tolerances]\n"channels.centre" = -1\n', 4, "tolerances.channels.centre", "is not a number", None),
    (f'{HEAD}[tolerances]\n"receiver.kind" = 1\n', 4, "tolerances.receiver.kind", "no number of this name", None),
    (
        f'{HEAD}[tolerances]\n"chanels.low" = 1\n',
        4,
        "tolerances.chanels.low",
        "no number of this name",
        "channels.low?",
    ),
    (
        f'{HEAD}[tolerances]\nchannels.low = 1\n"channels.low" = 2\n',
        5,
        "tolerances.channels.low",
        "said twice",
        "take one away",
    ),
    (
        f'{HEAD}[tolerances]\nchannels.low = 1\n[channels]\nlow = "any"\n',
        4,
        "tolerances.channels.low",
        "nothing is within a tolerance",
        None,
    ),
    (f'{HEAD}[switches]\nrequired = "arm"\n', 4, "switches.required", "must be a list of functions", None),
    (f'{HEAD}[switches]\ntogether = [["arm"]]\n', 4, "switches.together", "must hold at least 2", None),
    (f"{HEAD}[switches.arm]\nchanel = 5\n", 4, "switches.arm.chanel", "no such key", "did you mean channel?"),
    (f"{HEAD}[switches.arm]\nchannel = 0\n", 4, "switches.arm.channel", "from 1 to 64", None),
    (f"{HEAD}[switches.arm]\nfrom_us = 2100\nto_us = 1700\n", 4, "switches.arm.from_us", "ends before it begins", None),
    (
        f"{HEAD}[switches.arm]\nchannel = 5\n[switches.turtle]\nchannel = 5\nfrom_us = 1700\n",
        5,
        "switches.turtle",
        "arm and turtle are both active",
        "together",
    ),
    (
        f'{HEAD}[ports]\nallowed = ["console"]\nrequired = ["receiver"]\n',
        5,
        "ports.required",
        "required, but not among",
        "ports.allowed",
    ),
    (f'{HEAD}[ports]\nallowed = []\nrequired = ["receiver"]\n', 5, "ports.required", "required, but not among", None),
    (
        f"{HEAD}[switches]\narm = {{ channel = 5, to_us = 1300 }}\nlevel = {{ channel = 5, from_us = 1299 }}\n",
        5,
        "switches.level",
        "arm and level are both active",
        "together",
    ),
    (f'{HEAD}[checks]\nonly = ["Overlay"]\n', 4, "checks.only", "not the id of a check", None),
    (f'{HEAD}[checks.skip]\nfailsafe = ""\n', 4, "checks.skip.failsafe", "1 to 400", None),
    (f'{HEAD}[[waivers]]\nfinding = "a/b"\n', 3, "waivers[0].reason", "missing", "why"),
    (f'{HEAD}[[waivers]]\nfinding = "A b"\nreason = "x"\n', 4, "waivers[0].finding", "not the name of a finding", None),
    (
        f'{HEAD}[[waivers]]\nfinding = "a"\nreason = "x"\nuntil = "soon"\n',
        6,
        "waivers[0].until",
        "not a date",
        "2026-12-31",
    ),
    (
        f'{HEAD}[[waivers]]\nfinding = "a"\nreason = "x"\nuntil = 2026-02-01T00:00:00Z\n',
        6,
        "waivers[0].until",
        "not a date",
        None,
    ),
    (
        f'{HEAD}[[waivers]]\nfinding = "build-sheet/unsure"\nreason = "x"\n',
        4,
        "waivers[0].finding",
        "cannot be waived",
        None,
    ),
    (
        f'{HEAD}[[waivers]]\nfinding = "a"\nreason = "x"\n[[waivers]]\nfinding = "a"\nreason = "y"\n',
        7,
        "waivers[1].finding",
        "said twice",
        None,
    ),
    (f"{HEAD}waivers = 3\n", 3, "waivers", "must be written as [[waivers]]", None),
    (f'{HEAD}[[questions]]\nid = "a"\nask = "b"\n', 3, "questions[0].kind", "missing", None),
    (
        f'{HEAD}[[questions]]\nid = "a"\nask = "b"\nkind = "yesno"\n',
        6,
        "questions[0].kind",
        "not a kind of question",
        "did you mean yes-no?",
    ),
    (
        f'{HEAD}[[questions]]\nid = "a"\nask = "b"\nkind = "yes-no"\nexpected = "yeah"\n',
        7,
        "questions[0].expected",
        "neither yes nor no",
        None,
    ),
    (
        f'{HEAD}[[questions]]\nid = "a"\nask = "b"\nkind = "text"\nchoices = ["x", "y"]\n',
        7,
        "questions[0].choices",
        "has no choices",
        None,
    ),
    (
        f'{HEAD}[[questions]]\nid = "a"\nask = "b"\nkind = "choice"\n',
        3,
        "questions[0].choices",
        "no answers to choose from",
        None,
    ),
    (
        f'{HEAD}[[questions]]\nid = "a"\nask = "b"\nkind = "choice"\nchoices = ["x", "yy"]\nexpected = "yyy"\n',
        8,
        "questions[0].expected",
        "not among the choices",
        "did you mean yy?",
    ),
    (f"{HEAD}abstract = 1\n", 3, "abstract", "is not true or false", None),
    (f"{HEAD}extends = []\n", 3, "extends", "must hold at least 1", None),
    (f"{HEAD}[ports\n", 3, None, "not TOML", None),
    (f"{HEAD}x = \n", 3, None, "not TOML", None),
)
"""Sheets that are wrong: text, line, key, and words of the problem and of the hint (None: not looked at)."""


def written(text: str, source: str = "sheet.toml") -> Written:
    """A sheet that is well formed."""
    found = written_of(text, source)
    assert isinstance(found, Written), found
    return found


def read_craft(name_or_board: str | BoardState) -> Craft:
    """The craft of a simulated board, as it is read from its console."""
    recognition = explain(Transcript(recorded(name_or_board)), dialects())
    assert recognition.dialect is not None
    return read_exchanges(recognition.exchanges, recognition.dialect).craft

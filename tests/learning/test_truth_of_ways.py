"""How the test consoles take what is typed: pace, keys, pagers, menus. Nothing of the reader reads them here."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests_support import console_truth as checks
from tests_support.closing_consoles.ousterby import Ousterby
from tests_support.exam_consoles.oxlip import Oxlip
from tests_support.final_consoles.cawthwaite import Cawthwaite
from tests_support.judging_consoles_b.hessleby import Hessleby
from tests_support.judging_consoles_b.morwick import Morwick
from tests_support.last_consoles.windlestraw import Windlestraw
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import StatingConsole
from tests_support.other_consoles.typist import typing_on
from tests_support.trial_consoles_c.lindrick import Lindrick
from tests_support.truths.packages import PACKAGES
from tests_support.truths.walking import page_of
from tests_support.unseen_consoles.orrin import Orrin


def _every(holds: Callable[[type[StatingConsole]], object]) -> list[type[StatingConsole]]:
    """The consoles of which something holds."""
    return [kind for one in PACKAGES for kind in one.kinds if holds(kind)]


_SLOW = _every(lambda kind: kind.slowest_s)


def test_some_consoles_lose_what_is_typed_fast() -> None:
    assert len(_SLOW) == 6


@pytest.mark.parametrize("kind", _SLOW, ids=lambda kind: kind.name)
def test_characters_that_are_typed_fast_are_lost_where_it_says_so(kind: type[StatingConsole]) -> None:
    console = kind()
    with served(console) as device, typing_on(device, console) as typist:
        typist.wake()
        assert console.type(b"info", now=1e9) == (b"i" if kind.echo else b"")
        console.type(b"\r", now=1e9 + 2 * kind.slowest_s)
    assert console.received == ["", "i"]


_KEYED = _every(lambda kind: kind.wakes_by)


@pytest.mark.parametrize("kind", _KEYED, ids=lambda kind: kind.name)
def test_a_console_that_needs_a_key_is_silent_without_it(kind: type[StatingConsole]) -> None:
    console = kind()
    with served(console) as device, typing_on(device, console) as typist:
        if isinstance(console, Windlestraw):
            assert "press space" in typist.hear(ending="for the console" + console.newline)
        typist.press(b"\rhelp\r")
        assert typist.silence() == b""
        assert typist.wake().endswith(console.prompt)
    assert console.received == []
    assert console.idle(1e12) == ""


def test_some_consoles_need_a_key() -> None:
    assert len(_KEYED) == 2


_HELPLESS = _every(lambda kind: not kind.help_word)


def test_one_console_has_no_help() -> None:
    assert len(_HELPLESS) == 1


@pytest.mark.parametrize("kind", _HELPLESS, ids=lambda kind: kind.name)
def test_an_empty_line_prints_the_banner_again_where_there_is_no_help(kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        assert console.banner.strip() in typist.enter("")
        assert console.error.format(line="help") in typist.enter("help")


def test_the_pager_of_one_that_was_seen_stops_within_a_reply_and_its_key_goes_on() -> None:
    [kind] = [kind for kind in PACKAGES[0].kinds if kind.pager]
    assert kind.pager is not None
    with checks.awake(kind()) as typist:
        text = typist.enter("radio")
    assert "HIGHEST PULSE" in text.split(kind.pager[0])[0]
    assert "LEVEL        6" in text.split(kind.pager[0])[1]


def test_the_pager_of_lindrick_holds_the_rest_of_a_page_until_a_key_is_pressed() -> None:
    console = Lindrick()
    console.type(b"v\r", now=0.0)
    first = console.type(b"o\r", now=1.0).decode()
    assert "Columns\t30" in first
    assert first.endswith("-- more --")
    rest = console.type(b" ", now=2.0).decode()
    assert "Warnings\t9" in rest
    assert rest.endswith(console.prompt)
    assert "Warnings" not in first


def test_the_pager_of_hessleby_shows_a_page_at_a_time_until_space_or_q() -> None:
    console, pager = Hessleby(), Hessleby.pager
    assert pager is not None
    whole = console.pages["settings"].splitlines()
    first = console.type(b"settings\r", 1.0).decode()
    assert first.endswith(whole[23] + "\r\n" + pager[0])
    assert console.type(b"x\r", 2.0) == b""
    second = console.type(b" ", 3.0).decode()
    assert whole[24] in second
    assert second.endswith(whole[47] + "\r\n" + pager[0])
    assert console.type(b"q", 4.0).decode().endswith(console.prompt)
    assert b"board-name" in console.type(b"about\r", 5.0)
    assert console.received == ["settings", "about"]


_REFUSED = None


@pytest.mark.parametrize(
    ("kind", "steps"),
    [
        (Orrin, [("61", _REFUSED), ("6", ""), ("9", _REFUSED), ("?", "Motors"), (Orrin.way_back, "Main menu"),
                 ("4", ""), ("41", ""), (Orrin.way_back, " 42) "), (Orrin.way_back, "Main menu")]),
        (Lindrick, [("w", _REFUSED), ("v", ""), ("k", _REFUSED), ("o", "VIDEO / OVERLAY"),
                    (Lindrick.way_back, "(t) transmitter"), (Lindrick.way_back, "(k) keep settings")]),
        (Cawthwaite, [("b", _REFUSED), ("8", ""), ("2", _REFUSED), ("m", _REFUSED), ("?", "== Motors =="),
                      ("b", "main menu =="), ("2", "== Receiver")]),
        (Ousterby, [("0", _REFUSED), ("7", ""), ("2", _REFUSED), ("24", _REFUSED), ("?", "MOTOR POLES"),
                    ("0", "MAIN MENU"), ("2", "CHANNEL ORDER")]),
        (Morwick, [("0", _REFUSED), ("11", _REFUSED), ("31", _REFUSED), ("99", _REFUSED), ("1", ""), ("31", _REFUSED),
                   ("16", "Motor poles"), ("11", _REFUSED), ("?", "Motor poles"), ("0", "16. Motors"),
                   ("0", "Main menu")]),
    ],
    ids=lambda one: getattr(one, "name", ""),
)  # fmt: skip
def test_an_entry_is_taken_only_in_the_menu_that_shows_it(
    kind: type[StatingConsole], steps: list[tuple[str, str | None]]
) -> None:
    console = kind()
    with checks.awake(console) as typist:
        for line, shown in steps:
            refused = console.error.format(line=line.upper() if kind.any_case else line)
            assert (refused if shown is _REFUSED else shown) in typist.enter(line)
    assert console.done == []


def test_a_page_of_oxlip_takes_nothing_but_the_way_back() -> None:
    console = Oxlip()
    within, cells = console.prompt_within("a"), Oxlip.stated["battery.cells"].texts[0]
    with checks.awake(console) as typist:
        typist.enter("a", ending=within)
        assert cells not in typist.enter("b", ending=within)
        typist.enter("", ending=within)
        typist.enter("q")
        assert cells in page_of(console, typist, "b")

"""What cannot be a port is told before anything is opened."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from propsoff.exceptions import TargetError
from propsoff.ports.named import NamedSource
from propsoff.ports.target import check_url, is_serial


@pytest.mark.parametrize(
    "url",
    [
        "socket://bench-2:4000",
        "rfc2217://bench-2:4000",
        "SOCKET://[::1]:4000",
        "rfc2217://h:1?logging=debug",
        "loop://",
    ],
)
def test_a_url_that_names_a_port_is_taken(url: str) -> None:
    check_url(url)


@pytest.mark.parametrize(
    ("url", "words"),
    [
        ("socket://nope", "give a port: socket://HOST:PORT"),
        ("socket://nope:", "give a port"),
        ("socket://nope:x", "give a port"),
        ("socket://:4000", "give a port"),
        ("rfc2217://nope:70000", "give a port: rfc2217://HOST:PORT"),
        ("http://x.y/", "'http' is no kind of port"),
        ("://x", "is no kind of port"),
    ],
)
def test_a_url_that_names_none_is_refused_in_words(url: str, words: str) -> None:
    with pytest.raises(TargetError) as caught:
        check_url(url)
    assert words in str(caught.value)
    assert str(caught.value).startswith(f"{url}: ")
    with pytest.raises(TargetError):
        NamedSource([url])


def test_a_device_that_the_system_says_is_none_is_no_serial_port(tmp_path: Path) -> None:
    for number, kind in (("1:3", "mem"), ("4:64", "tty")):
        (tmp_path / "class" / kind).mkdir(parents=True)
        (tmp_path / number).mkdir()
        (tmp_path / number / "subsystem").symlink_to(tmp_path / "class" / kind)
    assert not is_serial(os.makedev(1, 3), tmp_path)
    assert is_serial(os.makedev(4, 64), tmp_path)
    assert is_serial(os.makedev(136, 0), tmp_path)  # a pseudo-terminal: not described there

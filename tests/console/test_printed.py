"""Copied text is read as the console printed it, whatever an editor or a letter made of it.

Byte order marks: The Unicode Standard, 23.8; quotation with `>`: RFC 3676, 4.5.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff.console.capture import pasted
from propsoff.console.printed import as_printed

TEXT = "toy> what\nToy one, serial A1\n\n  deeper = 4\ntoy> "


@pytest.mark.parametrize(
    "data",
    [
        TEXT.encode(),
        TEXT.encode("utf-8-sig"),
        TEXT.encode("utf-16"),
        TEXT.encode("utf-16-le"),
        TEXT.encode("utf-16-be"),
        "".join(f"    {line}" for line in TEXT.splitlines(keepends=True)).encode(),
        "".join(f"> {line}" for line in TEXT.splitlines(keepends=True)).encode(),
        "".join(f"\t> {line}" for line in TEXT.splitlines(keepends=True)).encode(),
    ],
    ids=["plain", "mark", "utf-16", "little", "big", "indent", "quoted", "indented quotation"],
)
def test_encoding_indent_and_quotation_are_set_right(data: bytes) -> None:
    [event] = pasted(data).events
    assert event.text == TEXT


@given(st.binary(max_size=300))
def test_bytes_of_any_kind_keep_their_lines_where_they_are_no_utf_16(data: bytes) -> None:
    printed = as_printed(data)
    if data.count(0) == 0 and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
        assert printed.count(b"\n") == data.count(b"\n")
        assert all(line.endswith(kept) for kept, line in zip(printed.split(b"\n"), data.split(b"\n"), strict=True))

"""Signatures by the open specification "Standard Webhooks", version 1.0.0."""

from __future__ import annotations

import base64
import hashlib
import hmac
import time
from pathlib import Path

import pytest
from standardwebhooks.webhooks import Webhook, WebhookVerificationError

from propsoff.exceptions import ConfigError
from propsoff.outgoing.keyfile import open_to_others
from propsoff.outgoing.signing import keys_in, signed_headers
from tests_support.outgoing import KEY, secret_file

OTHER = bytes(range(100, 140))


def by_the_text(headers: dict[str, str], body: bytes, key: bytes) -> bool:
    """The specification's own words: "msg_id.timestamp.payload", HMAC-SHA256, base64, `v1,`, space delimited."""
    content = b".".join([headers["webhook-id"].encode(), headers["webhook-timestamp"].encode(), body])
    wanted = hmac.new(key, content, hashlib.sha256).digest()
    given = [each.split(",", 1) for each in headers["webhook-signature"].split(" ")]
    return any(
        version == "v1" and hmac.compare_digest(base64.b64decode(signature), wanted) for version, signature in given
    )


@pytest.mark.parametrize("body", [b"{}", '{"craft":"Z\u00fcgel \U0001f6e9"}'.encode()])
def test_a_signature_holds_by_the_specification_and_by_its_reference_library(body: bytes) -> None:
    headers = signed_headers("20270115T080000Z-teal-wren-0123456789ab", int(time.time()), body, [KEY])
    assert by_the_text(headers, body, KEY)
    assert not by_the_text(headers, body + b" ", KEY)
    assert not by_the_text(headers, body, OTHER)
    # standardwebhooks 1.1.0 from PyPI, the specification's reference library for Python.
    Webhook(KEY).verify(body, headers, json_parse=False)
    with pytest.raises(WebhookVerificationError):
        Webhook(KEY).verify(body, {**headers, "webhook-id": "another"}, json_parse=False)
    with pytest.raises(WebhookVerificationError):
        Webhook(OTHER).verify(body, headers, json_parse=False)


def test_two_keys_sign_side_by_side_while_one_replaces_the_other(tmp_path: Path) -> None:
    file = tmp_path / "secret"
    file.write_text("".join(f"whsec_{base64.b64encode(key).decode()}\n\n" for key in (KEY, OTHER)))
    keys = keys_in(file)
    assert keys == [KEY, OTHER]
    headers = signed_headers("id", int(time.time()), b"{}", keys)
    for key in (KEY, OTHER):
        assert by_the_text(headers, b"{}", key)
        Webhook(key).verify(b"{}", headers)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no secret"),
        (b"\n \n", "no secret"),
        (b"hunter2", "whsec_"),
        (b"whsec_not base64!", "base64"),
        # The specification: between 24 and 64 bytes.
        (b"whsec_" + base64.b64encode(bytes(23)), "23 bytes"),
        (b"whsec_" + base64.b64encode(bytes(65)), "65 bytes"),
        (b"whsec_\xff\xfe", "not text"),
        (b"whsec_" + b"A" * 5000, "too long"),
    ],
)
def test_a_file_without_a_proper_key_is_told_and_its_content_never(tmp_path: Path, content: bytes, words: str) -> None:
    file = tmp_path / "secret"
    file.write_bytes(content)
    with pytest.raises(ConfigError, match=words) as caught:
        keys_in(file)
    assert str(file) in str(caught.value)
    assert "hunter2" not in str(caught.value)


@pytest.mark.parametrize("size", [24, 64])
def test_keys_of_the_bounds_are_taken(tmp_path: Path, size: int) -> None:
    assert keys_in(secret_file(tmp_path, bytes(size))) == [bytes(size)]


def test_a_secret_that_is_not_there_or_is_a_folder_is_told(tmp_path: Path) -> None:
    for path in (tmp_path / "absent", tmp_path):
        with pytest.raises(ConfigError, match="cannot be read"):
            keys_in(path)


@pytest.mark.parametrize(("mode", "warned"), [(0o600, False), (0o640, False), (0o644, True), (0o602, True)])
def test_a_secret_that_everybody_may_read_or_change_is_warned_of(tmp_path: Path, mode: int, warned: bool) -> None:
    file = secret_file(tmp_path)
    file.chmod(mode)
    assert (open_to_others(file) is not None) == warned

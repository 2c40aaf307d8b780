"""Who may call over TCP. Sources: Fetch Standard 3.2 (Origin), W3C Fetch Metadata Request Headers 2 (Sec-Fetch-*)."""

from __future__ import annotations

import pytest

from propsoff.page.callers import Callers, host_of, is_loopback, source_of
from propsoff.page.problems import ProblemError

LOOPBACK = Callers("127.0.0.1", ["bench-2.example"])


def refused(callers: Callers, headers: dict[str, str], local: str = "127.0.0.1", *, page: bool = False) -> str:
    """The kind of the refusal, empty where the caller may come in."""
    try:
        callers.refuse_foreign(headers, local, page=page)
    except ProblemError as problem:
        return problem.slug
    return ""


@pytest.mark.parametrize(
    "host",
    ["127.0.0.1:8423", "127.0.0.1", "localhost:9", "LOCALHOST", "[::1]:8423", "bench-2.example", "Bench-2.Example.:80"],
)
def test_the_names_of_the_bench_are_let_in(host: str) -> None:
    assert refused(LOOPBACK, {"host": host}) == ""


@pytest.mark.parametrize(
    "host",
    [
        "",
        "evil.example",
        "127.0.0.1.evil.example",
        "evil.example:8423",
        "localhost.evil.example",
        "bench-2.example@evil.example",
        "evil.example#127.0.0.1",
        "127.0.0.1/evil",
        "192.0.2.7",
        "0.0.0.0",
        "[::ffff:192.0.2.7]",
        "127.0.0.1:port",
        "[::1",
        "bench-2.example.evil.example",
        "\xff",
    ],
)
def test_a_name_that_was_bound_to_our_address_afterwards_is_not(host: str) -> None:
    assert refused(LOOPBACK, {"host": host}) == "wrong-host"


def test_a_request_without_a_host_is_refused() -> None:
    assert refused(LOOPBACK, {}) == "wrong-host"


def test_served_everywhere_it_answers_to_the_address_that_was_called_and_to_no_other() -> None:
    everywhere = Callers("0.0.0.0")
    assert refused(everywhere, {"host": "192.0.2.7:8423"}, "192.0.2.7") == ""
    assert refused(everywhere, {"host": "192.0.2.8:8423"}, "192.0.2.7") == "wrong-host"
    assert refused(everywhere, {"host": "evil.example"}, "192.0.2.7") == "wrong-host"
    assert refused(Callers("192.0.2.7"), {"host": "192.0.2.7"}, "192.0.2.7") == ""


def test_served_everywhere_over_both_kinds_of_address_it_answers_to_either() -> None:
    # RFC 4291, 2.5.5.2: a socket of IPv6 tells the IPv4 address that was called as ::ffff:192.0.2.7.
    everywhere = Callers("::")
    assert refused(everywhere, {"host": "192.0.2.7:8423"}, "::ffff:192.0.2.7") == ""
    assert refused(everywhere, {"host": "[::ffff:192.0.2.7]:8423"}, "::ffff:192.0.2.7") == ""
    assert refused(everywhere, {"host": "[2001:db8::7]:8423"}, "2001:db8::7") == ""
    assert refused(everywhere, {"host": "192.0.2.8:8423"}, "::ffff:192.0.2.7") == "wrong-host"
    assert refused(everywhere, {"host": "evil.example"}, "::ffff:192.0.2.7") == "wrong-host"
    assert refused(Callers("::1"), {"host": "192.0.2.7"}, "::ffff:192.0.2.7") == "wrong-host"


@pytest.mark.parametrize(
    ("headers", "kind"),
    [
        ({"origin": "http://127.0.0.1:8423"}, ""),
        ({"origin": "HTTP://127.0.0.1:8423"}, ""),
        ({"origin": "http://127.0.0.1:9999"}, "wrong-origin"),
        ({"origin": "http://localhost:8423"}, "wrong-origin"),
        ({"origin": "http://evil.example"}, "wrong-origin"),
        ({"origin": "null"}, "wrong-origin"),
        ({"origin": ""}, "wrong-origin"),
        ({"origin": "file://127.0.0.1:8423"}, "wrong-origin"),
        ({"sec-fetch-site": "same-origin"}, ""),
        ({"sec-fetch-site": "none"}, ""),
        ({"sec-fetch-site": "cross-site"}, "wrong-origin"),
        ({"sec-fetch-site": "same-site"}, "wrong-origin"),
        ({"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}, "wrong-origin"),
    ],
)
def test_another_site_may_not_ask(headers: dict[str, str], kind: str) -> None:
    assert refused(LOOPBACK, {"host": "127.0.0.1:8423", **headers}) == kind


@pytest.mark.parametrize(
    ("dest", "mode", "kind"),
    [("document", "navigate", ""), ("iframe", "navigate", "wrong-origin"), ("script", "no-cors", "wrong-origin")],
)
def test_a_link_from_elsewhere_opens_a_page_and_does_nothing_else(dest: str, mode: str, kind: str) -> None:
    headers = {"host": "localhost", "sec-fetch-site": "cross-site", "sec-fetch-mode": mode, "sec-fetch-dest": dest}
    assert refused(LOOPBACK, headers, page=True) == kind


def test_what_is_loopback() -> None:
    assert all(is_loopback(each) for each in ("127.0.0.1", "127.9.9.9", "::1", "localhost", "LocalHost"))
    assert not any(is_loopback(each) for each in ("0.0.0.0", "::", "192.0.2.7", "bench", "", "127.0.0.1.example"))


def test_the_host_of_a_header_is_its_name_alone() -> None:
    assert [host_of(each) for each in ("A.Example:80", "[::1]:1", "a:b:c", "user@a", "")] == [
        "a.example",
        "::1",
        "",
        "",
        "",
    ]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("192.0.2.1", "192.0.2.2", False),
        ("192.0.2.1", "::ffff:192.0.2.1", True),
        ("2001:db8:0:1::1", "2001:db8:0:1:ffff::2", True),  # one machine has all addresses of its network (RFC 4291)
        ("2001:db8:0:1::1", "2001:db8:0:2::1", False),
        ("fe80::1%eth0", "fe80::2%eth0", True),
        ("socket", "socket", True),
    ],
)
def test_addresses_that_one_machine_may_have_share_bounds(one: str, other: str, same: bool) -> None:
    assert (source_of(one) == source_of(other)) == same

"""The page for people: what stands on it and in which order, by a parser that keeps to the HTML standard."""

from __future__ import annotations

import base64
import hashlib
import re
from datetime import date
from itertools import pairwise
from xml.etree import ElementTree

import pytest
import resvg_py

from propsoff.console.capture import Capture, Event, load_capture
from propsoff.craft.model import Fact
from propsoff.inspection.finding import Evidence, Finding, Outcome, Remedy, Verdict
from propsoff.inspection.report import DialectUsed, ProblemSeen, Report, SheetUsed, UnreadLine
from propsoff.library import toolbox
from propsoff.outputs.page import html_page
from tests_support.captures import CAPTURES
from tests_support.findings import CAUSE, EFFECT, LET_BE, PASSED, report_of
from tests_support.pages import HTML, SVG, named, parsed, section, text_of

NEWER = "20270116T080000Z-fenwick-f7-0123456789ab"
LAYOUT = (
    Fact("overlay.columns", 53),
    Fact("overlay.rows", 20),
    Fact("overlay.elements[0].name", "battery"),
    Fact("overlay.elements[0].column", 2),
    Fact("overlay.elements[0].row", 18),
    Fact("overlay.elements[0].width", 5),
    Fact("overlay.elements[0].shown", True),
)


def page_of(*findings: Finding, **changes: object) -> ElementTree.Element:
    return parsed(html_page(report_of(*findings, **changes), None))


def test_the_verdict_is_one_large_word_with_a_shape_and_the_page_says_its_language_and_letters() -> None:
    for verdict in Verdict:
        root = page_of(verdict=verdict)
        [shown] = named(root, "p", "verdict")
        assert text_of(shown) == verdict.value.upper()
        assert shown.find(f"{SVG}svg") is not None
        assert root.get("lang") == "en-GB"
        assert [meta.get("charset") for meta in named(root, "meta") if meta.get("charset")] == ["utf-8"]


def test_every_verdict_has_a_shape_of_its_own() -> None:
    shapes = set()
    for verdict in Verdict:
        [shown] = named(page_of(verdict=verdict), "p", "verdict")
        shapes.add(ElementTree.tostring(next(shown.iter(f"{SVG}svg"))))
    assert len(shapes) == len(Verdict)


def test_what_to_do_stands_before_the_findings_and_the_worst_stands_first() -> None:
    warn = Finding(check="video-link", outcome=Outcome.WARN, summary="near another", remedy=Remedy(steps=("Move.",)))
    root = page_of(PASSED, warn, CAUSE)
    ids = [heading.get("id") for heading in named(root, "h2")]
    assert ids[:3] == ["first", "findings", "well"]
    steps = [text_of(item) for item in section(root, "first").iter(f"{HTML}li")]
    assert "put kind serial" in steps[0]
    assert steps[1].startswith("Move.")
    headings = [text_of(heading) for heading in named(section(root, "findings"), "h3")]
    assert [heading.split(" ")[0] for heading in headings] == ["fail", "warn"]


def test_a_finding_shows_expected_beside_found_the_lines_to_type_why_and_the_caution() -> None:
    full = CAUSE.model_copy(
        update={"expected": "serial", "actual": "spi", "why": "It must be so.", "caution": "Propellers off."}
    )
    [article] = named(page_of(full), "article")
    [beside] = named(article, "dl")
    assert text_of(beside) == "ExpectedserialFoundspi"
    assert [each.text for each in named(article, "code")] == ["put kind serial", "store"]
    assert {"It must be so.", "Look at the wires.", "Propellers off."} <= {
        text for text in map(str.strip, article.itertext()) if text
    } | {text_of(each).split(": ")[-1] for each in named(article, "p")}


def test_an_effect_stands_under_its_cause_and_is_no_finding_of_its_own() -> None:
    root = page_of(EFFECT, CAUSE)
    [article] = named(root, "article")
    assert "Goes away with it:" in text_of(article)
    assert "no channel was read" in text_of(article)
    assert "Move a stick." not in text_of(root)


def test_a_waived_finding_stands_apart_with_its_reason_and_day_and_is_nothing_to_do() -> None:
    root = page_of(LET_BE, verdict=Verdict.PASS)
    row = text_of(section(root, "waived"))
    assert "the goggles are to be changed" in row
    assert date(2027, 3, 1).isoformat() in row
    assert "Nothing has to be put right." in text_of(section(root, "first"))
    assert not list(named(root, "article"))


def test_evidence_is_marked_among_the_lines_around_it() -> None:
    capture = Capture((Event(0.0, "o", "".join(f"line {at}\r\n" for at in range(1, 10))),))
    report = report_of(CAUSE.model_copy(update={"evidence": (Evidence(line=5, text="line 5"),)}))
    report = report.model_copy(update={"capture": report.capture.model_copy(update={"sha256": capture.sha256})})
    [table] = named(parsed(html_page(report, capture)), "table", "seen")
    rows = [(row.get("class"), text_of(row[1])) for row in named(table, "tr")]
    assert rows == [("hit" if at == 5 else "around", f"line {at}") for at in range(3, 8)]


def test_without_the_capture_the_page_says_why_lines_stand_alone() -> None:
    seen = CAUSE.model_copy(update={"evidence": (Evidence(line=5, text="line 5"),)})
    assert "is not at hand" in text_of(page_of(seen))
    assert "is not at hand" not in text_of(page_of(CAUSE))


def test_long_evidence_is_cut_and_the_rest_is_counted() -> None:
    seen = CAUSE.model_copy(update={"evidence": tuple(Evidence(line=1 + at, text="x") for at in range(100))})
    [article] = named(page_of(seen), "article")
    assert len(list(named(article, "tr"))) == 24
    assert "96 more lines of evidence" in text_of(article)
    assert "and 76 more in the report file" in text_of(article)


def test_an_old_record_says_so_first_and_names_the_newer_one() -> None:
    root = parsed(html_page(report_of(PASSED), None, replaced_by=NEWER))
    [mark] = named(root, "p", "old")
    assert text_of(mark).startswith("OLD This record is of an earlier visit.")
    assert NEWER in text_of(mark)
    assert text_of(next(named(root, "title"))).startswith("OLD: ")
    assert not list(named(page_of(PASSED), "p", "old"))


def test_an_incomplete_report_says_how_it_ended_and_what_to_do_about_that_first() -> None:
    root = page_of(
        CAUSE,
        complete=False,
        verdict=Verdict.INCOMPLETE,
        ended="It was unplugged.",
        next_steps=("Plug it in again.",),
        facts=LAYOUT,
    )
    assert "It was unplugged." in text_of(next(named(root, "header")))
    assert text_of(next(section(root, "first").iter(f"{HTML}li"))) == "Plug it in again."
    assert "elements may be missing" in text_of(section(root, "overlay"))


def test_checks_that_could_not_be_made_for_one_reason_are_told_together() -> None:
    remedy = Remedy(steps=("Inspect again.",))
    unread = [
        Finding(check=f"check-{at}", outcome=Outcome.UNKNOWN, summary=f"not read: {at}", remedy=remedy) for at in "abc"
    ]
    [article] = named(page_of(*unread), "article")
    assert "3 checks could not be made" in text_of(article)
    assert text_of(article).count("Inspect again.") == 1
    assert len(list(named(page_of(*unread[:2]), "article"))) == 2


def test_the_overlay_is_drawn_so_that_another_renderer_draws_it_too() -> None:
    root = page_of(facts=LAYOUT)
    [figure] = named(root, "figure")
    svg = figure.find(f"{SVG}svg")
    assert svg is not None
    assert any(text_of(each) == "batte" for each in svg.iter(f"{SVG}text"))
    svg.attrib.pop(
        "{http://www.w3.org/2000/xmlns/}xmlns"
    )  # html5lib keeps it as an attribute; the name says it already
    png = resvg_py.svg_to_bytes(svg_string=ElementTree.tostring(svg, encoding="unicode"))
    assert bytes(png).startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ((Fact("overlay.columns", 53), Fact("overlay.rows", 20)), "elements of the overlay were not read"),
        (LAYOUT[2:], "grid of the overlay was not read"),
        ((*LAYOUT[2:], Fact("overlay.columns", 9999), Fact("overlay.rows", 20)), "The overlay is not drawn"),
    ],
)
def test_an_overlay_that_cannot_be_drawn_is_told_in_words(facts: tuple[Fact, ...], said: str) -> None:
    root = page_of(facts=facts)
    assert said in text_of(section(root, "overlay"))
    assert not list(named(root, "figure"))


def test_what_a_person_stated_stands_with_its_time() -> None:
    note = Fact("hand.goggles-firmware", "4.2.0", origin="hand", at="2026-11-25T10:00:00Z")
    told = text_of(section(page_of(facts=(note,)), "main-facts"))
    assert "goggles-firmware 4.2.0 2026-11-25T10:00:00Z".replace(" ", "") in told.replace(" ", "")


def test_how_it_was_read_names_dialect_sheet_capture_problems_and_lines_not_understood() -> None:
    report = report_of(
        PASSED,
        dialect=DialectUsed(id="ossel", version="7"),
        sheet=SheetUsed(name="ours", title="Ours", source="ours.toml", why="board is FENWICK F7"),
        problems=(ProblemSeen(message="no number", line=7, text="cells = x"),),
        unread=(UnreadLine(line=9, text="what is this"),),
    )
    told = text_of(section(parsed(html_page(report, None)), "how"))
    for words in ("ossel 7", "board is FENWICK F7", "line 7: no number cells = x", "line 9: what is this"):
        assert words in told
    assert report.capture.sha256 in told


def test_headings_go_down_by_one_level_and_every_table_head_has_a_scope() -> None:
    root = page_of(CAUSE, PASSED, LET_BE, EFFECT, facts=(*LAYOUT, Fact("ports[0].id", "U1")))
    levels = [int(each.tag[-1]) for each in root.iter() if re.fullmatch(rf"{re.escape(HTML)}h[1-6]", str(each.tag))]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    heads = list(named(root, "th"))
    assert heads
    assert all(head.get("scope") in ("col", "row") for head in heads)


def test_nothing_is_fetched_and_nothing_runs() -> None:
    page = html_page(report_of(CAUSE, facts=LAYOUT), None)
    root = parsed(page)
    for name in ("script", "img", "link", "iframe", "object", "embed", "form", "base", "a"):
        assert not list(named(root, name)), name
    assert not [name for each in root.iter() for name in each.attrib if name.startswith("on") or name == "style"]
    assert "@import" not in page
    assert not re.findall(r"url\((?!#)", page)
    [policy] = [each.get("content", "") for each in named(root, "meta") if each.get("http-equiv")]
    style, foot = (each.text or "" for each in named(root, "style"))
    # Content Security Policy Level 3: the SHA-256 of the text of the style element, in base 64.
    first, second = (base64.b64encode(hashlib.sha256(each.encode()).digest()).decode() for each in (style, foot))
    assert f"style-src 'sha256-{first}' 'sha256-{second}';" in policy
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy


def test_a_report_without_end_stays_a_page_and_says_what_it_left_out() -> None:
    many = tuple(
        CAUSE.model_copy(update={"code": f"c{at}", "summary": "s" * 400, "why": "w" * 90_000}) for at in range(500)
    )
    facts = tuple(Fact(f"overlay.elements[{at}].name", "n" * 5000) for at in range(3000))
    facts += (Fact("overlay.columns", 53), Fact("overlay.rows", 20))
    page = html_page(report_of(*many, facts=facts), None)
    assert len(page.encode()) <= 300_000
    told = text_of(parsed(page))
    assert "may take more than two sheets" in told
    assert "and 428 more in the report file" in told
    assert "3000 elements are too many" in told


def test_the_caution_and_a_line_to_sign_are_on_every_page() -> None:
    for report in (report_of(), report_of(CAUSE), report_of(complete=False, verdict=Verdict.INCOMPLETE)):
        root = parsed(html_page(report, None))
        told = text_of(section(root, "caution"))
        for words in ("All propellers off", "never charge unattended", "antenna", "Local rules"):
            assert words in told
        assert [text_of(each) for sign in named(root, "div", "sign") for each in sign] == ["Name", "Date", "Signature"]


def test_the_same_report_gives_the_same_page() -> None:
    report: Report = report_of(CAUSE, facts=LAYOUT)
    assert html_page(report, None) == html_page(report, None)


@pytest.mark.parametrize(("name", "size"), [("Teal Wren", "name"), ("W" * 40, "name"), ("W" * 41, "long")])
def test_a_name_that_is_far_too_long_is_set_smaller_and_whole(name: str, size: str) -> None:
    report = report_of(PASSED, verdict=Verdict.PASS).model_copy(update={"craft": name})
    [head] = named(parsed(html_page(report, None)), "h1")
    assert (head.get("class"), text_of(head)) == (size, name)


def test_an_unplugged_board_is_told_so_before_any_advice_and_nothing_is_said_of_bad_cables() -> None:
    capture = load_capture(CAPTURES / "ossel-hd53-unplugged-in-mid-listing.cast")
    root = parsed(html_page(toolbox().inspect(capture), capture))
    told = text_of(section(root, "findings"))
    assert "11 checks could not be made, since the conversation did not reach its end" in told
    assert "it was unplugged. Do first what stands at the top, then inspect again." in told
    assert "bad cable" not in text_of(root)
    assert "a word that its dialect does not know" not in text_of(root)
    assert "failsafe.action (drop, hold, land or return). A craft without a link must come down" in told


def test_what_was_garbled_before_a_conversation_broke_off_keeps_its_lines_and_its_advice() -> None:
    capture = load_capture(CAPTURES / "brindle-hd53-bytes-lost.cast")
    told = text_of(section(parsed(html_page(toolbox().inspect(capture), capture)), "findings"))
    assert "overlay-layout: not read from this board" in told
    assert "a bad cable garbles a line now and then" in told
    assert "6 checks could not be made, since the conversation did not reach its end" in told


@pytest.mark.parametrize(
    ("step", "shown"),
    [
        ("drop stops the motors at once.", "Drop stops the motors at once."),
        ("radio.flip must be on.", "radio.flip must be on."),
        ("Look at it.", "Look at it."),
    ],
)
def test_a_step_begins_as_a_sentence_does(step: str, shown: str) -> None:
    finding = CAUSE.model_copy(update={"remedy": Remedy(steps=(step,))})
    told = text_of(section(parsed(html_page(report_of(finding), None)), "findings"))
    assert f"By hand: {shown}" in told

"""What a board or a person typed stays text on the page, whatever it is: parsed back and compared."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.console.capture import Capture, Event
from propsoff.craft.model import Fact
from propsoff.inspection.finding import Evidence, Finding, Outcome, Remedy, Waived
from propsoff.inspection.report import DialectUsed, PortIdentity, ProblemSeen, Report, SheetUsed, UnreadLine
from propsoff.outputs.escape import visible
from propsoff.outputs.page import html_page
from tests_support.findings import report_of
from tests_support.pages import named, parsed, section

NASTY = (
    "</title><script>alert(1)</script>",
    "</style><img src=x onerror=alert(1)>",
    "<!--",
    "-->",
    "]]>",
    "<svg onload=alert(1)>",
    "&lt;b&gt;",
    "&#x202e;",
    '" onmouseover="alert(1)',
    "'><b>",
    "{{ 7 * 7 }}",
    "{% raw %}",
    "\u202eevil\u2066",
    "\x1b]0;owned\x07",
    "\x00\x0b\x7f\x85",
    "a\r\nb\tc",
    "\u2028\u2029\ufeff",
    "\uef80\uefff",
    "z\u0301\u0301\u0301",
    "\u05d0\u05d1",
)
texts = st.one_of(
    st.sampled_from(NASTY),
    st.lists(st.one_of(st.sampled_from(NASTY), st.text(max_size=8)), min_size=1, max_size=4).map("".join),
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=60),
).filter(lambda text: text.strip())


def hostile_report(text: str) -> Report:
    """A report with the text in every place that a board or a person may have typed."""
    finding = Finding(
        check="receiver-type",
        outcome=Outcome.FAIL,
        summary=text,
        expected=text,
        actual=text,
        why=text,
        caution=text,
        sources=(text,),
        remedy=Remedy(console=(text, text), steps=(text,)),
        evidence=(Evidence(line=1, text=text), Evidence(line=9, text=text)),
    )
    let_be = finding.model_copy(
        update={"check": "overlay-canvas", "waived": Waived(reason=text, until=None, source=text)}
    )
    passed = Finding(check="port-roles", outcome=Outcome.PASS, summary=text)
    return report_of(
        finding,
        let_be,
        passed,
        bench=text,
        board=text,
        board_serial=text,
        craft=text,
        firmware=text,
        ended=text,
        next_steps=(text,),
        complete=False,
        port=PortIdentity(device=text, vid=text, pid=text, product=text, serial_number=text, path=text),
        dialect=DialectUsed(id=text, version=text),
        sheet=SheetUsed(name=text, title=text, source=text, why=text),
        problems=(ProblemSeen(message=text, line=3, text=text),),
        unread=(UnreadLine(line=4, text=text),),
        facts=(
            Fact("overlay.columns", 30),
            Fact("overlay.rows", 16),
            Fact("overlay.elements[0].name", text),
            Fact("overlay.elements[0].column", 1),
            Fact("overlay.elements[0].row", 1),
            Fact("ports[0].id", text),
            Fact("ports[0].roles", (text,)),
            Fact("switches[0].function", text),
            Fact("receiver.protocol", text),
            Fact("hand.box", text, origin="hand", at=text),
        ),
    )


def shape(root: Element) -> list[tuple[str, tuple[str, ...]]]:
    """Every element with the names of its attributes, without any text."""
    return [(str(each.tag), tuple(sorted(map(str, each.attrib)))) for each in root.iter()]


PLAIN = shape(parsed(html_page(hostile_report("plain"), None, replaced_by="plain")))


def words_of(element: Element) -> str:
    return "".join(element.itertext())


@settings(max_examples=150, deadline=None)
@given(texts)
def test_no_text_makes_an_element_or_an_attribute_and_every_text_can_be_read_back(text: str) -> None:
    page = html_page(hostile_report(text), None, replaced_by=text)
    root = parsed(page)
    assert shape(root) == PLAIN
    shown = visible(text)
    assert words_of(next(named(root, "h1"))) == shown
    assert [words_of(each) for each in named(section(root, "findings"), "dd")] == [shown, shown]
    assert [words_of(each) for each in named(next(named(root, "article")), "code")] == [shown, shown]
    [mark] = named(root, "p", "old")
    assert words_of(next(named(mark, "code"))) == shown
    ports = list(named(section(root, "ports"), "tr"))
    assert words_of(next(named(ports[1], "th"))) == shown
    seen = [words_of(each[1]) for table in named(root, "table", "seen") for each in named(table, "tr")]
    assert seen == [visible(text, 160)] * 2


@settings(max_examples=60, deadline=None)
@given(texts)
def test_nothing_that_hides_or_turns_text_reaches_the_page(text: str) -> None:
    page = html_page(hostile_report(text), None, replaced_by=text)
    assert all(char.isprintable() or char == "\n" for char in page)


@settings(max_examples=60, deadline=None)
@given(st.lists(texts, min_size=1, max_size=6))
def test_what_the_board_sent_around_the_evidence_stays_text(sent: list[str]) -> None:
    capture = Capture((Event(0.0, "o", "".join(f"{line}\r\n" for line in sent)),))
    report = hostile_report("plain")
    report = report.model_copy(update={"capture": report.capture.model_copy(update={"sha256": capture.sha256})})
    root = parsed(html_page(report, capture))
    assert not list(named(root, "script"))
    assert not list(named(root, "img"))
    assert not list(named(root, "b"))

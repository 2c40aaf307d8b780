"""Texts that a board or a person could type to make trouble on a way out, for Hypothesis."""

from __future__ import annotations

from hypothesis import strategies as st

from propsoff.inspection.finding import Evidence, Finding, Outcome, Remedy, Waived
from propsoff.inspection.report import Report, plain
from tests_support.findings import report_of

PIECES = (
    "]]>",
    "<![CDATA[",
    "<script>alert(1)</script>",
    "<!--",
    "-->",
    "&amp;",
    "&#0;",
    "=cmd|' /C calc'!A0",
    "+1",
    "-1",
    "@SUM(A1)",
    "\uff1d1",
    "'=1",
    '"',
    ";",
    ",",
    "\t",
    "\r",
    "\n",
    "\r\n",
    "\x00",
    "\x1b[31m",
    "\x1b]0;title\x07",
    "\x85",
    "\u2028",
    "\u202e",
    "\u200b",
    "\ufeff",
    "\ufffe",
    "\uef80",
    "\U0001f6a9",
    "\U000e0001",
    "\ud800",
    "`",
    "```",
    "~~~~",
    "|",
    "\\|",
    "\\",
    "# head",
    "\n# head",
    "- item",
    "1. item",
    "    code",
    "> said",
    "* * *",
    "===",
    "[text](http://x.invalid)",
    "![picture](x)",
    "<http://x.invalid>",
    "www.x.invalid",
    "someone@x.invalid",
    "@someone",
    "#12",
    "GH-12",
    "!34",
    ":smile:",
    "deadbeefcafe",
    "**bold**",
    "_low_",
    "&copy;",
    "../../etc/passwd",
    " ",
    "  ",
    "Teal Wren",
    "4.1",
)
"""The formula is of OWASP's list of CSV injections; the rest is markup of XML 1.0, HTML and CommonMark 0.31.2."""

hostile = (
    st.lists(st.one_of(st.sampled_from(PIECES), st.text(max_size=4)), min_size=1, max_size=5).map("".join).filter(bool)
)
"""Any text, lone surrogates too."""


@st.composite
def hostile_reports(draw: st.DrawFn) -> Report:
    """A report whose every free text is hostile; lone surrogates are spelt out, as they are in every report."""

    def typed() -> str:
        return plain(draw(hostile))[:300]

    finding = Finding(
        check="receiver-type",
        code="wrong-kind",
        outcome=draw(st.sampled_from(Outcome)),
        summary=typed(),
        expected=typed(),
        actual=typed(),
        why=typed(),
        caution=typed(),
        remedy=Remedy(console=(typed(), typed()), steps=(typed(),)),
        evidence=(Evidence(line=3, text=typed()),),
        waived=draw(st.one_of(st.none(), st.builds(Waived, reason=st.just(typed()), source=st.just(typed())))),
    )
    who = {name: typed() for name in ("craft", "board", "board_serial", "firmware", "bench", "ended")}
    steps = (typed(),)
    return report_of(finding, **who, next_steps=steps, complete=draw(st.booleans()))

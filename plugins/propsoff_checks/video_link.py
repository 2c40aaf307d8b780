"""Whether the video link is what craft, build sheet, region and bench allow, and whether its two ends match."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Finding, check
from propsoff_checks.against_sheet import against_sheet, by_sheet, figure, garbled
from propsoff_checks.bench_neighbours import named, neighbours
from propsoff_checks.link_ends import ANTENNA, ENDS, by_hand, told
from propsoff_checks.links import NAMED, before_digital, doubted, link_in_doubt
from propsoff_checks.radio_rules import RULES, Rule
from propsoff_checks.video_channels import BANDS, centre_mhz, channels_at
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, either, typed

_BENCH_MW = 25.0
_MOST_MHZ, _MOST_MW = 100_000, 100_000
_LOCAL = "This tool knows one line of the rules, not your licence: local rules decide."
_RADIO = ("video.band", "video.channel", "video.frequency_mhz", "video.power_mw")
_CHANNEL = ("video.band", "video.channel", "video.frequency_mhz")


@check(
    "video-link",
    title="Video link: kind, channel, power, region, neighbours and both ends",
    why="The pilot flies by this picture: a link that does not match or is disturbed goes dark in the air.",
    reads=("video", "overlay.system", "ports", "firmware.version", *ENDS, ANTENNA),
    sources=(
        "wiki.courat.fr: the 5.8 GHz channels of the bands A, B, E, F and R; no standard defines them",
        *(rule.source for rule in RULES.values()),
        "2 f1 - f2: third-order products; channels of one band are at least 19 MHz apart (computed from the table)",
        "both ends of a video link should run matching firmware: common practice",
        "a video transmitter on the bench needs its antenna, a fan and low power: common practice",
        *SAFETY_SOURCES,
    ),
    caution=(
        f"{PROPELLERS_OFF} A video transmitter that is powered without its antenna may burn out; on the bench it needs "
        "a fan and its lowest power. Radio rules differ by country: local rules and your licence decide."
    ),
)
def video_link(case: Case) -> Iterator[Finding]:
    """The kind of link first; channel, power and neighbours only where that is in order; what hands tell, always."""
    link = case.craft.video.link
    if link is None:
        yield case.unread("video.link")
        yield from by_hand(case)
        return
    wrong = list(_kind(case, link))
    if not wrong:
        wrong = [*_sheet(case), *_unread(case, link), *_channel(case), *_power(case)]
        mhz = _frequency(case)
        wrong += [*_region(case, mhz), *(neighbours(case, mhz) if mhz is not None and link == "analog" else ())]
    wrong += by_hand(case)
    yield from wrong
    if not wrong:
        yield case.passed(_well(case, link, mhz), facts=("video",), actual=link)


def _well(case: Case, link: str, mhz: int | None) -> str:
    video, region = case.craft.video, RULES.get(case.sheet.region or "")
    agrees = case.craft.ports is not None and case.craft.overlay.system is not None
    parts = [f"{NAMED[link]} link{', as overlay and UARTs have it' if agrees else ''}"]
    if mhz is not None:
        parts.append(named(mhz))
    if video.power_mw is not None:
        parts.append(figure(video.power_mw, "mW"))
    if mhz is None and link == "analog":
        parts.append("the board does not set its channel")
    if both := told(case):
        parts.append(both)
    if mhz is None and video.power_mw is None:
        return ", ".join(parts)
    if region is None:
        return f"{', '.join(parts)}; the build sheet names no region, so that nothing is said about what is allowed"
    return f"{', '.join(parts)}; within {region.words} as far as this tool knows them; local rules decide"


def _kind(case: Case, link: str) -> Iterator[Finding]:
    expected = case.sheet.expected("video.link")
    if expected is not None:
        yield from against_sheet(
            case,
            "video.link",
            "the video link",
            code="link",
            why="A board set up for the other kind of link draws no overlay on this one.",
            steps=("See which video transmitter is fitted.",),
            explains=("overlay-canvas/link",),
        )
    elif link_in_doubt(case) and not before_digital(case):
        yield doubted(case, link, explains=("overlay-canvas/link-in-doubt",))


def _sheet(case: Case) -> list[Finding]:
    """Band, channel, frequency and power against the sheet."""
    table = ("video-link/other-frequency", "video-link/no-such-channel", "video-link/unknown-band")
    power = ("video-link/bench-power", "video-link/region-power", "video-link/absurd-power")
    tune = ("Tune the goggles to it as well.",)
    return [
        *against_sheet(case, "video.band", "the video band", code="band", steps=tune, explains=table),
        *against_sheet(case, "video.channel", "the video channel", code="channel", steps=tune, explains=table),
        *against_sheet(
            case,
            "video.frequency_mhz",
            "the video frequency",
            code="frequency",
            unit="MHz",
            steps=tune,
            explains=(*table, "video-link/outside-region", "video-link/absurd-frequency"),
        ),
        *against_sheet(
            case, "video.power_mw", "the video transmitter's power", code="power", unit="mW", explains=power
        ),
    ]


def _unread(case: Case, link: str) -> list[Finding]:
    """What was stated but could not be read, and what the region's rules need."""
    missing = garbled(case, *_RADIO)
    rule = RULES.get(case.sheet.region or "")
    if rule is not None and link == "analog":
        video = case.craft.video
        missing += ["video.frequency_mhz"] if _frequency(case) is None and video.frequency_mhz is None else []
        missing += ["video.power_mw"] if rule.power_mw is not None and video.power_mw is None else []
    missing = [fact for fact in dict.fromkeys(missing) if case.sheet.expected(fact) is None]
    return [case.unread(*missing)] if missing else []


def _frequency(case: Case) -> int | None:
    """The frequency as stated, else as band and channel mean it; None where that is absurd or not known."""
    video = case.craft.video
    if video.frequency_mhz is not None:
        return video.frequency_mhz if 0 < video.frequency_mhz <= _MOST_MHZ else None
    return centre_mhz(video.band, video.channel) if video.band and video.channel is not None else None


def _channel(case: Case) -> Iterator[Finding]:
    video, mhz = case.craft.video, case.craft.video.frequency_mhz
    if mhz is not None and not 0 < mhz <= _MOST_MHZ:
        yield case.fail(
            f"a video frequency of {figure(mhz)} MHz cannot be",
            code="absurd-frequency",
            facts=_CHANNEL,
            expected="the frequency of the channel that is set",
            actual=f"{figure(mhz)} MHz",
            steps=("Set band and channel anew, and tune the goggles to them.",),
        )
        return
    if video.band is None:
        return
    if video.band.upper() not in BANDS:
        if not by_sheet(case, "video.band"):
            yield _unknown_band(case, video.band)
    elif video.channel is not None:
        yield from _in_table(case, video.band.upper(), video.channel, mhz)


def _unknown_band(case: Case, band: str) -> Finding:
    return case.warn(
        f"{cut(band)} is no video band that this tool knows: its channel was not examined",
        code="unknown-band",
        facts=_CHANNEL,
        expected=f"{either(BANDS)}, or what the build sheet names",
        actual=cut(band),
        why="Nobody can tell to what the goggles must be tuned.",
        steps=(
            "See in the papers of the transmitter which frequency it is; set a band that the goggles have as well.",
        ),
    )


def _in_table(case: Case, band: str, channel: int, mhz: int | None) -> Iterator[Finding]:
    centre = centre_mhz(band, channel)
    if centre is None:
        yield case.fail(
            f"band {band} has no channel {figure(channel)}",
            code="no-such-channel",
            facts=_CHANNEL,
            expected=f"a channel from 1 to {len(BANDS[band])}",
            actual=f"{band}{figure(channel)}",
            why="Nobody can tell to what the goggles must be tuned.",
            steps=("Set a channel that band and goggles have, and tune the goggles to it.",),
        )
    elif mhz is not None and mhz != centre:
        also = channels_at(mhz)
        means = f", which is {either(also)}" if also else ", which no channel of the table has"
        yield case.fail(
            f"{band}{channel} is {centre} MHz, but the frequency is {mhz} MHz{means}",
            code="other-frequency",
            facts=_CHANNEL,
            expected=f"{centre} MHz for {band}{channel}",
            actual=f"{mhz} MHz",
            why="Goggles that are tuned to the channel show another picture than this craft's, or none.",
            steps=(
                "See on which of the two the picture really is, set the board to that, and tune the goggles to it.",
                f"If on {band}{channel}: set the frequency to {centre} MHz"
                f"{typed(case.say([('video.frequency_mhz', centre)]))}. Else: set the channel of {mhz} MHz.",
            ),
        )


def _power(case: Case) -> Iterator[Finding]:
    power = case.craft.video.power_mw
    if power is None:
        return
    if not 0 <= power <= _MOST_MW:
        yield case.fail(
            f"a video power of {figure(power)} mW cannot be",
            code="absurd-power",
            facts=("video.power_mw",),
            expected=f"0 to {_BENCH_MW:g} mW on the bench",
            actual=f"{figure(power)} mW",
            settings=[("video.power_mw", _BENCH_MW)],
            steps=("See in the papers of the transmitter which steps of power it has.",),
        )
    elif power > _BENCH_MW and not by_sheet(case, "video.power_mw"):
        yield case.warn(
            f"the video transmitter is set to {figure(power)} mW on the bench",
            code="bench-power",
            facts=("video.power_mw",),
            expected=f"at most {_BENCH_MW:g} mW on the bench, or what the build sheet names",
            actual=f"{figure(power)} mW",
            why="Without the wind of flight it overheats within minutes, and it covers every other picture nearby.",
            settings=[("video.power_mw", _BENCH_MW)],
            steps=("Make sure that the antenna is fitted, and put a fan on the transmitter as long as it is powered.",),
        )


def _region(case: Case, mhz: int | None) -> Iterator[Finding]:
    """Frequency and power against the rules of the region that the sheet names; without one, nothing is said."""
    rule, power = RULES.get(case.sheet.region or ""), case.craft.video.power_mw
    if rule is None:
        return
    if mhz is not None and not rule.low_mhz <= mhz <= rule.high_mhz:
        yield case.fail(
            f"{named(mhz)} lies outside {rule.low_mhz} to {rule.high_mhz} MHz: {rule.words}",
            code="outside-region",
            facts=_CHANNEL,
            expected=f"{rule.low_mhz} to {rule.high_mhz} MHz",
            actual=named(mhz),
            why="It may disturb others who have a right to the band, and is forbidden as far as this tool knows.",
            steps=(f"Set a channel from {rule.low_mhz} to {rule.high_mhz} MHz, and tune the goggles to it. {_LOCAL}",),
        )
    if rule.power_mw is not None and power is not None and power > rule.power_mw:
        yield _too_strong(case, rule, rule.power_mw, power)


def _too_strong(case: Case, rule: Rule, limit_mw: float, power_mw: float) -> Finding:
    settable = case.sheet.expected("video.power_mw") is None and limit_mw >= 1
    return case.fail(
        f"{figure(power_mw)} mW is more than {figure(limit_mw)} mW: {rule.words}",
        code="region-power",
        facts=("video.power_mw",),
        expected=f"at most {figure(limit_mw)} mW",
        actual=f"{figure(power_mw)} mW",
        why="It is forbidden there as far as this tool knows, and disturbs everybody nearby.",
        settings=[("video.power_mw", limit_mw)] if settable else (),
        steps=(f"Set at most {figure(limit_mw)} mW, or have the licence that allows more. {_LOCAL}",),
        explains=("video-link/bench-power",),
    )

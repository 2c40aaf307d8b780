"""Which source this machine gets."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

import propsoff.ports.sources as module
from propsoff.ports.facts import UsbIdentity
from propsoff.ports.folder import FolderSource
from propsoff.ports.listing import ListingSource
from propsoff.ports.named import NamedSource
from propsoff.ports.sources import PortSource, best_source, identity_at, why_no_udev
from propsoff.ports.udev import UdevSource


@pytest.fixture
def control(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "control"
    monkeypatch.setattr(module, "UDEV_CONTROL", path)
    monkeypatch.setattr(why_no_udev, "__defaults__", (path,))
    return path


def test_where_udev_runs_its_events_are_taken(control: Path) -> None:
    control.touch()
    assert why_no_udev() is None
    assert isinstance(best_source(), UdevSource)


def test_where_udev_does_not_run_the_list_is_polled(control: Path) -> None:
    assert str(control) in (why_no_udev() or "")
    assert isinstance(best_source(), ListingSource)


def test_elsewhere_than_on_linux_the_list_is_polled(control: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    control.touch()
    monkeypatch.setattr(sys, "platform", "darwin")
    assert "Linux" in (why_no_udev() or "")
    assert isinstance(best_source(), ListingSource)


def test_without_pyudev_the_list_is_polled(control: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    control.touch()
    monkeypatch.setattr(module, "find_spec", lambda _: None)
    assert "pyudev" in (why_no_udev() or "")
    assert isinstance(best_source(), ListingSource)


def test_a_device_that_is_not_usb_has_no_identity_either_way(control: Path) -> None:
    assert identity_at("/dev/null") == UsbIdentity()
    control.touch()
    assert identity_at("/dev/null") == UsbIdentity()
    assert identity_at("/dev/there-is-no-such-device") == UsbIdentity()


def test_every_source_is_a_port_source_with_its_own_name() -> None:
    sources: list[PortSource] = [UdevSource(), ListingSource(), FolderSource("."), NamedSource([])]
    assert all(isinstance(source, PortSource) for source in sources)
    assert [source.name for source in sources] == ["udev", "listing", "folder", "named"]

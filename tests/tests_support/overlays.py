"""Overlay elements in short."""

from __future__ import annotations

from propsoff import OverlayElement


def element(
    name: str | None, column: int | None, row: int | None, width: int | None = 4, shown: bool | None = True
) -> OverlayElement:
    """An element that is shown, unless said otherwise; places and width in characters."""
    return OverlayElement(name, column, row, width, shown)

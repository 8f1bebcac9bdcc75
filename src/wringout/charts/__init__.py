"""Figures: one function a figure, result → chart specification, in one grammar for page and print."""

from wringout.charts.rendering import png, svg
from wringout.charts.theme import PAGE, PAGE_DARK, PRINT, Look

__all__ = ["PAGE", "PAGE_DARK", "PRINT", "Look", "png", "svg"]

"""The page of `benchproof watch`: one recipe with its findings, card, day and costs, in a browser."""

from benchproof.renderers.preview.page import preview_page, preview_part

__all__ = ["preview_page", "preview_part"]

"""The bench card: one recipe on paper, to be read standing, with wet hands, from a metre away.

`card_html` gives one page that needs nothing else, `card_pdf` prints it. Both take Batches and compute no
weight, time or sum: `view` chooses the words, `strip` places the marks, the template sets them.
"""

from benchproof.renderers.card.page import CardError, card_html, card_pdf
from benchproof.renderers.press import Paper

__all__ = ["CardError", "Paper", "card_html", "card_pdf"]

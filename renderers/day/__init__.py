"""A day's plan: on an envelope, in a calendar, as a timeline, on paper.

All take a Day and plan nothing: `words` has the lines and sentences that every form shares. Import each form from its
own module, `text`, `calendar`, `timeline` or `page`: so that only those who need them pay for their libraries.
"""

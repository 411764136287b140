"""Entries of the knowledge base as cards: all that is known of one, in sections, with its origins.

`show` prints a card, the handbook lays it out; both say the same because both read it here. Cards
hold words and figures ready to be shown and know nothing of paper, terminals or HTML.
"""

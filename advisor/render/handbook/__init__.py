"""The whole knowledge base as a handbook: static HTML pages to read offline, to print, to hand out.

`book.handbook` gives the pages as texts by file name; writing them is left to the command. Nothing
is loaded from anywhere: styles and pictures stand in the pages.
"""

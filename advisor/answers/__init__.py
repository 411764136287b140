"""From a homeowner's question to a curated answer, filled in from the knowledge base.

`finding` picks the topic, `compose` puts it into words; `render.answer_page` lays them out. Nothing
here makes up a sentence or a figure.
"""

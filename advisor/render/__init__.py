"""Puts answers into words, documents and pictures: the only part that knows how things look."""

"""Cameback: why a lawn weed came back after treatment, and what to change."""

__version__ = "0.1.0"

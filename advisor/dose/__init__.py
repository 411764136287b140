"""Doses: what goes into a tank, how a cup measures it, what a sprayer puts out, what was put on."""

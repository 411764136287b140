"""The rules engines behind one interface.

`choose.build` gives an `Engine`; `compile` and `limits` prepare the rules for it. Each engine is
imported in one module only, and nothing outside this package imports one.
"""

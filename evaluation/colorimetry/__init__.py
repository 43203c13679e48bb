"""Colour: pure functions over arrays, and what colour-science is asked for.

What is on the way of a key or of a reading is our own and needs numpy alone: `lab`, `difference`, `weights`,
`spectra`, `density`, `adaptation`, `lights`. colour-science knows all of it and is the oracle of their tests,
but its import takes four times as long as numpy's own: 1.8 to 2.2 s of processor time where numpy takes 0.4
to 0.5 and these modules 0.07, and 4.6 to 5.3 s with its plotting. A call on the 30 colours of a region then
takes 3 to 12 times as long. Measured by `tests/benchmarks/bench_colour.py` on two busy cores, Python 3.11:
take the ratios, the seconds differ.

`lamp_colour`, `named_lights`, `surface_colours` and `second_opinion` use it at run time, where its value is
real and nobody waits at a key: see `published.colour_science`.
"""

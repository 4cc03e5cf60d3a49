"""Measuring scrap: household readings in, part values with honest uncertainty out.

From Python as from the command line::

    from pathlib import Path
    from hobwind.bench.readings import TESTS, measure
    found = measure(TESTS["wax"], Path("examples/bench/tractor-element.toml"))
    found.figure("opens").value, found.figure("opens").u   # kelvin, and its standard uncertainty
    found.part_text("my element")                          # a section of parts/wax.toml

Each test also takes readings made in Python: `identify_wax(WaxReadings(...))`, `identify_motor`, `identify_sink` and so on.
"""

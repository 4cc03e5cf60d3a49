"""The bin file that `hobwind begin --bin` writes: complete, commented, and sound as it stands."""

from __future__ import annotations

BIN_STARTER = """\
# {name}: what lies on the shelf. Change every line to what you have, then: hobwind pick {file}
#
# Quantities are text with a unit, as in build files. A part named by its catalogue name brings its own numbers; set beside
# it what you measured. One heading for each part; count says how many there are. The figures below are invented.

format = 1
name = "{name}"

[stove]
usual_plate = "230 °C"        # undisturbed plate in normal burning
worst_plate = "320 °C"        # when somebody forgets the air slide
plate_material = "grey cast iron"
plate_thickness = "6 ± 1 mm"
room = "20 ± 3 °C"
altitude = "100 m"

[wish]
starts_by = "130 °C"          # plate by which it should turn on a warming stove
air = "40 m³/h"               # through the blade, in normal burning
hottest_face = "140 °C"       # no module face hotter than this, ever; leave it out if the modules' own limits will do
guard = true                  # true: it must have one
first = "air"                 # counts double once the wishes are met: "air", "early start" or "margin"
money = 20                    # that may be spent on one part of the price list
tools = ["saw", "drill press", "taps"]    # of "saw", "drill press", "taps", "lathe"
most_modules = 4              # in one fan

[seat]
flatness = "0.10 ± 0.05 mm"

[clamp]
pressure = "1.18 ± 0.30 MPa"  # cold; modules want 1.0 to 1.4, hot as well; two M4 stainless bear no more

[fan]
hub_above = "60 mm"           # middle of the blade over the top of the sink

[[module]]
part = "generator 40 mm"
count = 2

[[motor]]
part = "coreless motor"

[[motor]]
part = "solar motor"

[[blade]]
part = "blade 150 mm 4"         # vanes = 5 where yours has another number

[[sink]]
part = "amplifier sink 100 x 100"
fins_cut = "12 mm"            # fins cut back so wide round the screw heads

[[bar]]                       # riser stock
name = "square end"
shape = "block"               # or "cylinder" with a diameter
width = "60 mm"
depth = "60 mm"
length = "200 mm"             # as it lies there
material = "aluminium 6082"
lengths = ["110 mm", "120 mm", "130 mm"]  # to be tried, with room for the guard; or shortest, longest and step; or sawn = false

[[plate]]                     # flat stock
name = "jig plate"
width = "100 mm"
depth = "60 mm"
thickness = "10 mm"
material = "aluminium 6082"
serves = ["hot plate", "spreader"]

[[screws]]
part = "M4 stainless"
count = 4
length = "40 mm"

[[bush]]
part = "PEEK bush M4"
count = 4

[[element]]
part = "wax 88"

[[guard]]                     # a way of guarding; the element, its height and its pin are found by the pick
kind = "central lift"
held_in = "plate"             # "riser" (with heights = [0.3, 0.6], shares of it), "hot plate", "spreader", "sink", "plate"
holder_conductance = "0.025 ± 0.005 W/K"
element_loss = "0.060 ± 0.012 W/K"
lost_motion = "1.0 ± 0.2 mm"
stop = "2 mm"
over_travel = "8.5 mm"        # spring between element and pin: takes up what the element pushes on
piston_out = "1 mm"           # the element's own pin, standing out cold
pin_length = "60 mm"
pin_tip = "0.004 ± 0.002 W/K"

[[buy]]                       # what a shop has: any kind of part, with its price
kind = "sink"
part = "amplifier sink 150 x 100"
fins_cut = "12 mm"
price = 18
"""


def bin_starter_text(name: str, file: str) -> str:
    """The commented starter for a bin called `name`, kept in `file`.

    Args:
        name: of the bin.
        file: its file's name.

    Returns:
        The text of a bin file.
    """
    return BIN_STARTER.format(name=name.replace("\\", "").replace('"', "'"), file=file)

"""The build file that `hobwind begin` writes: complete and commented, an invented fan to be changed into one's own."""

from __future__ import annotations

STARTER = """\
# {name}: one fan. Change every line to what lies on your bench, then: hobwind check {file}
#
# Quantities are text with a unit: "55 mm", "12 ± 2 K" (19 in 20 within), "8..11 K" (anything between). A part named by
# its catalogue name brings its own numbers; any of them can be set here instead. List parts with: hobwind parts
# The figures below are invented, to start from.

format = 1
name = "{name}"

[stove]
usual_plate = "230 °C"        # undisturbed plate in normal burning
worst_plate = "320 °C"        # when somebody forgets the air slide
plate_material = "grey cast iron"
plate_thickness = "6 ± 1 mm"
room = "20 ± 3 °C"

[wish]
air = "40 m³/h"               # through the blade, in normal burning
starts_by = "130 °C"          # plate by which it should turn on a warming stove

# The riser from the foot up; more than one length: repeat the heading.
[[riser]]
shape = "block"               # or "cylinder" with a diameter
width = "60 mm"
depth = "60 mm"
length = "110 mm"             # so tall that pin and element find room beside it
material = "aluminium 6082"

[seat]                        # foot and plate together
flatness = "0.10 ± 0.05 mm"

[joint.hot]                   # riser or hot plate to the modules
fill = "anti-seize copper paste"      # bears 300 °C; or "dry", or a sheet such as "graphite sheet"
surface = "wet-and-dry on glass"

[joint.cold]                  # modules to the sink
fill = "zinc oxide grease"
surface = "wet-and-dry on glass"

[[modules]]
part = "generator 40 mm"
count = 1

[wiring]
arrangement = "series"        # "series", "parallel" or "groups"
solder = "217 °C"             # lead-free, tin-silver-copper; tin-lead melts at 183 °C

[clamp]
pressure = "1.1 ± 0.4 MPa"    # cold; modules want 1.0 to 1.4, hot as well

[sink]
part = "amplifier sink 100 x 100"
fins_cut = "12 mm"            # fins cut back so wide round the screw heads

[screws]                      # past the modules, into the riser
part = "M4 stainless"
count = 2
across = "48 mm"
along = "48 mm"
free_length = "12 mm"         # from under the head to the first thread that holds
bush = "PEEK bush M4"
washer = "M4 disc washer"     # springy: keeps the pressure while parts grow and shrink
nested = 4                    # so many in each stack, all the same way up

[motor]
part = "coreless motor"

[blade]
part = "blade 150 mm 4"
height = "220 mm"             # hub above the stove plate
before_sink = "12 ± 20 mm"    # middle of the blade before the sink's front edge: motor and blade hang out that far

[guard]
kind = "central lift"         # "none", "central lift", "edge tilt" or "lever tilt"
element = "wax 88"
held_in = "plate"             # "riser", "hot plate", "spreader", "sink", or "plate": a thin foot of its own beside the fan
holder_conductance = "0.022 ± 0.003 W/K"
element_loss = "0.060 ± 0.010 W/K"    # a cooling ring on the element
lost_motion = "1.0 ± 0.2 mm"
stop = "2 mm"
over_travel = "10 mm"         # spring between element and pin: takes up what the element pushes on
piston_out = "1 mm"           # the element's own pin, standing out cold
pin_length = "60 mm"
pin_tip = "0.004 ± 0.002 W/K"         # a ceramic bead
"""


def starter_text(name: str, file: str) -> str:
    """The commented starter for a fan called `name`, kept in `file`.

    Args:
        name: of the fan.
        file: its file's name.

    Returns:
        The text of a build file.
    """
    return STARTER.format(name=name.replace("\\", "").replace('"', "'"), file=file)

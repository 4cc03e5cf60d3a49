"""What the workshop keeps to when it drills, taps and screws, whichever part and screw it is; lengths in metres."""

LENGTHS = tuple(i * 1e-3 for i in (6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120))
WALL = 1.5e-3  # thinner walls are a finding
EDGE = 1.5  # diameters from a tapped hole's middle to the nearest edge; common practice
HELD = 2.0  # times the force wanted that a thread must hold when hot; common practice
LEAST = 1.0  # diameters of engagement, whatever the force; common practice
SPARE = 2.0  # pitches of thread deeper than the screw reaches, so that it never bottoms
POINT = 0.3004  # a 118° drill's point is so many diameters long: 0.5 / tan 59°
FEW = 0.5e-3  # m; differences in length that filing and compound take up
SHORT = 0.5e-3  # a screw's end stays this far from the face of the part below

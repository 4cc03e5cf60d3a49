"""The set-up of each bench test as a few shapes, mm from the upper left of a field of 186 x 58: data, no drawing code.

A row is: shape and its numbers | tone or pen | words. box x y width height; round x y radius; line x y x y ...; text x y.
"""

from __future__ import annotations

from dataclasses import dataclass

BOX, ROUND, LINE, TEXT = "box", "round", "line", "text"


@dataclass(frozen=True)
class Drawn:
    """One shape: what it is, its numbers [mm], tone or pen, words in it."""

    shape: str
    numbers: tuple[float, ...]
    tone: str
    words: str


def _setup(rows: str) -> tuple[Drawn, ...]:
    found = []
    for row in rows.strip().splitlines():
        place, tone, words = (cell.strip() for cell in row.split("|"))
        shape, *numbers = place.split()
        found.append(Drawn(shape, tuple(float(one) for one in numbers), tone, words))
    return tuple(found)


_LABEL = _setup("""
box 20 8 44 44     | plain |
box 26 14 32 32    | metal | module
line 58 22 84 22   | thin  |
line 58 38 84 38   | thin  |
box 100 6 66 46    | plain |
text 106 15        |       | volts, largest or open
text 106 24        |       | amperes, watts
text 106 33        |       | largest difference, ohms
text 106 42        |       | at which temperatures
text 106 50        |       | the print, or its sheet
""")

SETUPS: dict[str, tuple[Drawn, ...]] = {
    "module": _setup("""
box 60 34 78 20    | water |
box 66 6 66 11     | hot   | block, at the kettle's heat
box 78 18 42 6     | plain | module
box 66 25 66 14    | cold  | block, in ice water
text 100 50        | mid   | bowl of ice and water
line 66 20 56 20 56 12 37 12 | wire |
line 78 23 50 23 50 34 37 34 | wire |
line 78 20 66 20   | wire  |
round 24 12 6      | plain | V
line 30 12 37 12   | wire  |
line 18 12 8 12 8 34 16 34 | wire |
box 16 30 21 8     | plain | resistor
line 132 12 152 12 | thin  |
round 154 12 2     | dark  |
text 159 13        |       | thermometer
line 132 29 152 29 | thin  |
round 154 29 2     | dark  |
text 159 30        |       | thermometer
line 99 1 99 6     | arrow |
text 103 4         |       | clamp
"""),
    "cooler-label": _LABEL,
    "generator-label": _LABEL,
    "health": _setup("""
box 70 8 56 6      | metal | board
box 78 15 40 7     | plain | module
box 70 23 56 6     | metal | board
line 98 1 98 8     | arrow |
line 98 36 98 29   | arrow |
text 102 5         |       | press and let go
line 78 17 50 17 50 12 | wire |
line 78 20 44 20 44 40 | wire |
round 50 6 6       | plain | V
line 50 0 20 0 20 12 | wire |
box 14 12 12 9     | plain | 8 Ω
box 28 12 12 9     | plain | 2 Ω
line 34 12 34 6 20 6 | wire |
line 20 21 20 40 44 40 | wire |
line 34 21 34 40   | wire  |
line 118 18 140 18 | thin  |
text 142 19        |       | wet foil on the ceramic:
text 142 25        |       | ohms to a lead
box 132 42 44 8    | water | cup of warm water
"""),
    "motor": _setup("""
box 84 18 34 22    | metal | motor
line 118 29 132 29 | thick |
box 130 20 3 18    | plain |
text 137 24        |       | paper flag, two ends
box 20 10 26 12    | plain | supply 0 to 3 V
line 46 14 58 14   | wire  |
round 64 14 6      | plain | A
line 70 14 76 14 76 24 84 24 | wire |
line 33 22 33 48 76 48 76 34 84 34 | wire |
round 64 31 6      | plain | V
line 64 25 64 24 76 24 | wire |
line 64 37 64 48   | wire  |
box 164 34 10 19   | dark  |
text 136 45        |       | phone, beside
text 136 51        |       | the stream
"""),
    "blade": _setup("""
box 78 22 26 16    | metal | motor
line 104 30 112 30 | thick |
box 112 8 3 44     | plain |
text 118 12        |       | blade
line 120 22 150 22 | arrow |
line 120 30 160 30 | arrow |
line 120 38 150 38 | arrow |
round 168 30 6     | plain |
text 150 44        |       | anemometer, if any
box 14 10 26 12    | plain | supply
line 40 14 48 14   | wire  |
round 54 14 6      | plain | A
line 60 14 70 14 70 26 78 26 | wire |
line 27 22 27 50 70 50 70 34 78 34 | wire |
round 54 32 6      | plain | V
line 54 26 54 24 70 24 | wire |
line 54 38 54 50   | wire  |
text 118 56        |       | nothing near for a metre
"""),
    "sink": _setup("""
box 64 30 60 7     | metal | base
box 66 8 3 22      | metal |
box 75 8 3 22      | metal |
box 84 8 3 22      | metal |
box 93 8 3 22      | metal |
box 102 8 3 22     | metal |
box 111 8 3 22     | metal |
box 119 8 3 22     | metal |
box 78 38 32 6     | hot   | heater
box 58 45 72 8     | plain | lagging
line 78 41 40 41   | wire  |
round 34 41 6      | plain | W
text 6 53          |       | volts times amperes
line 124 33 146 33 | thin  |
round 148 33 2     | dark  |
text 152 34        |       | base
round 148 12 2     | dark  |
text 152 13        |       | room, out of
text 152 18        |       | the stream
line 20 18 56 18   | arrow |
text 14 14         |       | stream, or still air
"""),
    "wax": _setup("""
box 60 14 66 36    | water |
line 60 6 60 50 126 50 126 6 | thick |
box 82 24 16 18    | metal | element
box 88 12 4 12     | plain |
line 90 0 90 24    | thin  |
text 130 9         |       | pin: stroke by steel rule
line 91 7 129 7    | thin  |
line 112 10 112 40 | thin  |
round 112 41 2     | dark  |
text 130 30        |       | thermometer beside the element
text 130 36        |       | stir before every reading
box 78 52 30 4     | hot   |
text 112 56        |       | small flame
box 12 36 34 6     | metal | kitchen scale
box 22 20 14 16    | plain | element
text 10 14         |       | force: what it just lifts
"""),
    "spring": _setup("""
box 80 2 20 10     | metal | spindle
line 82 14 98 17 82 20 98 23 82 26 98 29 82 32 98 35 | thick |
line 90 12 90 38   | thin  |
box 64 38 52 8     | metal | kitchen scale
box 58 47 64 6     | plain | drill table
line 122 13 130 13 | thin  |
line 122 37 130 37 | thin  |
line 126 13 126 37 | thin  |
text 132 26        |       | length
text 20 22         |       | rod or tube keeps
text 20 28         |       | the spring straight
"""),
    "washers": _setup("""
line 70 22 92 14 96 14 | thick |
line 118 22 96 14  | thick |
line 70 24 92 32 96 32 | thick |
line 118 24 96 32  | thick |
box 62 34 68 6     | metal | flat plate
box 86 2 18 10     | metal | press
line 95 12 95 14   | arrow |
text 126 16        |       | two facing: twice the travel
text 126 26        |       | two nested: twice the force
box 20 26 28 2     | plain |
line 20 26 24 20 44 20 48 26 | thick |
text 16 36         |       | free height less
text 16 42         |       | thickness is the dish
"""),
    "metal": _setup("""
box 20 38 50 10    | metal | kitchen scale
box 28 20 34 18    | water | water
line 45 0 45 24    | thin  |
box 39 24 12 10    | dark  |
text 76 24         |       | bar hangs free on a thread,
text 76 30         |       | no bubbles, not on the bottom
text 76 44         |       | set to nought before the bar goes in
box 146 36 26 10   | dark  |
line 150 36 150 26 156 26 156 36 | thick |
text 146 22        |       | magnet
"""),
    "flat": _setup("""
box 40 34 90 14    | metal | face, wiped, no burrs
box 40 12 90 21    | plain | straight edge
line 122 34 150 34 | thin  |
text 152 35        |       | feeler leaf
round 20 33 4      | hot   |
text 6 45          |       | lamp behind
text 136 12        |       | along, across,
text 136 18        |       | both diagonals
"""),
}

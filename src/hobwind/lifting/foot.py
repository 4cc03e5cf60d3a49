"""A thin foot for a wax element beside the fan, in metal and millimetres: a strip bent to a small table on the guard's base.

Two toes lie flat on the base, fore and aft, each under a bridge stud's nut; two legs rise to its top between them, on which the
element stands. The legs carry as much heat as the guard was reckoned with: G = 2 k A / L, L along one leg's bends. What the legs
lose to the air on their way is not in that figure and is told as a share.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build.forces import spring_at
from ..build.guide import free_beyond, standing_height, stands_at
from ..build.guide_posts import SHEET
from ..build.pin import pin_gap
from ..parts.catalogue import Shelf
from .apart import AIR, CLEAR, riser_gap
from .heat import STILL_AIR, ring_for
from .train import train

METAL = "stainless 304"
SHEETS = (0.5e-3, 0.8e-3, 1.0e-3, 1.5e-3)  # m; what kitchen ware and sheet offcuts have. Source: from memory
NARROWEST, WIDEST = 8e-3, 25e-3  # m; a narrower toe is lost to its stud's hole, a wider one finds no room. Source: choice
CUT = 0.5e-3  # m, as near as hand shears cut
REFERENCE = 293.15  # K; at which a metal's conductivity is given
NEAR, CLOSE = 0.1, 0.03  # shares of the wanted conductance: no strip beyond, no worse within
HIGHEST = 60  # mm over the plate; higher a foot is not looked for. Source: choice
ROUND = 1.0  # inner radius of a bend, in thicknesses. Source: common practice
NEUTRAL = 0.4  # where a bend's length does not change, in thicknesses from within. Source: from memory, common practice
STRAIGHT = 1e-3  # m of leg between its two bends, at least
ROD = 4e-3  # m; M4 studs that hold the bridge and the foot's toes
NUT_HALF = 4.5e-3  # m from a stud's middle to past its nut's corner. Source: iso-4032
PAST_ROD = 6e-3  # m of toe past its stud's middle
BOLTED = 2000.0  # W/(m2 K) of a bare toe pressed on the plate. Source: from memory
YIELDS = 118e6  # Pa; stainless 304 at 250 °C, least. Source: en-10088, from memory
SAFE = 1.25  # Source: choice
EAR_TALL, LEG_FREE = (
    5e-3,
    0.5e-3,
)  # m of an ear over the foot's top, and between it and where a leg's bend begins. Source: choice


@dataclass(frozen=True)
class Strip:
    """A strip of sheet bent to a table: metal, its conductivity [W/(m K)], thickness, width, length of one leg along its bends, `tall`
    from base to its top's upper side, `toe` flat on the base [m], what both legs carry [W/K].

    `fin` is m·L of a leg as a fin in still air: below a half it loses less than a tenth of what it carries on its way. `force` is
    the most that presses on its top [N], `stress` what it bends the strip with beside the element [Pa].
    """

    metal: str
    conductivity: float
    thickness: float
    width: float
    length: float
    tall: float
    top: float
    toe: float
    carries: float
    fin: float
    force: float
    stress: float

    @property
    def says(self) -> str:
        """What to cut."""
        return (
            f"a strip of {self.metal}, {self.thickness * 1e3:g} x {self.width * 1e3:g} mm, bent to a table {self.tall * 1e3:.1f} mm tall "
            f"over the base, {self.length * 1e3:.1f} mm of each leg free, its toes under the bridge studs' nuts, "
            "four ears on its top round the element"
        )

    @property
    def ear(self) -> Ear:
        """One of four ears that hold a round element on the top."""
        return ear_for(self.top, self.thickness)

    @property
    def bends(self) -> tuple[float, float, float, float]:
        """The middles of the four bends from one end of the blank: toe to leg, leg to top, top to leg, leg to toe, m."""
        half = 0.25 * math.pi * (ROUND + NEUTRAL) * self.thickness
        one, two = self.toe + half, self.toe + self.length - half
        return one, two, self.blank - two, self.blank - one

    @property
    def blank(self) -> float:
        """How long the strip is cut, flat, m."""
        return 2.0 * (self.toe + self.length) + self.top

    @property
    def strong_enough(self) -> bool:
        """Whether the top bears what presses on it when the fan is stuck."""
        return self.stress <= YIELDS / SAFE


@dataclass(frozen=True)
class Ear:
    """An ear, flat, from the middle of the foot's top: `near` and `far` along the strip, its bend's begin `line` and its end `tip` across;
    `tall` over the top when bent [m]."""

    near: float
    far: float
    line: float
    tip: float
    tall: float


def ear_for(diameter: float, thick: float) -> Ear:
    """Four ears on a foot's top, two on either side, each meeting a round element where its radius goes 3 along and 4 across.

    There the element's rim still lies flat, before the bend begins; pressed in until they touch, four edges then hold it along and
    across. No ear stands where the legs are bent.

    Args:
        diameter: of the element. [m]
        thick: of the sheet. [m]

    Returns:
        One of them. [m]

    Source: exact (3-4-5 triangle); neutral line from memory.
    Check: 16 mm and 1 mm of sheet: 4.8 to 7.5 mm along, bent from 6.4 mm, ends at 12.6 mm: 5 mm tall.
    """
    radius = 0.5 * diameter
    long = 0.5 * math.pi * (ROUND + NEUTRAL) * thick + EAR_TALL - ROUND * thick
    return Ear(0.6 * radius, radius - LEG_FREE, 0.8 * radius, 0.8 * radius + long, EAR_TALL)


def rods_apart(build: Build) -> float:
    """Between the middles of the bridge's two studs, clear of ring, return spring and the foot's bends, m."""
    ring, made, element = ring_for(build), train(build), build.guard.element
    across = 0.0 if element is None else element.diameter.value
    wide = across if ring is None else max(across, ring.deep)
    if made is not None and made.back is not None:
        wide = max(wide, made.back.coil + made.back.wire + 2.0 * (NUT_HALF - ROD))  # the bridge's nuts reach beside it
    wide = max(wide + 2.0 * ROD, across + 2.0 * (legs_reach(SHEETS[-1]) + NUT_HALF) if build.guard.held_in == "plate" else 0.0)
    return math.ceil(wide * 1e3 - 1e-9) * 1e-3


def legs_reach(thick: float) -> float:
    """From the top's flat part to where a toe lies flat, m: two bends and the sheet between them."""
    return (2.0 * ROUND + 1.0) * thick


def leg_length(tall: float, thick: float) -> float:
    """Along the middle of one leg and its two bends, from where the toe lies flat to the top's flat part, m.

    Args:
        tall: from the base to the top's upper side. [m]
        thick: of the sheet. [m]

    Returns:
        Length; flat, the same strip is as long. [m]

    Source: exact for bends of inner radius one thickness; neutral line from memory.
    Check: 11 mm tall of 1 mm sheet: 7 mm straight and two quarter rounds of 1.4 mm, 2.2 mm each: 11.4 mm.
    """
    return tall - 2.0 * (1.0 + ROUND) * thick + math.pi * (ROUND + NEUTRAL) * thick


def rim_inside(diameter: float, width: float) -> float:
    """How far within its outermost point a round element's rim presses on a strip of some width, on the average, m.

    Source: exact (mean of a circle's chord over the strip's width).
    """
    radius = 0.5 * diameter
    half = min(0.5 * width, radius)
    mean = 0.5 * (math.sqrt(max(radius**2 - half**2, 0.0)) + radius**2 / half * math.asin(half / radius))
    return radius - mean


def top_stress(force: float, diameter: float, thick: float, width: float) -> float:
    """Bending of the top between a rigid element's rim and its legs, Pa.

    Half of the force goes into each leg; its arm is from the element's rim to the middle of the leg's sheet. That the legs help
    to hold the top level is left out: it only helps.

    Args:
        force: on the top. [N]
        diameter: of the element. [m]
        thick: of the sheet. [m]
        width: of the strip. [m]

    Returns:
        Stress at the skin. [Pa]

    Source: exact (hand statics).
    """
    arm = rim_inside(diameter, width) + (ROUND + 0.5) * thick
    return 6.0 * 0.5 * force * arm / (width * thick**2)


def domed_stress(force: float, strip: Strip) -> float:
    """Bending of the top by an element that bears in its middle instead of on its rim, Pa: force · span / 4 between the legs.

    Args:
        force: on the top. [N]
        strip: the foot.

    Returns:
        Stress at the skin. [Pa]

    Source: exact (hand statics, ends free to turn).
    Check: 60 N, 19 mm between the legs' middles, 8 x 1 mm: 6 x 285 N mm / 8 mm3 = 214 MPa.
    """
    span = strip.top + 2.0 * (ROUND + 0.5) * strip.thickness
    return 6.0 * 0.25 * force * span / (strip.width * strip.thickness**2)


def stuck_force(build: Build) -> float:
    """How hard the element presses on its foot at most, the fan stuck or at its stop, N.

    The capsule rises until the over-travel spring is used up: that spring, and the return spring, which stands on the capsule's rim
    and is squeezed by all that the element comes out. Without an over-travel spring only the element itself says how hard.

    Args:
        build: a checked build with an element.

    Returns:
        Force, at most the element's own. [N]

    Source: exact.
    Check: 24 N in the capsule, 8 N and 0.5 N/mm over 1 + 2 + 9 mm: 24 + 8 + 6 = 38 N.
    """
    guard, made = build.guard, train(build)
    assert guard.element is not None
    most = guard.element.force.value
    if made is None or made.over is None:
        return most
    rises = min(pin_gap(guard) + guard.over_travel.value, guard.element.most_travel.value)
    return min(made.over.most + spring_at(guard, rises), most)


def strip_for(build: Build, tall: float | None = None) -> Strip | None:
    """The strip whose conductance comes nearest a guard's foot of its own, as tall as the element must stand.

    Args:
        build: a checked build.
        tall: from the base to the strip's upper side, instead of what the element's pin asks for. [m]

    Returns:
        The strip; None where the element does not stand on the stove plate, or no strip comes within a tenth.

    Source: exact (G = 2 k A / L); conductivity from the catalogue; sizes from memory.
    Check: stainless of 17.3 W/(m K) warm, two legs of 0.8 x 10 mm, 11.3 mm long, carry 24.5 mW/K, by hand.
    """
    guard, element = build.guard, build.guard.element
    if element is None or guard.held_in != "plate":
        return None
    metal, wanted = Shelf(None).find("material", METAL), guard.holder_conductance.value
    # Between an element about to open and a plate in normal burning.
    middle = 0.5 * (element.opens.value + build.stove.usual_plate.value)
    conductivity = metal.conductivity.value * (1.0 + metal.conductivity_slope.value * (middle - REFERENCE))
    across = element.diameter.value
    tall = max(stands_at(build) - SHEET, 0.0) if tall is None else tall
    force = stuck_force(build)
    rods, found = rods_apart(build), list[Strip]()
    widest = min(WIDEST, 2.0 * riser_gap(build, CLEAR), 2.0 * (free_beyond(build) - AIR))
    for thick in SHEETS:
        if tall < 2.0 * (1.0 + ROUND) * thick + STRAIGHT:
            continue
        length = leg_length(tall, thick)
        wide = min(max(round(wanted * length / (2.0 * conductivity * thick) / CUT) * CUT, NARROWEST), widest)
        carries = 2.0 * conductivity * thick * wide / length
        fin = length * math.sqrt(STILL_AIR * 2.0 * (thick + wide) / (conductivity * thick * wide))
        toe = 0.5 * (rods - across) - legs_reach(thick) + PAST_ROD
        stress = top_stress(force, across, thick, wide)
        found.append(Strip(METAL, conductivity, thick, wide, length, tall, across, toe, carries, fin, force, stress))
    near = [one for one in found if abs(one.carries / wanted - 1.0) <= NEAR]
    return min(near, key=lambda one: (not one.strong_enough, abs(one.carries / wanted - 1.0) > CLOSE, one.stress), default=None)


def no_strip(build: Build) -> str:
    """Why no strip serves, or the best is too weak, and what to change; empty where one serves or none is wanted."""
    guard, strip = build.guard, strip_for(build)
    if guard.element is None or guard.held_in != "plate" or (strip is not None and strip.strong_enough):
        return ""
    if strip is not None:
        return (
            f"the thin foot's top is bent with {strip.stress * 1e-6:.0f} MPa when the fan is stuck ({strip.force:.0f} N); stainless at "
            f"250 °C bears {YIELDS * 1e-6:.0f}, a quarter in hand is wanted: a shorter pin, so that the foot is taller and may be thicker"
        )
    high = standing_height(build)
    stands = "nothing hangs over its pin" if high is None else f"the element stands {1e3 * high:.0f} mm over the plate"
    stands = stands if high is None or high > 0.0 else "no height is left for the element"
    return (
        f"no strip from {SHEETS[0] * 1e3:g} to {SHEETS[-1] * 1e3:g} mm thick and {NARROWEST * 1e3:g} to {WIDEST * 1e3:g} mm wide carries "
        f"{guard.holder_conductance.value * 1e3:.0f} mW/K where {stands}: {_higher(build, high)}"
    )


def _higher(build: Build, high: float | None) -> str:
    """By how much riser or pin must change for an element's strip, to the nearest millimetre at which one serves."""
    now = stands_at(build)
    for over in (1e-3 * k for k in range(math.floor(1e3 * SHEET), HIGHEST)):
        strip = strip_for(build, over - SHEET) if over > SHEET else None
        if high is not None and over > now and strip is not None and strip.strong_enough:
            more = math.ceil(1e3 * (over - high) - 1e-6)
            return f"one does from {1e3 * over:.0f} mm up: a riser {more} mm longer, or a pin shorter by that"
    return "another pin_length, so that it stands higher for less heat, lower for more"


def cooler_by(build: Build, strip: Strip) -> float:
    """How much cooler than reckoned the element stays on the usual plate, for what G = 2 k A / L leaves out, K.

    A leg that loses heat on its way is a fin between two temperatures, n = m L: G n / sinh n passes, G n tanh(n/2) is lost
    from either end, at the element's besides its ring's loss; the toes' bare joint stands in series. Both legs count as one.

    Args:
        build: a checked build with such a strip.
        strip: the strip.

    Returns:
        Kelvin, for an element that neither lifts nor takes heat through its pin. [K]

    Source: incropera (fin between two temperatures); air and joint from memory.
    """
    loss, n = build.guard.element_loss.value, strip.fin
    through, side = strip.carries * n / math.sinh(n), strip.carries * n * math.tanh(0.5 * n)
    toe = 2.0 * BOLTED * strip.width * strip.toe
    share = through / (through + side + loss)  # of what the strip's foot is warmer than the air, the element is
    foot = toe / (toe + side + through * (1.0 - share))  # of what the plate is, the strip's foot is
    hot = build.stove.usual_plate.value - build.stove.room.value
    return hot * (strip.carries / (strip.carries + loss) - share * foot)


def reckoned(build: Build, strip: Strip) -> str:
    """How the strip was reckoned, and what is left out, for whoever cuts it."""
    return (
        f"The foot: 2 k A / L = 2 x {strip.conductivity:.1f} W/(m K) x {strip.thickness * 1e3:g} x {strip.width * 1e3:g} mm / "
        f"{strip.length * 1e3:.1f} mm = {strip.carries * 1e3:.1f} mW/K. Thicker, wider or shorter: a hotter element, which opens "
        f"on a cooler plate. Left out are the air along its legs and the bare joint under its toes: with both it stays about "
        f"{cooler_by(build, strip):.0f} K cooler on the usual plate and opens later. Toes dry: compound dries out there at "
        "250 to 330 °C; graphite or copper paste for hot screws stays (common practice). Then try it by thermometer. "
        f"At most, the fan stuck, both springs squeezed, {strip.force:.0f} N on the element's rim bend the top with "
        f"{strip.stress * 1e-6:.0f} MPa; {YIELDS * 1e-6:.0f} are "
        "borne at 250 °C. "
        f"So its end must be flat on its rim, by straightedge: domed it would bear in the middle and bend the top with "
        f"{domed_stress(strip.force, strip) * 1e-6:.0f} MPa; a stiff washer as wide as the element then goes under it, the foot "
        "lower by that."
    )

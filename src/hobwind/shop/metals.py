"""What a metal asks of drill, tap and screw: its strength cold and hot, how deep a screw should reach, how to tap it.

Strengths are the lower end of what handbooks give for scrap of unknown temper. Shear strength is taken as 0.6 of
the tensile strength for all (common practice, on the low side). Hot is 250 °C after many firings, from memory: heat
treated aluminium loses most of its temper there, so a thread that held cold may strip when hot.
"""

from __future__ import annotations

from dataclasses import dataclass

SHEAR = 0.6  # of the tensile strength; common practice
HOT = 523.15  # K; the temperature meant by "hot"


@dataclass(frozen=True)
class Tapped:
    """Tensile strength [Pa], share left when hot, screw diameters of engagement wanted, and advice."""

    tensile: float
    hot: float
    engagement: float
    advice: str

    @property
    def shear_hot(self) -> float:
        """Shear strength when hot, Pa."""
        return SHEAR * self.tensile * self.hot


_OIL = "cutting oil, half a turn back for each turn"
# tensile MPa, share when hot, diameters, advice. Sources: metal-strengths (memory), engagement-practice.
_ROWS = {
    "aluminium 6082": (280.0, 0.25, 2.0, "paraffin or spirit, clear the flutes often: chips weld to the tap"),
    "aluminium 6061": (260.0, 0.30, 2.0, "paraffin or spirit, clear the flutes often: chips weld to the tap"),
    "pure aluminium": (70.0, 0.30, 2.5, "paraffin, a sharp tap, slowly: soft metal tears; drill no larger than written"),
    "cast aluminium": (150.0, 0.45, 2.5, "paraffin; go gently, pores and silicon dull and snap small taps"),
    "die-cast aluminium": (200.0, 0.45, 2.5, "paraffin; go gently, pores and silicon dull and snap small taps"),
    "copper": (210.0, 0.70, 2.0, "plenty of cutting oil; it grabs: back the tap often, taper tap first"),
    "brass CuZn39Pb3": (380.0, 0.60, 1.5, "dry; take the hook off the drill's lips, or it snatches"),
    "bronze": (300.0, 0.75, 1.5, _OIL),
    "plain steel": (360.0, 0.95, 1.0, _OIL),
    "spring steel": (1000.0, 0.90, 1.0, "hardened it cannot be tapped: anneal it, or use a nut"),
    "stainless 304": (500.0, 0.80, 1.25, "sulphur cutting oil, slow, steady pressure: never let the drill rub, it hardens"),
    "grey cast iron": (180.0, 0.95, 1.5, "dry, brush the dust out, mask on"),
    "zinc alloy casting": (220.0, 0.20, 2.5, "paraffin; it creeps when hot: better a bolt right through and a nut"),
    "magnesium bar": (180.0, 0.40, 2.5, "DANGER: its chips burn. Dry and slow, sharp tools, dry sand at hand, never water"),
}
METALS = {name: Tapped(tensile * 1e6, hot, deep, advice) for name, (tensile, hot, deep, advice) in _ROWS.items()}
UNKNOWN = Tapped(70e6, 0.25, 2.5, "unknown metal: try the tap in an offcut first")


def tapped(name: str) -> Tapped:
    """What a material of that name asks for; an unknown one is treated as soft aluminium.

    Args:
        name: of a material in the catalogue or the maker's own.

    Returns:
        Its strengths and advice.
    """
    return METALS.get(name, UNKNOWN)

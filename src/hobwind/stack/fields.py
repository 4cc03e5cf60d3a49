"""Where each number of a build sits in the kernel's two flat vectors.

`p` holds every physical input as a float (SI, kelvin), `q` every choice and count as an integer. Both are flat and of
fixed length, so that ten thousand builds that differ only in their numbers are one matrix, and so that every index
below is a constant to the compiler. Tables (riser parts, joints, plates, module kinds) are rows of fixed width that
start at the `..._AT` offsets; a build with fewer rows leaves the rest at zero and says so in `q`.
"""

from __future__ import annotations

from enum import IntEnum

MOST_RISERS = 4
MOST_KINDS = 4
MOST_STRINGS = 8
MOST_CELLS = 24

# Numbers that every build has once.
P = IntEnum(
    "P",
    "room pressure plate_conductivity plate_thickness plate_capacity plate_emissivity plate_front plate_side "
    "flame_coefficient coating coating_conductivity plume_still plume_blown "
    "seat_roughness seat_slope seat_flatness seat_bow seat_hardness seat_settle fan_weight foot_emissivity "
    "clamp_pressure surround_conductivity surround_emissivity_low surround_emissivity_high "
    "screw_area screw_length screw_conductivity head_area head_contact bush_conductivity bush_thickness bush_area leads "
    "motor_resistance motor_constant motor_friction motor_breakaway motor_drag motor_brush motor_magnet "
    "motor_capacity motor_diameter motor_length motor_emissivity motor_mount motor_height "
    "blade_diameter blade_power blade_thrust "
    "wax_opens wax_full wax_travel wax_creep wax_hysteresis wax_lag wax_capacity holder element_height element_loss "
    "lost_motion lever stop gap_low gap_high pin_conductance pin_growth pin_beside "
    "sink_width sink_length sink_base sink_fin_height sink_fin_thickness sink_fin_pitch sink_fin_count "
    "sink_conductivity sink_capacity sink_emissivity sink_envelope sink_top sink_underside sink_hidden_width sink_hidden_depth "
    "sink_height sink_on_base sink_in_stream sink_bypass sink_still sink_still_rise sink_blown sink_blown_at "
    "sink_blown_power",
    start=0,
)

# One riser part, one plate, one joint, one module kind.
R = IntEnum("R", "width depth length conductivity conductivity_slope capacity emissivity", start=0)
D = IntEnum("D", "width depth thickness conductivity capacity emissivity", start=0)
J = IntEnum(
    "J",
    "conductivity yield_stress thickness contact roughness slope flatness bow hardness surface_conductivity",
    start=0,
)
M = IntEnum("M", "width depth thickness seebeck resistance conductance capacity limit", start=0)

PER_RISER, PER_PLATE, PER_JOINT, PER_KIND = len(R), len(D), len(J), len(M)
RISERS_AT = len(P)
PLATES_AT = RISERS_AT + MOST_RISERS * PER_RISER
JOINTS_AT = PLATES_AT + 2 * PER_PLATE
KINDS_AT = JOINTS_AT + 5 * PER_JOINT
P_LENGTH = KINDS_AT + MOST_KINDS * PER_KIND

# Rows of the plate and joint tables.
HOT_PLATE, SPREADER = 0, 1
JOINT_RISER, JOINT_HOT_PLATE, JOINT_HOT, JOINT_COLD, JOINT_SINK = 0, 1, 2, 3, 4

# Choices and counts; the four tables after them are flat: part shapes, cells a part, modules of a kind, strings x kinds.
Q = IntEnum(
    "Q",
    "risers has_hot_plate kinds has_spreader strings sink_shape sink_stands surround_air guard held_in stuck screws",
    start=0,
)
SHAPES_AT = len(Q)
CELLS_AT = SHAPES_AT + MOST_RISERS
COUNTS_AT = CELLS_AT + MOST_RISERS
FILLS_AT = COUNTS_AT + MOST_KINDS
STRINGS_AT = FILLS_AT + 5
Q_LENGTH = STRINGS_AT + MOST_STRINGS * MOST_KINDS

CYLINDER, BLOCK = 0, 1
DRY, COMPOUND, SHEET = 0, 1, 2
PLATE_FINS, ANNULAR_FINS, PIN_FINS, MEASURED = 0, 1, 2, 3
NO_GUARD, GUARD_FREE, HELD_DOWN, HELD_UP = 0, 1, 2, 3
IN_RISER, IN_HOT_PLATE, IN_SPREADER, IN_SINK, IN_PLATE = 0, 1, 2, 3, 4

# Modes of the guard's memory within one step.
HELD, RISING, FALLING = 0, 1, 2

# Where the pin stands within one step; AS_IT_COMES: worked out anew at every look. The wax's stretch is added times four.
AS_IT_COMES, DOWN, SETTLING, RAISED, AT_STOP = -1, 0, 1, 2, 3

# What `observe` writes for one instant.
Seen = IntEnum(
    "Seen",
    "plate local foot hot_face cold_face sink motor element margin seat_heat pin_heat foot_heat riser_loss "
    "screw_heat surround_heat module_heat electric leads_heat motor_heat shaft_power sink_loss motor_loss element_loss "
    "hot_plate_loss spreader_loss motor_voltage current speed thrust disc_speed air_flow breeze lift gap stroke "
    "stall_torque air open_voltage balance hot_plate spreader riser_top memory spin seat_conductance sink_glow",
    start=0,
)
